"""What people look at and tick before they measure, and before there is power: the tool asks, it never answers."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from loomwright.proof.wake_up_result import Look
from loomwright.proof.wake_up_words import names
from loomwright.wording import natural

if TYPE_CHECKING:
    from collections.abc import Iterator

    from loomwright.plan.result import Plan

MEASURING: Final = "measuring"
POWER: Final = "power"
_CAN_FALL: Final = ("lift", "arm", "climber")
_AIR: Final = ("compressor", "pneumatics", "valve")


def looks(plan: Plan) -> tuple[Look, ...]:
    """Return the questions in the order in which people go through them, numbered."""
    asked = (*_before_measuring(plan), *_before_power(plan))
    return tuple(Look(n, key, before, question, why) for n, (key, before, question, why) in enumerate(asked, 1))


def _before_measuring(plan: Plan) -> Iterator[tuple[str, str, str, str]]:
    yield (
        "battery out",
        MEASURING,
        "Is the battery out of the robot, and are the two halves of its plug apart? Look at both.",
        "An ohms range across a live supply kills the meter, and a slip of the probe draws an arc.",
    )
    yield (
        "main breaker off",
        MEASURING,
        "Is the main breaker off? Push it, and look at its lever or button.",
        "Two gaps are better than one; and one of the rows proves that this one is a gap.",
    )
    if plan.robot.of_kind(*_AIR):
        yield (
            "air vented",
            MEASURING,
            "Is all stored air vented, and does every gauge read zero?",
            "A valve that clicks while you measure moves what hangs on it.",
        )
    falling = [m.name for m in plan.robot.mechanisms if m.kind.value in _CAN_FALL]
    told = f": {names(sorted(falling, key=natural))}" if falling else ""
    yield (
        "lowered",
        MEASURING,
        f"Is everything lowered or blocked that can fall, swing or unwind{told}?",
        "Nothing but friction holds it without power.",
    )
    blocks = sorted((block.id for block in plan.robot.of_kind("block")), key=natural)
    where = f" of {names(blocks)}" if blocks else ""
    yield (
        "protection out",
        MEASURING,
        f"Is every breaker and fuse out{where}, and laid out in the order of their slots?",
        "Only then is each branch measured by itself.",
    )
    yield (
        "eyes and hands",
        MEASURING,
        "Are safety glasses on, and rings, watches and chains off?",
        "A ring across a battery glows in a second.",
    )
    yield (
        "capacitors",
        MEASURING,
        "If it had power today: has it stood without for a minute?",
        "Charged capacitors make an ohms reading lie.",
    )


def _before_power(plan: Plan) -> Iterator[tuple[str, str, str, str]]:
    yield (
        "all rows good",
        POWER,
        "Is every row before this good, or explained and signed by a mentor?",
        "What a meter finds costs minutes; what a battery finds costs a board.",
    )
    yield (
        "protection out again",
        POWER,
        "Are all breakers and fuses out of the block again, and is the main breaker off?",
        "Power comes to one feed at a time.",
    )
    yield (
        "wheels up",
        POWER,
        "Are the wheels off the floor, everything that can move free, hands and cables clear?",
        "A controller may start with an old program.",
    )
    yield (
        "mentor at the breaker",
        POWER,
        "Is a mentor present, with one person at the main breaker who does nothing else?",
        "Switching off is a job of its own.",
    )
    yield (
        "battery care",
        POWER,
        "Are the neutraliser and the fire extinguisher within reach, and does everybody know where?",
        "A battery that is shorted or cracked spills acid and vents gas.",
    )
    if plan.robot.of_kind("compressor"):
        yield (
            "air closed",
            POWER,
            "Is the vent valve open, so that the compressor can't build pressure yet?",
            "Air comes after power is proved.",
        )
