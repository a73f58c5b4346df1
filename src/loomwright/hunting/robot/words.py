"""Faults, checks and reasons of a hunt in words for people who did not wire the robot."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from loomwright.electrical.hand_meter import ohm_words
from loomwright.hunting.robot.practice import HaltLength, check_kinds, fixes, halt_lengths, work_states
from loomwright.units import Dimension, show
from loomwright.wording import listed

if TYPE_CHECKING:
    from collections.abc import Sequence

    from loomwright.hunting.problem import Observation
    from loomwright.hunting.result import Suspect
    from loomwright.hunting.robot.faults import RobotFault
    from loomwright.hunting.robot.robot_hunt import RobotHunt
    from loomwright.hunting.robot.shown import Scale, Shown

_SOFTWARE: Final = "software"
_UNITS: Final = {"V": Dimension.VOLTAGE, "A": Dimension.CURRENT}
#: An answer is explained by a fault that makes it at least so likely.
_EXPLAINS: Final = 0.2
#: An answer rules a rival out by a factor of this at least.
_TELLS: Final = 3.0
_NAMED: Final = 4


def _halted(one: HaltLength) -> str:
    return "a halt of more than a minute" if one.to_s is None else f"a halt {'of ' if one.from_s else ''}{one.words}"


#: What people told, in words that need no key beside them.
_TOLD: Final = {
    "halt": {"none": "no halt", **{one.outcome: _halted(one) for one in halt_lengths()}},
    "brown-out": {"no": "no brown-out", "yes": "a brown-out"},
    "since hit": {"no": "no hit just before", "yes": "a hit just before"},
    "since battery": {"no": "no battery swap just before", "yes": "a battery swap just before"},
    "since work": {"no": "no work on the wiring just before", "yes": "work on the wiring just before"},
    "rest": {"charged": "battery charged", "low": "battery low", "flat": "battery flat"},
}
_LISTED: Final = {"seen": "on", "comes and goes": "comes and goes on", "missing": "missing on"}


@dataclass(frozen=True, slots=True, kw_only=True)
class CheckWords:
    """One check for the one who makes it: how, where, in which state of work, and what to expect.

    `expected` says what a healthy robot shows, `otherwise` what else may come, both with their numbers.
    """

    how: str
    place: str
    state: str
    asks: str
    seconds: float
    expected: str
    otherwise: tuple[str, ...]


def fault_words(robot: RobotHunt, key: str) -> str:
    """Say what a fault is and where: "W12 B barely touches (lift left, plus, at lift left controller plus)"."""
    fault = robot.faults[key]
    what = fixes()[fault.kind].what.format(seat=fault.seat)
    where = seat_place(robot, fault)
    return f"{what} ({where})" if where else what


def suspect_words(robot: RobotHunt, suspect: Suspect) -> str:
    """Say what a suspect is, two faults joined by "and"."""
    if suspect.other:
        return "something that this list does not know, or three things at once"
    if not suspect.faults:
        return fixes()[_SOFTWARE].what
    return "; and ".join(fault_words(robot, key) for key in suspect.faults)


def seat_place(robot: RobotHunt, fault: RobotFault) -> str:
    """Say where a fault's seat is, as far as its name does not say it."""
    if fault.wire:
        wire = next(wire for wire in robot.plan.wires if wire.id == fault.wire)
        if fault.end:
            end = wire.a if fault.end == "A" else wire.b
            return f"{wire.circuit} {wire.role}, at {end.where}"
        return f"{wire.circuit} {wire.role}, {', '.join(wire.path)}"
    circuit = robot.plan.circuit(fault.circuit)
    if circuit is not None and circuit.slot.value:
        return f"slot {circuit.slot.value} of {circuit.source}"
    return ""


def check_words(shown: Shown) -> CheckWords:
    """Return a check in words."""
    kind = check_kinds()[shown.kind]
    asks, _ = work_states()[kind.state]
    numbers = _numbers(shown.scale)
    return CheckWords(
        how=(shown.how or kind.how).format(place=shown.place, red=shown.red, black=shown.black),
        place=shown.place,
        state=kind.state,
        asks=asks,
        seconds=kind.seconds if shown.seconds is None else shown.seconds,
        expected=_outcome(kind.outcomes[0], numbers, shown.scale),
        otherwise=tuple(_outcome(name, numbers, None) for name in kind.outcomes[1:]),
    )


def because(robot: RobotHunt, suspect: Suspect, observations: Sequence[Observation]) -> str:
    """Say why a suspect is one: what it explains, and what it leaves well as it was seen."""
    if suspect.other:
        return "Nothing on the list explains all answers well."
    explains, leaves = [], []
    for one in observations:
        place = _place(robot, one)
        healthy = place == 0
        like = _like(robot, suspect, one.check, place)
        if not healthy and like >= _EXPLAINS:
            explains.append(told_answer(robot, one))
        elif healthy and like >= 1 - _EXPLAINS and _tells(suspect, one):
            leaves.append(told_answer(robot, one))
    told = []
    if explains:
        told.append("it explains " + listed(explains[:_NAMED], "and"))
    if leaves:
        told.append(("and " if told else "it ") + f"leaves {listed(leaves[:_NAMED], 'and')} as seen")
    if not told:
        return "Nothing that was seen speaks against it."
    words = ", ".join(told)
    return words[0].upper() + words[1:] + "."


def told_answer(robot: RobotHunt, one: Observation) -> str:
    """Say what an answer was; of a reading near a limit, the likelier side."""
    return told_outcome(robot.checks[one.check], one.outcome or _likeliest(one))


def told_outcome(shown: Shown, outcome: str) -> str:
    """Say what a check showed: "radio lit", "volts lift left B low", "a hit just before"."""
    told = _TOLD.get(shown.kind, {}).get(outcome)
    if told is not None:
        return told
    if shown.kind == "drove":
        return f"{shown.about} {outcome} in the match"
    if shown.kind in ("look", "run"):
        return f"{shown.about} {outcome}"
    if shown.kind == "seen" and outcome in _LISTED:
        return f"{shown.about} {_LISTED[outcome]} the program's list"
    return f"{shown.key} {outcome}"


def amount(value: float, unit: str) -> str:
    """Write a reading as a meter shows it: "12.4 V", "0.3 Ω", "open"."""
    if math.isinf(value):
        return "open"
    return ohm_words(value) if unit == "ohm" else show(value, _UNITS[unit])


def _place(robot: RobotHunt, one: Observation) -> int:
    outcomes = check_kinds()[robot.checks[one.check].kind].outcomes
    return outcomes.index(one.outcome or _likeliest(one))


def _likeliest(one: Observation) -> str:
    return max(one.odds, key=lambda held: held[1])[0]


def _like(robot: RobotHunt, suspect: Suspect, check: str, place: int) -> float:
    """Return how likely an outcome may be under a suspect; of two faults, under the one that makes it likelier."""
    number = robot.numbers[check]
    rows = [robot.rows[key] for key in suspect.faults] or [(0,)]
    chances = [max(float(robot.hunt.chances[row, number, place]) for row in degrees) for degrees in rows]
    return min(chances) if place == 0 else max(chances)


def _tells(suspect: Suspect, one: Observation) -> bool:
    return any(held.observation == one and held.log_odds > math.log(_TELLS) for held in suspect.why)


def _numbers(scale: Scale | None) -> dict[str, str]:
    """Return what number goes with each outcome: "below 12.0 V", "1.5 to 100 kohm"."""
    if scale is None:
        return {}
    told: dict[str, str] = {}
    before = -math.inf
    for name, most in scale.bands:
        if math.isinf(before):
            told[name] = f"below {amount(most, scale.unit)}"
        elif math.isinf(most):
            told[name] = f"above {amount(before, scale.unit)}"
        else:
            told[name] = f"{amount(before, scale.unit)} to {amount(most, scale.unit)}"
        before = most
    return told


def _outcome(name: str, numbers: dict[str, str], scale: Scale | None) -> str:
    if name not in numbers:
        return name
    about = ""
    if scale is not None and math.isfinite(scale.healthy):
        about = f"about {amount(scale.healthy, scale.unit)}, "
    return f"{name}: {about}{numbers[name]}"
