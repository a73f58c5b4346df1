"""The plan beside what was recorded: which ends are made, which have to be made again, what a reading tells."""
