"""The layers of the Plate's DXF: one for every kind of thing on each plate, and one for every trunk."""

from __future__ import annotations

from enum import StrEnum
from typing import TYPE_CHECKING, Final

from loomwright.documents.dxf.shapes import Layer
from loomwright.wording import natural

if TYPE_CHECKING:
    from collections.abc import Iterable

    from loomwright.model.robot import Plate


class Kind(StrEnum):
    """What lies on a layer."""

    OUTLINE = "outline"
    KEEP_OUTS = "keep-outs"
    DEVICES = "devices"
    SHOCK_MOUNTS = "shock mounts"
    TERMINALS = "terminals"
    DROPS = "drops"
    LOOSE_RUNS = "loose runs"
    TIES = "ties"
    GROMMETS = "grommets"
    MOVING_JOINTS = "moving joints"
    TEXT = "text"
    WAYS = "ways"


_BLACK: Final = 7  # black on white paper, white on a black screen
_RED, _BLUE, _MAGENTA, _GREEN, _BROWN, _GREY = 1, 5, 6, 96, 34, 8
_KINDS: Final = {
    Kind.OUTLINE: (_BLACK, 0.7, False),
    Kind.KEEP_OUTS: (_GREY, 0.25, True),
    Kind.DEVICES: (_BLACK, 0.5, False),
    Kind.SHOCK_MOUNTS: (_MAGENTA, 0.35, False),
    Kind.TERMINALS: (_BLACK, 0.25, False),
    Kind.DROPS: (_BLUE, 0.35, False),
    Kind.LOOSE_RUNS: (_BLUE, 0.35, True),
    Kind.TIES: (_BLACK, 0.7, False),
    Kind.GROMMETS: (_MAGENTA, 0.5, False),
    Kind.MOVING_JOINTS: (_MAGENTA, 0.5, False),
    Kind.TEXT: (_BLACK, 0.25, False),
    Kind.WAYS: (_GREY, 0.13, False),
}
#: Dark enough for white paper in grey; no two trunks that follow one another have the same one.
_TRUNKS: Final = (_RED, _GREEN, _BROWN, 174, 14, 56)


def layer_of(kind: Kind, plate: Plate) -> str:
    """Return the name of a kind's layer on a plate: "devices", on an upper one "upper deck - devices"."""
    return f"{plate.name} - {kind}" if plate.name else str(kind)


def trunk_layer(trunk: str) -> str:
    """Return the name of a trunk's layer."""
    return f"trunk {trunk}"


def plate_layers(plates: Iterable[Plate], trunks: Iterable[str], proposed: Iterable[str]) -> tuple[Layer, ...]:
    """Return all layers: the kinds of the base plate, of the upper ones from the lowest up, then the trunks by name."""
    found: dict[str, Layer] = {}
    for plate in sorted(plates, key=lambda plate: (plate.name != "", plate.height_m, natural(plate.name))):
        for kind, (colour, line_mm, dashed) in _KINDS.items():
            if kind is not Kind.WAYS or not plate.name:
                name = layer_of(kind, plate)
                found[name] = Layer(name, colour, line_mm, dashed, off=kind is Kind.WAYS)
    dashed_ones = frozenset(proposed)
    for i, trunk in enumerate(sorted({*trunks, *dashed_ones}, key=natural)):
        name = trunk_layer(trunk)
        found[name] = Layer(name, _TRUNKS[i % len(_TRUNKS)], 0.35, dashed=trunk in dashed_ones)
    return tuple(found.values())
