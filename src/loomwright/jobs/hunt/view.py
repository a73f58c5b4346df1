"""Where a hunt stands, for the command line and the screen."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from loomwright.hunting.result import SURE
from loomwright.hunting.robot.practice import check_kinds
from loomwright.hunting.robot.reading import NotAnObservationError, observation
from loomwright.hunting.robot.words import amount, told_answer, told_outcome
from loomwright.jobs.hunt.alike import put_together
from loomwright.jobs.hunt.checking import checks_again, is_healthy, next_check
from loomwright.jobs.hunt.result import AnswerView, CheckView, HuntView
from loomwright.jobs.hunt.seats import fixes_of, suspects_of
from loomwright.records.event import Kind

if TYPE_CHECKING:
    from collections.abc import Collection, Iterator, Sequence

    from loomwright.hunting.problem import Observation
    from loomwright.hunting.result import Standing
    from loomwright.hunting.robot.robot_hunt import RobotHunt
    from loomwright.jobs.hunt.desk import HuntDesk
    from loomwright.plan.result import Plan
    from loomwright.records.event import Event
    from loomwright.records.fold import State
    from loomwright.records.hunts import HuntRecord

_SUSPECTS: Final = 8
_STEPS: Final = 4
_RATHER: Final = 0.5


def hunt_view(desk: HuntDesk, plan: Plan, state: State, build: str) -> HuntView:
    """Return where the newest open hunt of a build stands; without one, where a fresh one would begin.

    Raises
    ------
    NoBatteryError
        The battery's part does not state at which voltage it rests.
    """
    robot = desk.robot(plan, state, build)
    hunt = state.hunt(build)
    dangers = state.dangers
    told = list(_observations(robot, hunt))
    observations = [one for _, one, _ in told if one is not None]
    if dangers or not observations:
        answers = tuple(_answer(robot, event, why, frozenset()) for event, _, why in told)
        return HuntView(hunt=hunt, dangers=dangers, answers=answers)
    now = _state(robot, told, _after_danger(state, hunt))
    mended = [key for event in (hunt.mended if hunt is not None else ()) for key in faults_at(robot, event.about)]
    standing = desk.standing(observations, now, mended)
    doubtful = frozenset(one.observation.check for one in standing.doubt.disagreeing if one.misread > _RATHER)
    suspects = suspects_of(desk, robot, standing, observations)
    again = tuple(checks_again(robot, hunt, told))
    mends = tuple(fixes_of(robot, standing, suspects, _gave_way(robot, observations, mended)))
    return HuntView(
        hunt=hunt,
        suspects=put_together(robot, suspects)[:_SUSPECTS],
        checks=tuple(next_check(robot, step) for step in standing.steps if step.check)[:_STEPS],
        again=again,
        fixes=mends,
        found=bool(mends and mends[0].probability >= SURE),
        helped=_helped(robot, hunt, told, again),
        answers=tuple(_answer(robot, event, why, doubtful) for event, _, why in told),
        doubt=_doubt(robot, standing),
        state=now,
        two=standing.two,
    )


def faults_at(robot: RobotHunt, seat: str) -> list[str]:
    """Return the keys of all faults of one seat."""
    return [key for key, fault in robot.faults.items() if fault.seat == seat]


def _gave_way(robot: RobotHunt, observations: Sequence[Observation], mended: Collection[str]) -> set[str]:
    """Return the ends that gave way when they were pulled and were not mended since."""
    pulled = [one for one in observations if robot.checks[one.check].kind == "tug"]
    best = check_kinds()["tug"].outcomes[0]
    seats = {robot.checks[one.check].about for one in pulled if one.outcome not in ("", best)}
    return seats - {robot.faults[key].seat for key in mended}


def _observations(robot: RobotHunt, hunt: HuntRecord | None) -> Iterator[tuple[Event, Observation | None, str]]:
    """Give every answer of a hunt as an observation, or with the reason why it is none on this plan."""
    if hunt is None:
        return
    mended = {event.key: event for event in hunt.mended}
    for event in hunt.observations:
        after = [key for of in event.of if of in mended for key in faults_at(robot, mended[of].about)]
        try:
            found = observation(robot, event.about, event.words, event.value, event.unit, after)
        except NotAnObservationError as error:
            yield event, None, f"{error.what} {error.fix}"
        else:
            yield event, found, ""


def _state(
    robot: RobotHunt, told: Sequence[tuple[Event, Observation | None, str]], after: frozenset[str] | None
) -> str:
    """Return the state of work of the last answer that needed one; after a danger the battery is out."""
    needs = {check.key: check.needs for check in robot.hunt.checks}
    asked = [needs[one.check] for event, one, _ in told if one is not None and (after is None or event.key in after)]
    return next((state for state in reversed(asked) if state), "" if after is None else "dead")


def _after_danger(state: State, hunt: HuntRecord | None) -> frozenset[str] | None:
    """Return the keys of what came after the last danger of a hunt was over; None where there was none."""
    places = [state.places[e.key] for e in state.alarms if e.kind is Kind.CLEARED and hunt and hunt.key in e.of]
    return frozenset(key for key, place in state.places.items() if place > max(places)) if places else None


def _helped(
    robot: RobotHunt,
    hunt: HuntRecord | None,
    told: Sequence[tuple[Event, Observation | None, str]],
    again: Sequence[CheckView],
) -> str:
    """Return the seat that was mended last, where everything that was tried after it is well; else nothing."""
    if hunt is None or not hunt.mended or again:
        return ""
    last = hunt.mended[-1]
    since = [one for event, one, _ in told if one is not None and last.key in event.of]
    best = {one.check: check_kinds()[robot.checks[one.check].kind].outcomes[0] for one in since}
    return last.about if since and all(is_healthy(one, best[one.check]) for one in since) else ""


def _answer(robot: RobotHunt, event: Event, refused: str, doubtful: frozenset[str]) -> AnswerView:
    shown = robot.checks.get(event.about)
    number = "" if event.value is None else f" {amount(event.value, event.unit)}"
    words = event.words or ""
    if event.value is not None:
        told = f"{event.about}{number}{' ' + words if words else ''}"
    else:
        told = told_outcome(shown, words) if shown is not None else f"{event.about} {words}"
    return AnswerView(
        key=event.key,
        check=event.about,
        words=told,
        who=event.who,
        doubtful=event.about in doubtful,
        refused=refused,
    )


def _doubt(robot: RobotHunt, standing: Standing) -> str:
    """Say which answers do not go together."""
    if not standing.doubt.told:
        return ""
    odd = [told_answer(robot, one.observation) for one in standing.doubt.disagreeing]
    first = f" Most likely misread: {odd[0]}. Make that check again." if odd else ""
    return f"The answers do not all go together: at least {standing.doubt.misreads} of them must be misread.{first}"
