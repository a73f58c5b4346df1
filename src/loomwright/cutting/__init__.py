"""Pieces of wire to spools: what is cut from what, with the least waste."""
