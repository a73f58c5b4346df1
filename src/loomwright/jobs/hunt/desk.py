"""The hunt on one plan, put into numbers once and asked again and again."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Final

from loomwright.hunting.hunting import Pains, Tracker
from loomwright.hunting.robot.history import raised_by
from loomwright.hunting.robot.robot_hunt import RobotHunt, reweighed, robot_hunt

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from loomwright.hunting.problem import Observation
    from loomwright.hunting.result import Standing
    from loomwright.hunting.robot.history import Raised
    from loomwright.plan.result import Plan
    from loomwright.records.fold import State

#: Steps are chosen among the explanations with most of the probability: the others hardly change what is worth most.
_PAINS: Final = Pains(looked_at=0.98, most_looked_at=600, tell=40)


@dataclass(slots=True)
class HuntDesk:
    """The hunt on one plan, put into numbers once and again when the plan or what the records raise has changed."""

    _of: tuple[object, ...] = ()
    _plain: RobotHunt | None = None
    _robot: RobotHunt | None = None
    _tracker: Tracker | None = None
    _raised: Mapping[str, Raised] = field(default_factory=dict)

    def robot(self, plan: Plan, state: State, build: str) -> RobotHunt:
        """Return the robot's hunt; raises NoBatteryError as `robot_hunt` does."""
        raised = raised_by(plan, state, build)
        if self._plain is None or self._of != (plan.revision, plan.inputs):
            self._plain, self._robot, self._of = robot_hunt(plan, pairs=True), None, (plan.revision, plan.inputs)
        if self._robot is None or raised != self._raised:
            self._robot = reweighed(self._plain, {key: held.factor for key, held in raised.items()})
            self._raised, self._tracker = raised, Tracker(self._robot.hunt, _PAINS)
        return self._robot

    def raised(self, fault: str) -> tuple[str, ...]:
        """Return why the records raise a fault's odds."""
        held = self._raised.get(fault)
        return held.why if held else ()

    def standing(self, observations: Sequence[Observation], state: str, mended: Sequence[str]) -> Standing:
        """Return where the hunt stands; `mended` is mended by now. The robot must have been asked for before."""
        if self._tracker is None:
            raise ValueError("ask for the robot first")
        return self._tracker.standing(observations, state, mended)
