"""Readings and places in words: as a meter shows them, as a student finds them on the robot."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from loomwright.electrical.hand_meter import as_shown
from loomwright.electrical.practice import practice, ranges
from loomwright.model.part import PortKind
from loomwright.proof.wake_up_result import Probe, Setting
from loomwright.wording import listed

if TYPE_CHECKING:
    from collections.abc import Sequence

    from loomwright.plan.result import PlannedEnd, PlannedWire

_MOST_NAMES = 6


def volt_words(voltage_v: float) -> str:
    """Write a voltage as a meter shows it on its 20 V range."""
    return f"{voltage_v:.2f} V"


def volt_range(low_v: float, high_v: float) -> str:
    """Write a range of voltages."""
    one, other = volt_words(low_v), volt_words(high_v)
    return one if one == other else f"{one} to {other}"


def ohms(high_ohm: float | None) -> Setting:
    """Return the ohms setting for readings up to this [ohm]; None or infinity: the largest range."""
    steps = ranges("ohms")
    most = math.inf if high_ohm is None else high_ohm
    return Setting("ohms", next((name for highest, name in steps if highest >= most), steps[-1][1]))


def dc_volts() -> Setting:
    """Return the setting for a battery."""
    return Setting("DC volts", ranges("DC volts")[0][1])


def continuity() -> Setting:
    """Return the setting that beeps."""
    return Setting("continuity")


def at_end(wire: PlannedWire, end: PlannedEnd) -> Probe:
    """Return a probe at one end of a wire: its port, or its joint with the part's own lead, and its flag."""
    flag = f"flag {wire.id} {end.letter}"
    if not end.device or not end.socket:
        words = f"{flag}; where it goes is not known yet"
    elif end.port is not None and end.port.kind is PortKind.LEAD and not wire.captive:
        words = f"the joint at {flag}, with the {end.polarity} lead of {end.device}"
    else:
        words = f"{end.where}{_held(end)}, at {flag}"
    return Probe(words, end.device, end.socket, str(end.polarity), wire.id, end.letter)


def names(told: Sequence[str]) -> str:
    """Write some names as a sentence does; of many, the first ones and how many more."""
    if len(told) <= _MOST_NAMES:
        return listed(list(told), "and")
    return f"{', '.join(told[:_MOST_NAMES])} and {len(told) - _MOST_NAMES} more"


def short_ohm(least_ohm: Sequence[float | None]) -> float:
    """Return the reading [ohm] below which plus and minus of a whole board touch, for the least that was computed."""
    known = [ohm for ohm in least_ohm if ohm is not None]
    return as_shown(max(practice("short"), practice("share of least") * min(known, default=0.0)))


def _held(end: PlannedEnd) -> str:
    return f", {end.port.kind}" if end.port is not None else ""
