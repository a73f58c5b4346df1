"""Hunts for a fault at the robot: what stands, what to do next, and what is written down of it."""
