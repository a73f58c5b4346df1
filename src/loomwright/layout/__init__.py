"""Where things go: which slot each circuit stands on, and how long its wires are."""

from loomwright.layout.lengths import one_way, wire_length
from loomwright.layout.slots import Choice, assign_slots

__all__ = ["Choice", "assign_slots", "one_way", "wire_length"]
