"""Boxes as plain numbers, for what is asked some hundred thousand times a page."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TypeVar

from loomwright.documents.scene import Box

Flat = tuple[float, float, float, float]
"""Left, top, right, bottom [mm]."""
_Thing = TypeVar("_Thing")


def flat(box: Box) -> Flat:
    """Return a box as plain numbers."""
    return (box.left, box.top, box.right, box.bottom)


def in_any(box: Box, others: Iterable[Flat]) -> bool:
    """Tell whether a box shares area with one of some others."""
    left, top, right, bottom = box.left, box.top, box.right, box.bottom
    for other_left, other_top, other_right, other_bottom in others:
        if left < other_right and other_left < right and top < other_bottom and other_top < bottom:
            return True
    return False


def near(box: Flat, held: Iterable[tuple[Flat, _Thing]]) -> list[_Thing]:
    """Return what is held with a box that shares area with this one."""
    left, top, right, bottom = box
    return [
        thing
        for (other_left, other_top, other_right, other_bottom), thing in held
        if left < other_right and other_left < right and top < other_bottom and other_top < bottom
    ]
