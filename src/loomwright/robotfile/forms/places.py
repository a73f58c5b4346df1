"""Places on the plates: how points and lines are read [m], and how they look in the JSON Schema."""

from __future__ import annotations

from math import dist
from typing import TYPE_CHECKING, Any, Final, TypeGuard

from loomwright.robotfile.forms.amounts import WITH_UNIT
from loomwright.robotfile.forms.facts import NotReadableError, Reader, refuse_doubt
from loomwright.robotfile.forms.leaves import Leaf, Row, as_written
from loomwright.robotfile.forms.not_readable import Together
from loomwright.units import Dimension, read

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Sequence
    from typing import TypeVar

    from loomwright.robotfile.forms.leaves import Raw

    T = TypeVar("T")

Point = tuple[float, float]
Waypoint = tuple[float, float, float | None]
"""A place with its height above the base plate; None stands for the height of its own plate."""

SAME_M: Final = 1e-6
_RIGHT_AND_FORWARD, _WITH_HEIGHT = 2, 3
_TWO_PLACES = 2
_MOST_PLACES = 200
_LINE_EXAMPLE = "[[0, 0], [640 mm, 0]]"


def point_of(raw: Raw) -> Point:
    """Read `[120 mm, 340 mm]` as a place on the plate [m]; raise NotReadableError."""
    if not is_place(raw, _RIGHT_AND_FORWARD):
        fix = "Write `[120 mm, 340 mm]`."
        if is_place(raw, _WITH_HEIGHT):
            right, forward, up = map(as_written, raw)
            fix = f"Write `[{right}, {forward}]`, and the height beside it: `height: {up}`."
        raise NotReadableError("bad-place", "A place has two lengths: right and forward.", fix, raw)
    right_m, forward_m = _lengths(raw)
    return right_m, forward_m


def waypoint_of(raw: Raw) -> Waypoint:
    """Read `[320 mm, 480 mm]` or `[320 mm, 480 mm, 90 cm]` as a place of a trunk [m]; raise NotReadableError."""
    if not is_place(raw, _RIGHT_AND_FORWARD, _WITH_HEIGHT):
        raise NotReadableError(
            "bad-place",
            "A place of a trunk has two lengths, right and forward, and a third one where it is not as high as its "
            "plate.",
            "Write `[120 mm, 340 mm]` or `[120 mm, 340 mm, 90 cm]`.",
            raw,
        )
    right_m, forward_m, *up_m = _lengths(raw)
    return right_m, forward_m, up_m[0] if up_m else None


def line_of_places(raw: Raw) -> tuple[Waypoint, ...]:
    """Read a list of two or more places as the line of a trunk [m]; raise NotReadableError."""
    if not isinstance(raw, Row) or not raw:
        raise NotReadableError("bad-line", "A trunk is a list of two or more places.", f"Write `{_LINE_EXAMPLE}`.", raw)
    alone = raw if is_place(raw, _RIGHT_AND_FORWARD, _WITH_HEIGHT) else raw[0]
    if alone is raw or len(raw) < _TWO_PLACES:
        raise NotReadableError(
            "bad-line",
            "A trunk leads from place to place, and this is one place alone.",
            f"Write where it leads, such as `[{as_written(alone)}, [640 mm, 0]]`.",
            raw,
        )
    return each_place(raw, waypoint_of)


def refuse_same(one: Sequence[float], other: Sequence[float], what: str) -> None:
    """Raise NotReadableError for a place that stands twice in a row [m]."""
    if dist(one, other) < SAME_M:
        raise NotReadableError(
            "same-place-twice", f"This {what} is the same as the one before it.", "Take one of the two out."
        )


def is_place(raw: Raw, *counts: int) -> TypeGuard[Row]:
    """Tell whether something is a list of so many words."""
    return isinstance(raw, Row) and len(raw) in counts and all(isinstance(item, Leaf) for item in raw)


def _lengths(raw: Iterable[Leaf]) -> list[float]:
    all_, lengths = Together(), []
    for item in raw:
        with all_.reading(item):
            refuse_doubt(item)
            # A lone zero needs no unit: it is the corner of the plate.
            lengths.append(0.0 if item.text.strip() == "0" else read(item.text, Dimension.LENGTH, signed=True))
    all_.settle()
    return lengths


def each_place(raw: Row, read_one: Callable[[Raw], T]) -> tuple[T, ...]:
    """Read every place of a list and raise all of their faults at once."""
    if len(raw) > _MOST_PLACES:
        raise NotReadableError(
            "too-long", f"This list has {len(raw)} places, and no plate needs more than {_MOST_PLACES}.",
            "Leave out those that lie on a straight line between others.",
        )  # fmt: skip
    all_ = Together()
    places: list[T] = []
    for item in raw:
        with all_.reading(item):
            places.append(read_one(item))
    all_.settle()
    return tuple(places)


_LENGTH_OR_CORNER = {"anyOf": [{"const": 0}, {"const": "0"}, {"type": "string", "pattern": WITH_UNIT}]}
POINT_SCHEMA: dict[str, Any] = {
    "type": "array",
    "items": _LENGTH_OR_CORNER,
    "minItems": _RIGHT_AND_FORWARD,
    "maxItems": _RIGHT_AND_FORWARD,
    "examples": [["120 mm", "340 mm"]],
}
_WAY_SCHEMA = {**POINT_SCHEMA, "maxItems": _WITH_HEIGHT}
LINE_SCHEMA: dict[str, Any] = {"type": "array", "items": _WAY_SCHEMA, "minItems": _TWO_PLACES}
POINT: Reader[Point] = Reader("a place such as [120 mm, 340 mm]", None, POINT_SCHEMA, row=point_of)
