"""The rack of one team at one moment: every battery and charger, what is known of it, and what is to be told."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from loomwright.findings import Severity
from loomwright.jobs.rack.noticed import rack_findings
from loomwright.jobs.rack.signing import known_label
from loomwright.rack.battery import BatteryClass, class_of
from loomwright.rack.chargers import ChargerHealth, charger_health
from loomwright.rack.fleet import RackCharger, batteries_of, chargers_of
from loomwright.rack.health.health import health_of
from loomwright.records.people import plain_name

if TYPE_CHECKING:
    from collections.abc import Callable

    from loomwright.findings import Finding
    from loomwright.model.part import Part
    from loomwright.model.robot import Robot
    from loomwright.rack.battery import RackBattery
    from loomwright.rack.health.result import BatteryHealth
    from loomwright.records.fold import State


_PLACES: Final = ("one-too-many", "two-places", "retired-in-use")


@dataclass(frozen=True, slots=True, kw_only=True)
class RackView:
    """Batteries with what is known of each in the same order, chargers likewise; `day` is the moment [since 1970]."""

    robot: str
    state: State
    batteries: tuple[RackBattery, ...]
    health: tuple[BatteryHealth, ...]
    chargers: tuple[RackCharger, ...]
    charger_health: tuple[ChargerHealth, ...]
    findings: tuple[Finding, ...]
    day: float

    @property
    def urgent(self) -> tuple[Finding, ...]:
        """What must not go on, and what does not fit with where things are said to be."""
        return tuple(one for one in self.findings if one.severity is Severity.MUST or one.code in _PLACES)

    def label(self, typed: str) -> str:
        """Return a label as it is written, whatever case and spaces it was typed with.

        Raises
        ------
        UnreadableInputError
            Where there is no such battery; with the nearest ones.
        """
        return known_label(self.state, typed)

    def health_of(self, label: str) -> BatteryHealth:
        """Return what is known of a battery; KeyError where there is none of this label."""
        for one in self.health:
            if plain_name(one.health.label) == plain_name(label):
                return one
        raise KeyError(label)


def rack_view(state: State, robot: Robot, find_part: Callable[[str], Part | None], day: float) -> RackView:
    """Return the rack as the records tell it at a moment; a battery of which nobody said the class is the robot's."""
    own = robot.device("battery")
    unknown: dict[str, None] = {}

    def class_for(part: str, capacity_ah: float | None) -> BatteryClass:
        found = find_part(part) if part else None
        if part and found is None:
            unknown[part] = None
        return class_of(found or (own.part if own is not None and not own.absent else None), capacity_ah)

    batteries, chargers = batteries_of(state, class_for), chargers_of(state)
    health = health_of(batteries, day)
    suspects = charger_health(chargers, batteries)
    return RackView(
        robot=robot.name,
        state=state,
        batteries=batteries,
        health=health,
        chargers=chargers,
        charger_health=suspects,
        findings=rack_findings(state, batteries, health, suspects, tuple(unknown), day),
        day=day,
    )
