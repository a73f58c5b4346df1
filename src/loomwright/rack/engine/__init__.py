"""The search for the best day of the rack."""
