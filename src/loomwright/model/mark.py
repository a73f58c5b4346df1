"""Where in a file something was written, so that every later word about it can point there."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, order=True)
class Mark:
    """One character of one file; line and column count from 1."""

    file: str
    line: int
    column: int

    def __str__(self) -> str:
        """Write `robot.yaml:41:7`."""
        return f"{self.file}:{self.line}:{self.column}"
