"""What a program or a setting does to the twin whose wiring is well: one thing, which it does each time."""

from __future__ import annotations

from collections.abc import Iterator

from tests.hunting.robot.twin_robot import Anatomy

#: Nothing, to nothing.
NOTHING = ("", "")
_TO_MOTORS = ("dead", "weak", "backward", "always")
_HALTS = ("short", "computer", "long", "rest")


def every_way(anatomy: Anatomy) -> Iterator[tuple[str, str]]:
    """Give what a program may do, and to what; one is as likely as the other (assumed; the document names no odds)."""
    yield from ((what, motor) for motor in sorted(anatomy.motors) for what in _TO_MOTORS)
    yield from (("odd", device.id) for device in anatomy.electronics)
    for chain in anatomy.chains:
        yield from (("unseen", device.id) for device in chain.devices[1:] if device.kind != "terminator")
    yield from (("halt", length) for length in _HALTS)
    if anatomy.computer is not None:
        yield "brown-out", ""
