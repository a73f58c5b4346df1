"""The Sag drawing: bus voltage and currents through the matches of a study that are worth a look."""
