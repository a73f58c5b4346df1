"""From a robot to every circuit, wire and end that its parts imply."""

from loomwright.wiring.derive import derive
from loomwright.wiring.result import Circuit, CircuitKind, EndAt, Wire, Wiring

__all__ = ["Circuit", "CircuitKind", "EndAt", "Wire", "Wiring", "derive"]
