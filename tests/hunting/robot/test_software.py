"""Software as a fault: every way that a program may look wrong shows that, what follows from it, and nothing else."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import pytest

from loomwright.electrical.bus import chains
from loomwright.hunting.hunting import Tracker
from loomwright.hunting.problem import Observation
from loomwright.hunting.robot.practice import practice
from loomwright.hunting.robot.robot_hunt import RobotHunt
from loomwright.hunting.robot.shown import Shown
from loomwright.hunting.robot.software import software_ways
from loomwright.rulebook.lookup import feeds
from tests.hunting.robot.traced import ROBOTS, planned, shows, traced

MOTORS = ("dead", "weak", "backward", "always")
#: What a look at the program finds, and whether hands were in the robot just before, hangs on no single way.
WHATEVER = ("program", "since work")


def ways(robot: RobotHunt) -> Iterator[tuple[int, str, str]]:
    """Give the place of every way among the cases: what it does, and to what."""
    yield from ((place, *case.software) for place, case in enumerate(robot.cases) if case.software[0])


def shown_by(robot: RobotHunt, place: int) -> set[str]:
    """Return the checks that show something else in a case than on a robot that is well."""
    return {
        key
        for key, shown in robot.checks.items()
        if key not in WHATEVER and np.abs(shown.chances[place] - shown.chances[0]).max() > 1e-9
    }


def may_show(name: str, what: str, about: str) -> set[str]:
    """Return the checks that a way may show in by the document: its own, and those that take it in."""
    plan = planned(name)
    device = plan.robot.device(about)
    if what in MOTORS:
        assert device is not None
        taken = {f"amps {circuit.id}" for circuit in feeds(plan, device.driven_by or device.id)}
        return {f"run {about}", f"drove {about}", f"mechanism {device.mechanism}", *taken}
    if what == "odd":
        return {f"look {about}", *(f"lights {circuit.source}" for circuit in feeds(plan, about))}
    if what == "unseen":
        return {f"seen {about}", *(f"list {chain.bus.name}" for chain in chains(plan) if device in chain.devices)}
    # A robot that browned out stood still for a moment, too.
    return {"halt"} if what == "halt" else {"brown-out", "halt"}


def told(shown: Shown, place: int, outcomes: tuple[str, ...]) -> str:
    """Return the likeliest outcome of a check in a case."""
    return outcomes[int(shown.chances[place].argmax())]


@pytest.mark.parametrize("name", ROBOTS)
def test_every_way_shows_what_it_says_and_nothing_else(name: str) -> None:
    """A motor by itself and its amps, a light, a line of the list, a halt, a brown-out; all else is as when well."""
    robot = traced(name)
    outcomes = {check.key: check.outcomes for check in robot.hunt.checks}
    for place, what, about in ways(robot):
        own = {"odd": "look", "unseen": "seen"}.get(what, what)
        keys = [f"run {about}", f"drove {about}"] if what in MOTORS else [own if what == "halt" else f"{own} {about}"]
        expected = {"unseen": "missing", "halt": about, "brown-out": "yes"}.get(what, what)
        for key in (key.strip() for key in keys):
            assert told(robot.checks[key], place, outcomes[key]) == expected, (what, about)
        found = shown_by(robot, place)
        assert {key.strip() for key in keys} <= found <= may_show(name, what, about), (what, about)


@pytest.mark.parametrize("name", ROBOTS)
def test_a_motor_runs_under_a_plain_program(name: str) -> None:
    """Whatever the program does to it; the amps that it takes are missing where it does not run."""
    robot = traced(name)
    for place, what, about in ways(robot):
        if what in MOTORS:
            assert robot.checks[f"direct {about}"].chances[place, 0] > 0.999, (what, about)
            circuit = next(iter(may_show(name, what, about) & {key for key in robot.checks if key[:5] == "amps "}))
            none = float(robot.checks[circuit].chances[place, -1])
            assert none == pytest.approx(1.0 if what == "dead" else 0.0, abs=1e-3), (what, about)


@pytest.mark.parametrize("name", ROBOTS)
def test_a_look_at_the_program_finds_it(name: str) -> None:
    """Mostly, whichever way it is; a healthy robot's program is blamed seldom."""
    found = traced(name).checks["program"].chances[:, 1]
    assert {float(found[place]) for place, _, _ in ways(traced(name))} == {practice("program found")}
    assert found[0] == practice("program blamed")


def test_there_is_a_way_for_everything_that_may_look_wrong() -> None:
    """Rockpool: two motors in four ways, four lights, no chain, four lengths of a halt, a brown-out."""
    found = [(way.what, way.about) for way in software_ways(planned("rockpool"))]
    lights = ("left wheel controller", "right wheel controller", "robot controller", "beacon")
    assert found == [
        *((what, wheel) for wheel in ("left wheel", "right wheel") for what in MOTORS),
        *(("odd", light) for light in lights),
        *(("halt", length) for length in ("short", "computer", "long", "rest")),
        ("brown-out", ""),
    ]


@pytest.mark.parametrize("name", ROBOTS)
def test_every_way_is_as_often_as_practice_says(name: str) -> None:
    """Of the odds of software each way has its own; those of a halt are shared by its lengths."""
    robot, plan = traced(name), planned(name)
    for way in software_ways(plan):
        other = {"halt": practice("software halts") / 4, "brown-out": practice("software browns out")}
        often = other.get(way.what) or practice(f"software {way.what}")
        assert way.per_match == pytest.approx(often)
    [last] = [fault for fault in robot.faults.values() if fault.kind == "software"]
    assert (last.key, last.seat) == ("software", "")
    assert list(robot.faults)[-1] == "software"
    assert last.per_match == pytest.approx(sum(way.per_match for way in software_ways(plan)))
    shares = {(what, about): robot.cases[place].share for place, what, about in ways(robot)}
    assert shares == pytest.approx({(w.what, w.about): w.per_match / last.per_match for w in software_ways(plan)})


def test_all_ways_together() -> None:
    """Of all that software does on Rockpool, a wheel that stands still is 4 of 262: mean of the ways by their odds."""
    odds = [way.per_match for way in software_ways(planned("rockpool"))]
    assert sum(odds) == pytest.approx(2 * (4 + 4 + 3 + 10) * 1e-4 + 4 * 5e-4 + 0.01 + 0.01)
    assert shows("rockpool", "software", "run left wheel")["dead"] == pytest.approx(4e-4 / sum(odds), rel=1e-3)


def test_software_is_hunted_like_any_other_fault() -> None:
    """A wheel that turns backward, with its leads as planned, in the match and now but not under a plain program."""
    robot = traced("rockpool")
    seen = [
        Observation(check="drove left wheel", outcome="backward"),
        Observation(check="run left wheel", outcome="backward"),
        Observation(check="colours left wheel: motor side", outcome="as planned"),
        Observation(check="direct left wheel", outcome="runs"),
    ]
    tracker = Tracker(robot.hunt)
    before, after = (
        tracker.standing([*seen, *more]) for more in ([], [Observation(check="program", outcome="found it")])
    )
    share = {one.faults: one.probability for one in before.bad}
    assert before.bad[0].faults == ("software",)
    assert after.bad[0].probability > share["software",]
    assert after.steps[0].repair == ("software",)
