"""The Plate: the robot from above, to scale, with the way of every wire."""
