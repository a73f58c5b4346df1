"""Battery testers and other lists of readings: what their columns mean, as the team says it."""
