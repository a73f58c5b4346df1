"""The hunt for a fault: from what was observed to the suspects and the next check; no robot, no plan, no records."""
