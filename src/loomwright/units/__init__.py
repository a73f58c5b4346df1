"""Quantities as people write them, SI floats inside."""

from loomwright.units.gauge import Gauge, thickest
from loomwright.units.quantity import Dimension, QuantityError, read, read_range, show

__all__ = ["Dimension", "Gauge", "QuantityError", "read", "read_range", "show", "thickest"]
