"""Checks that take in many things at a glance: all lights of a block, a whole chain, every wire at a device."""

from __future__ import annotations

from typing import TYPE_CHECKING, TypeAlias

import numpy as np

from loomwright.electrical.bus import chains
from loomwright.hunting.robot.shown import Shown, columns
from loomwright.rulebook.lookup import feeds

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

    import numpy.typing as npt

    from loomwright.plan.result import Plan

    Floats: TypeAlias = npt.NDArray[np.float64]

#: Fewer are looked at one by one.
_FEWEST = 3
#: Each thing more at a glance, and each end more that is pulled or moved, takes so long [s].
_GLANCE_S = 0.5
_PULL_S = 3.0
_MOVE_S = 1.5


def group_checks(plan: Plan, single: Mapping[str, Shown]) -> Iterator[Shown]:
    """Give every check that takes in at least three single ones; what it shows follows from theirs."""
    for source, devices in _fed_by(plan).items():
        yield from _glance("lights", source, [single.get(f"look {name}") for name in devices])
    for chain in chains(plan):
        held = [single.get(f"seen {device.id}") for device in chain.devices]
        yield from _listed(chain.bus.name, [one for one in held if one is not None])
    for mechanism, names in _mechanisms(plan).items():
        yield from _glance("mechanism", mechanism, [single.get(f"drove {name}") for name in names])
    for device, ends in _ends(plan).items():
        yield from _at_hand("pull", device, [single.get(f"tug {end}") for end in ends], _PULL_S)
        yield from _at_hand("shake", device, [single.get(f"wiggle {end}") for end in ends], _MOVE_S)


def _fed_by(plan: Plan) -> dict[str, list[str]]:
    found: dict[str, list[str]] = {}
    for device in plan.robot:
        for source in dict.fromkeys(circuit.source for circuit in feeds(plan, device.id) if circuit.source):
            found.setdefault(source, []).append(device.id)
    return found


def _mechanisms(plan: Plan) -> dict[str, list[str]]:
    found: dict[str, list[str]] = {}
    for device in plan.robot:
        if device.kind == "motor" and device.mechanism:
            found.setdefault(device.mechanism, []).append(device.id)
    return found


def _ends(plan: Plan) -> dict[str, list[str]]:
    found: dict[str, list[str]] = {}
    for wire in plan.wires:
        for end in (wire.a, wire.b):
            if end.device:
                found.setdefault(end.device, []).append(f"{wire.id} {end.letter}")
    return found


def _glance(kind: str, about: str, held: Iterable[Shown | None], fewest: int = _FEWEST) -> Iterator[Shown]:
    shown = [one for one in held if one is not None]
    if len(shown) >= (2 if kind == "mechanism" else fewest):
        seconds = (6.0 if kind == "mechanism" else 4.0) + _GLANCE_S * len(shown)
        yield Shown(kind=kind, about=about, place=about, chances=columns(1 - _all_well(shown)), seconds=seconds)


def _listed(chain: str, shown: list[Shown]) -> Iterator[Shown]:
    if len(shown) >= _FEWEST:
        none = np.prod([one.chances[:, -1] for one in shown], axis=0)
        some = 1 - _all_well(shown) - none
        seconds = 5.0 + _GLANCE_S * len(shown)
        yield Shown(kind="list", about=chain, place=chain, chances=columns(some, none), seconds=seconds)


def _at_hand(kind: str, device: str, held: Iterable[Shown | None], each_s: float) -> Iterator[Shown]:
    shown = [one for one in held if one is not None]
    if len(shown) >= _FEWEST:
        seconds = 4.0 + each_s * len(shown)
        yield Shown(kind=kind, about=device, place=device, chances=columns(1 - _all_well(shown)), seconds=seconds)


def _all_well(shown: list[Shown]) -> Floats:
    """Return the chance that all are well: by the fault they share, half each for itself and half all alike."""
    well = np.stack([one.chances[:, 0] for one in shown])
    return np.asarray((np.prod(well, axis=0) + np.min(well, axis=0)) / 2, dtype=np.float64)
