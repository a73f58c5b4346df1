"""The hunt on one plan, put into numbers once and asked again and again."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
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
    _robot: RobotHunt | None = None
    _trackers: dict[bool, Tracker] = field(default_factory=dict)
    _raised: Mapping[str, Raised] = field(default_factory=dict)

    def robot(self, plan: Plan, state: State, build: str) -> RobotHunt:
        """Return the robot's hunt; raises NoBatteryError as `robot_hunt` does."""
        raised = raised_by(plan, state, build)
        if self._robot is None or self._of != (plan.revision, plan.inputs):
            self._robot = robot_hunt(plan, pairs=True)
            self._of, self._raised, self._trackers = (plan.revision, plan.inputs), {}, {}
        if raised != self._raised:
            self._robot = reweighed(self._robot, {key: held.factor for key, held in raised.items()})
            self._raised, self._trackers = raised, {}
        return self._robot

    def raised(self, fault: str) -> tuple[str, ...]:
        """Return why the records raise a fault's odds."""
        held = self._raised.get(fault)
        return held.why if held else ()

    def standing(self, observations: Sequence[Observation], state: str, mended: Sequence[str]) -> tuple[Standing, bool]:
        """Return where the hunt stands, and whether two faults at a time were weighed; `mended` is mended by now."""
        single = self._tracker(pairs=False).standing(observations, state, mended)
        alone = not single.suspects or not single.suspects[0].other
        if alone and not single.doubt.told and not self._still_wrong(observations):
            return single, False
        return self._tracker(pairs=True).standing(observations, state, mended), True

    def _still_wrong(self, observations: Sequence[Observation]) -> bool:
        """Tell whether anything is wrong after something was mended: then there may be two faults."""
        best = {check.key: check.outcomes[0] for check in self._robot.hunt.checks} if self._robot is not None else {}
        return any(one.after and one.outcome not in ("", best[one.check]) for one in observations)

    def _tracker(self, *, pairs: bool) -> Tracker:
        if pairs not in self._trackers and self._robot is not None:
            hunt = self._robot.hunt
            self._trackers[pairs] = Tracker(hunt if pairs else replace(hunt, pairs=None), _PAINS)
        return self._trackers[pairs]
