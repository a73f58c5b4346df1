"""The plan for scripts, as JSON."""
