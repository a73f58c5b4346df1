"""Loomwright: one robot file, and the wiring that follows from it."""
