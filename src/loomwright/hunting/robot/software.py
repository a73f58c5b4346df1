"""What a program or a setting does to a robot whose wiring is well: one way for each thing that may look wrong."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from loomwright.electrical.bus import chains
from loomwright.hunting.robot.practice import halt_lengths, practice
from loomwright.hunting.robot.shows import has_light, motors

if TYPE_CHECKING:
    from collections.abc import Iterator

    from loomwright.plan.result import Plan

_MOTORS: Final = ("dead", "weak", "backward", "always")


@dataclass(frozen=True, slots=True)
class Way:
    """One thing that looks wrong: what, of which motor, device or halt, and how often it happens in one match."""

    what: str
    about: str
    per_match: float


def software_ways(plan: Plan) -> Iterator[Way]:
    """Give every way: motors, devices that the program does not list, odd lights, halts, a brown-out."""
    for motor, _ in motors(plan):
        for what in _MOTORS:
            yield Way(what, motor.id, practice(f"software {what}"))
    for device in plan.robot:
        if has_light(device):
            yield Way("odd", device.id, practice("software odd"))
    for chain in chains(plan):
        for device in chain.devices[1:]:
            # A terminator stands on no list.
            if device.kind != "terminator":
                yield Way("unseen", device.id, practice("software unseen"))
    for length in halt_lengths():
        yield Way("halt", length.outcome, practice("software halts") / len(halt_lengths()))
    yield Way("brown-out", "", practice("software browns out"))
