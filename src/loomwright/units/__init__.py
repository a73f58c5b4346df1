"""Quantities as people write them, SI floats inside."""
