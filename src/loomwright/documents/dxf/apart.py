"""Words in a DXF file kept apart: a count that would lie over another text moves a little along or across its line."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from loomwright.documents.dxf.shapes import Mm, Shape, Words

#: How wide a character is, by its height: wider than most fonts of drawing programs.
_WIDE = 0.95
_STEPS = 14
_STEP = 0.7  # of the text's height
_CLEAR_MM = 0.5


@dataclass(frozen=True, slots=True)
class _Field:
    """What a text covers: its middle, half its length along its direction, and half its height [mm]."""

    middle: tuple[float, float]
    along: tuple[float, float]
    long: float
    tall: float

    def meets(self, other: _Field) -> bool:
        """Tell whether two fields share area: no line across one of their sides lies between them."""
        x, y = self.middle[0] - other.middle[0], self.middle[1] - other.middle[1]
        return all(
            abs(x * axis[0] + y * axis[1]) < self._reach(axis) + other._reach(axis)
            for field in (self, other)
            for axis in (field.along, (-field.along[1], field.along[0]))
        )

    def _reach(self, axis: tuple[float, float]) -> float:
        along = abs(self.along[0] * axis[0] + self.along[1] * axis[1])
        across = abs(self.along[0] * axis[1] - self.along[1] * axis[0])
        return self.long * along + self.tall * across


def apart(shapes: Sequence[Shape]) -> tuple[Shape, ...]:
    """Return shapes with their `loose` words moved where they would lie over other words, as little as helps."""
    fields = [_field(shape) for shape in shapes if isinstance(shape, Words) and not shape.loose]
    found: list[Shape] = []
    for shape in shapes:
        if isinstance(shape, Words) and shape.loose:
            moved = _clear(shape, fields)
            fields.append(_field(moved))
            found.append(moved)
        else:
            found.append(shape)
    return tuple(found)


def _clear(words: Words, fields: Sequence[_Field]) -> Words:
    """Return words at the nearest place where they lie over no field; where there is none, they stay."""
    for place in _places(words):
        there = replace(words, at=place)
        mine = _field(there)
        if not any(mine.meets(field) for field in fields):
            return there
    return words


def _places(words: Words) -> Iterator[Mm]:
    """Give places along and across the direction of words, near ones first."""
    turn = math.radians(words.turn_deg)
    along = (math.cos(turn), math.sin(turn))
    x, y, z = words.at
    yield words.at
    for i in range(1, _STEPS + 1):
        step = i * _STEP * words.height_mm
        for right, up in ((0, 1), (0, -1), (1, 0), (-1, 0), (1, 1), (-1, -1), (1, -1), (-1, 1)):
            across = (right * along[0] - up * along[1], right * along[1] + up * along[0])
            yield (x + step * across[0], y + step * across[1], z)


def _field(words: Words) -> _Field:
    turn = math.radians(words.turn_deg)
    along = (math.cos(turn), math.sin(turn))
    half = _WIDE * words.height_mm * len(words.text) / 2
    tall = words.height_mm / 2
    x, y, _ = words.at
    if words.begins:
        x, y = x + along[0] * half - along[1] * tall, y + along[1] * half + along[0] * tall
    return _Field((x, y), along, half + _CLEAR_MM, tall + _CLEAR_MM)
