"""The hunt as the bench serves it: put into numbers once, asked at most once for each arrival."""

from __future__ import annotations

from dataclasses import dataclass, field
from threading import Lock
from typing import TYPE_CHECKING

from loomwright.hunting.robot.robot_hunt import NoBatteryError
from loomwright.jobs.hunt.desk import HuntDesk
from loomwright.jobs.hunt.view import hunt_view

if TYPE_CHECKING:
    from loomwright.hunting.robot.robot_hunt import RobotHunt
    from loomwright.jobs.hunt.result import HuntView
    from loomwright.plan.result import Plan
    from loomwright.records.fold import State


@dataclass(frozen=True, slots=True, kw_only=True)
class HuntSeen:
    """Where the hunt stands, beside the robot that it is about; without a robot `why` says why there is none."""

    robot: RobotHunt | None = None
    view: HuntView | None = None
    why: str = ""


@dataclass(slots=True)
class HuntAtBench:
    """Keeps the desk and what it answered last; whatever thread asks."""

    _desk: HuntDesk = field(default_factory=HuntDesk)
    _of: tuple[object, ...] = ()
    _seen: HuntSeen = field(default_factory=HuntSeen)
    _lock: Lock = field(default_factory=Lock)

    def seen(self, plan: Plan, state: State, arrival: int) -> HuntSeen:
        """Return where the hunt of a plan's build stands; `arrival` counts the records that the state knows."""
        with self._lock:
            asked = (plan.revision, plan.inputs, arrival)
            if self._of != asked:
                self._seen, self._of = self._look(plan, state), asked
            return self._seen

    def _look(self, plan: Plan, state: State) -> HuntSeen:
        build = plan.robot.build
        try:
            view = hunt_view(self._desk, plan, state, build)
            return HuntSeen(robot=self._desk.robot(plan, state, build), view=view)
        except NoBatteryError as error:
            return HuntSeen(why=f"There can be no hunt on this plan: {error} Write it into the part, and plan again.")
