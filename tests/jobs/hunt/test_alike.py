"""Ends that nothing tells apart yet are one line of the suspects, and part as soon as something does."""

from __future__ import annotations

from loomwright.hunting.robot.robot_hunt import robot_hunt
from loomwright.jobs.hunt.alike import put_together
from loomwright.jobs.hunt.result import SuspectView
from tests.robots import example_plan


def suspect(seat: str, probability: float, kind: str = "open") -> SuspectView:
    """Make a suspect of one seat."""
    return SuspectView(
        seats=(seat,),
        faults=(f"{kind} {seat}",),
        words=seat,
        probability=probability,
        because="",
        wires=(seat.split(" ", maxsplit=1)[0],),
    )


def test_ends_of_one_circuit_that_are_as_likely_are_one_line_with_the_sum() -> None:
    """The four ends of the left wheel's feed; the fifth is of another circuit, the sixth another fault."""
    robot = robot_hunt(example_plan("rockpool"))
    held = [suspect(seat, 0.1) for seat in ("W6 A", "W6 B", "W7 A", "W7 B")]
    found = put_together(robot, [*held, suspect("W8 A", 0.1), suspect("W6 A", 0.1, "shaky")])
    assert [(one.seats, one.any_of) for one in found] == [
        (("W6 A", "W6 B", "W7 A", "W7 B"), True),
        (("W8 A",), False),
        (("W6 A",), False),
    ]
    assert found[0].probability == sum(one.probability for one in held)
    assert found[0].words.startswith("one of W6 A, W6 B, W7 A and W7 B lets nothing through")
    assert found[0].wires == ("W6", "W7")


def test_what_is_likelier_or_no_end_stays_alone() -> None:
    """Three percent more is told apart; a fuse is no end; a line that outgrows another comes first."""
    robot = robot_hunt(example_plan("rockpool"))
    fuse = SuspectView(
        seats=("protection of left wheel",),
        faults=("out protection of left wheel",),
        words="",
        probability=0.15,
        because="",
    )
    found = put_together(robot, [fuse, suspect("W6 A", 0.103), suspect("W6 B", 0.1), suspect("W7 A", 0.1)])
    assert [one.seats for one in found] == [("W6 B", "W7 A"), ("protection of left wheel",), ("W6 A",)]
