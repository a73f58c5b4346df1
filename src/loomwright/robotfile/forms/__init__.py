"""The form of a robot file: what may be written where, and how each value is read."""
