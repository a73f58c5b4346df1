"""What was done to the robot: events that are only ever added, and the pure fold from events to its state."""
