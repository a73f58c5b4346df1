"""Which mechanisms are told apart, and how much charge each of them took."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from loomwright.documents.sag.ink import LAYERS, OTHERS
from loomwright.documents.sag.sheet import SagMatch, SagSheet
from loomwright.documents.scene import Fill
from loomwright.match.trace import Trace

_AH: Final = 3600.0  # A s in an ampere-hour


@dataclass(frozen=True, slots=True)
class Layer:
    """A layer of the currents: the mechanisms in it, what it is called, how it is filled."""

    mechanisms: tuple[str, ...]
    name: str
    fill: Fill


def layers_of(sheet: SagSheet) -> tuple[Layer, ...]:
    """Return the layers from the bottom up, the same in all matches: by charge in all of them, then all others."""
    charges: dict[str, float] = {}
    for match in sheet.matches:
        for name, row in zip(match.trace.mechanisms, match.trace.mechanism_a, strict=True):
            charges[name] = charges.get(name, 0.0) + charge_ah(match, row)
    ranked = sorted((name for name in charges if charges[name] > 0), key=lambda name: -charges[name])
    room = len(LAYERS) if len(ranked) != len(LAYERS) + 1 else len(LAYERS) + 1
    named = [Layer((name,), name, fill) for name, fill in zip(ranked[:room], (*LAYERS, OTHERS), strict=False)]
    rest = tuple(ranked[room:])
    return (*named, Layer(rest, f"{len(rest)} others", OTHERS)) if rest else tuple(named)


def charge_ah(match: SagMatch, row: tuple[float, ...]) -> float:
    """Return the charge that a row of currents takes [Ah]; what flows back is not counted."""
    return sum(max(0.0, current) for current in row) * match.step_s / _AH


def currents(trace: Trace, layer: Layer) -> tuple[float, ...]:
    """Return the current of a layer in each sample [A]; what flows back counts as none."""
    wanted = set(layer.mechanisms)
    rows = [row for name, row in zip(trace.mechanisms, trace.mechanism_a, strict=True) if name in wanted]
    return tuple(sum(max(0.0, a) for a in now) for now in zip(*rows, strict=True)) or (0.0,) * len(trace.time_s)
