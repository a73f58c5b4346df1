"""From what somebody saw or read to an observation: an outcome, or a number that falls into one."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Final

from loomwright.hunting.problem import Observation
from loomwright.hunting.robot.practice import check_kinds
from loomwright.wording import listed, nearest, quoted

if TYPE_CHECKING:
    from collections.abc import Sequence

    from loomwright.hunting.robot.robot_hunt import RobotHunt
    from loomwright.hunting.robot.shown import Scale, Shown

#: What an ohmmeter shows where there is no end of ohms, in the words of a reading (records/reading.py).
_OPEN: Final = "open"
_OHM: Final = "ohm"


#: What is not read from any robot: more than twice the charged battery [V], more than a battery gives [A]; and a few
#: ohms below nothing are a meter that was not set to zero.
_LIMITS: Final = {"V": (-26.0, 26.0), "A": (-1000.0, 1000.0), _OHM: (-1.0, math.inf)}


class NotAnObservationError(ValueError):
    """What was told fits no check of this robot: `what` says why, `fix` what to do."""

    def __init__(self, what: str, fix: str) -> None:
        self.what = what
        self.fix = fix
        super().__init__(f"{what} {fix}")


def observation(
    robot: RobotHunt,
    check: str,
    outcome: str = "",
    value: float | None = None,
    unit: str = "",
    after: Sequence[str] = (),
) -> Observation:
    """Return what was seen as an observation; `after` names faults that were mended by then.

    Raises
    ------
    NotAnObservationError
        For a check that this robot does not have, an outcome that it has not, a number without the right unit.
    """
    shown = robot.checks.get(check)
    if shown is None:
        close = nearest(check, sorted(robot.checks), limit=3)
        hint = f"Did you mean {listed([quoted(one) for one in close])}?" if close else "Ask for the next check."
        raise NotAnObservationError(f"This robot has no check {quoted(check)}.", hint)
    mended = tuple(key for key in after if key in robot.faults)
    if value is None and outcome == _OPEN and shown.scale is not None and shown.scale.unit == _OHM:
        value, unit = math.inf, _OHM
    if value is not None:
        odds = _read(shown, value, unit).outcomes(value)
        if len(odds) > 1:
            return Observation(check=check, odds=odds, after=mended)
        return Observation(check=check, outcome=odds[0][0], after=mended)
    if outcome not in check_kinds()[shown.kind].outcomes:
        raise NotAnObservationError(f"{quoted(check)} has no outcome {quoted(outcome)}.", _say(shown))
    return Observation(check=check, outcome=outcome, after=mended)


def _read(shown: Shown, value: float, unit: str) -> Scale:
    """Return the scale of a reading that can be one."""
    check, scale = quoted(shown.key), shown.scale
    if scale is None:
        raise NotAnObservationError(f"{check} is no reading of a meter.", _say(shown))
    if unit != scale.unit:
        what = f"{check} is read in {scale.unit}, not in {unit or 'no unit'}."
        raise NotAnObservationError(what, f"Write the number with its unit, as 1.2{scale.unit}.")
    if shown.kind == "rest" and value < -1:
        what = "The battery reads the wrong way round: the probes are crossed, or the battery is reversed."
        raise NotAnObservationError(what, "Leave it unplugged, look at its posts, and fetch the mentor.")
    least, most = _LIMITS[unit]
    if not least <= value <= most:
        what = f"No robot with a 12 V battery shows {value:g} {unit} at {check}."
        raise NotAnObservationError(what, "Look at the meter's range and probes, and read it again.")
    return scale


def _say(shown: Shown) -> str:
    outcomes = check_kinds()[shown.kind].outcomes
    return f"Say one of {listed([quoted(name) for name in outcomes])}."
