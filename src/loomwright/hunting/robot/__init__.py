"""A plan as a hunt: what may be wrong on this robot, what can be looked at, and what each shows of the other."""
