"""The battery of a match: a shipped state of its class, or one of the team's own as the rack knows it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from loomwright.findings import Finding, Place, Severity, UnreadableInputError
from loomwright.jobs.as_built import BENCH
from loomwright.match.of_battery import BatteryState, battery_states
from loomwright.rack.battery import class_of
from loomwright.rack.health.result import State as Fitness
from loomwright.rack.readings import day_of
from loomwright.records.fold import fold
from loomwright.records.people import plain_name
from loomwright.wording import listed, nearest, quoted

if TYPE_CHECKING:
    from loomwright.model.robot import Robot
    from loomwright.rack.health.result import BatteryHealth
    from loomwright.records.fold import State
    from loomwright.robotfile.folder import RobotFolder

FRESH = "fresh"


@dataclass(frozen=True, slots=True)
class MatchBattery:
    """A battery to play with, by its name; `measured` are sentences on what is known of it (none: a shipped state)."""

    name: str
    state: BatteryState
    measured: tuple[str, ...] = ()


def match_battery(files: RobotFolder, robot: Robot, name: str) -> MatchBattery:
    """Return the battery that a name means: a shipped state, or a label of the rack.

    Without a name it is the one that was last said to be in the robot, where that is exactly one; a fresh one of the
    class else. What is known of it is told as of the last record, whatever the time: the same records, the same answer.

    Raises
    ------
    UnreadableInputError
        Where there is no such state and no such battery, and for records that can't be read.
    """
    shipped = battery_states()
    if name in shipped:
        return MatchBattery(name, shipped[name])
    state = _records(files, robot)
    label = _label(state, name)
    if not label and not name:
        return MatchBattery(FRESH, shipped[FRESH])
    if not label:
        raise UnreadableInputError([_no_such(name, [one.label for one in state.batteries.values()])])
    return _measured(files, robot, state, label)


def _records(files: RobotFolder, robot: Robot) -> State:
    if not (files.path / BENCH).is_file():
        return fold(())
    from loomwright.store import StoreError, records_at  # noqa: PLC0415  only where there are records

    try:
        return fold(records_at(files.path / BENCH, robot.name))
    except StoreError as error:
        raise UnreadableInputError([error.finding]) from error


def _label(state: State, name: str) -> str:
    if name:
        found = state.batteries.get(plain_name(name))
        return found.label if found is not None else ""
    here = [one.label for one in state.batteries.values() if one.place is not None and one.place.words == "robot"]
    return here[0] if len(here) == 1 else ""


def _measured(files: RobotFolder, robot: Robot, state: State, label: str) -> MatchBattery:
    from loomwright.jobs.rack.view import rack_view  # noqa: PLC0415  it brings numpy along

    last = max(day_of(event.measured_at) for event in state.events.values())
    view = rack_view(state, robot, files.library.part, last)
    return as_match_battery(view.health_of(label), robot)


def as_match_battery(known: BatteryHealth, robot: Robot) -> MatchBattery:
    """Return a battery of the rack as factors on the class of the robot's battery, whatever its own class is."""
    device = robot.device("battery")
    usual = class_of(device.part if device is not None and not device.absent else None)
    health, told = known.health, known.for_match
    ohm, ah = health.resistance_ohm, health.capacity_ah
    state = BatteryState(
        name=health.label,
        ohm=(ohm.low / usual.ohm, ohm.high / usual.ohm),
        capacity=(ah.low / usual.capacity_ah, ah.high / usual.capacity_ah),
        charge=told.charge,
        air_c=told.air_c,
        usual_air=True,
        source="measured",
    )
    readings = f"{health.tested} reading{'' if health.tested == 1 else 's'}"
    measured = (
        f"battery {health.label} is taken as the rack knows it: {_span(ohm.low * 1e3, ohm.high * 1e3)} mohm, "
        f"{_span(ah.low, ah.high)} Ah, {_span(told.charge[0] * 100, told.charge[1] * 100)} % charged, "
        f"from {readings} of its resistance"
    )
    doubtful = f"{health.label} is `{known.verdict.state}`" if known.verdict.state is not Fitness.FIT else ""
    return MatchBattery(health.label, state, (measured, doubtful) if doubtful else (measured,))


def _span(low: float, high: float) -> str:
    one, other = f"{low:.3g}", f"{high:.3g}"
    return one if one == other else f"{one} to {other}"


def _no_such(name: str, labels: list[str]) -> Finding:
    close = nearest(name, [*battery_states(), *labels])
    hint = f"Did you mean {listed([quoted(one) for one in close])}? " if close else ""
    states = listed(list(battery_states()))
    what = f"There is no battery {quoted(name)}: neither a state nor a label of the rack."
    return Finding(
        "no-such-battery", Severity.MUST, Place(thing="match"), what, f"{hint}Take {states}, or a battery of the rack."
    )
