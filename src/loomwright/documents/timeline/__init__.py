"""The day of the rack on a wall: which battery is when on which charger, and when in the robot."""
