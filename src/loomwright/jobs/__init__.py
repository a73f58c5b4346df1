"""The recipes: what a team does with a robot file, one job a file. This is the Python API."""
