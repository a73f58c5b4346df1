"""Where things go: which slot each circuit stands on, which way its wires take, how long they are."""

from loomwright.layout.lengths import Lengths
from loomwright.layout.slots import Choice, assign_slots

__all__ = ["Choice", "Lengths", "assign_slots"]
