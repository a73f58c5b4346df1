"""The solvers of this room."""
