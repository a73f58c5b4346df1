"""The failure table and the weighed pit kit: every weak point once, what costs most first."""

from __future__ import annotations

from functools import lru_cache

import pytest

from loomwright.hunting.robot.weak_points import WeakPoint, weak_points
from loomwright.proof.failing import Failure, failures
from loomwright.proof.pit_kit import pit_kit
from loomwright.proof.spares import spares
from tests.robots import EXAMPLES, example_plan


@lru_cache(maxsize=4)
def points(name: str) -> tuple[WeakPoint, ...]:
    return weak_points(example_plan(name))


@lru_cache(maxsize=4)
def lines(name: str) -> tuple[Failure, ...]:
    return failures(example_plan(name), points(name))


def line(name: str, start: str) -> Failure:
    (found,) = (one for one in lines(name) if one.lost.startswith(start))
    return found


@pytest.mark.parametrize("name", EXAMPLES)
def test_every_weak_point_stands_in_one_line(name: str) -> None:
    """Nothing lost, nothing twice: ends and expected seconds of all lines are those of all points; dearest first."""
    assert sum(one.expected_s for one in lines(name)) == pytest.approx(sum(one.expected_s for one in points(name)))
    assert sum(one.ends for one in lines(name)) == sum(one.ends for one in points(name))
    assert [one.expected_s for one in lines(name)] == sorted((one.expected_s for one in lines(name)), reverse=True)
    assert len({one.lost for one in lines(name)}) == len(lines(name))
    for one in lines(name):
        assert one.takes
        assert one.shows
        assert one.do.endswith(".")
        assert "{" not in one.lost + one.do


def test_what_is_alike_stands_together() -> None:
    """By hand: eight feeds of drive motors and steering controllers of the large robot; nine joints of its chain."""
    feeds = line("breakwater", "feed of front left drive")
    assert feeds.lost == "feed of front left drive, front left steer, front right drive or 5 more"
    assert (feeds.ends, feeds.takes) == (8 * 4, "its motor")
    assert feeds.stays_s == pytest.approx(75 * 0.3)
    assert feeds.shows == ("for a moment: it stutters", "for good: it is dark")
    chain = line("breakwater", "drive chain: any of")
    assert (chain.lost, chain.ends, chain.whole) == ("drive chain: any of 9 joints", 36, "drive")
    assert chain.takes.startswith("at most the whole drive")


def test_a_line_says_how_it_shows_and_what_to_do() -> None:
    """The radio's feed: a minute for a moment; the breaker: push it in; a switch: lit radio without a link."""
    assert line("breakwater", "feed of regulator").shows[0] == "for a moment: stands still 40 to 60 s"
    assert line("breakwater", "main breaker off").do.startswith("Push it in.")
    assert line("breakwater", "feed of switch").shows[1] == "for good: switch dark; radio lit, no link"
    assert line("breakwater", "the battery path").do.startswith("Battery out")
    assert line("rockpool", "the battery path").takes == "the whole robot: robot controller dark"


@pytest.mark.parametrize("name", EXAMPLES)
def test_the_pit_kit_holds_the_same_spares_the_one_that_saves_most_first(name: str) -> None:
    """What is told of a spare is what is expected to be lost at the seats that it mends, and no more than all."""
    plan = example_plan(name)
    kit = pit_kit(plan, points(name))
    assert sorted(one.spare.what for one in kit) == sorted(spare.what for spare in spares(plan))
    assert [one.lost_s for one in kit] == sorted((one.lost_s for one in kit), reverse=True)
    by_seat = {seat: lost_s for point in points(name) for seat, lost_s in point.by_seat}
    for one in kit:
        assert one.lost_s == pytest.approx(sum(by_seat.get(seat, 0.0) for seat in one.spare.mends))
        assert one.why.startswith(one.spare.reason)


def test_a_reason_says_what_stands_still_without_the_spare() -> None:
    """By hand: the fuse of the robot controller, the regulator, and no reason more where only one motor stops."""
    kit = {one.spare.what: one for one in pit_kit(example_plan("breakwater"), points("breakwater"))}
    assert kit["blade fuse, 10 A (red)"].why.endswith("the robot stands still when it fails at: robot controller")
    assert kit["blade fuse, 10 A (red)"].spare.mends == {"protection of robot controller"}
    # A fuse's rate of 0.0005 in a match (data/tables/hunt_rate.csv), half a match of 150 s.
    assert kit["blade fuse, 10 A (red)"].lost_s == pytest.approx(100 * 0.0005 * 75)
    (regulator,) = (one for what, one in kit.items() if what.startswith("Regulator"))
    assert regulator.why.endswith("the robot stands still when it fails at: regulator")
    assert kit["motor: Brushless motor, 500 W class"].why == kit["motor: Brushless motor, 500 W class"].spare.reason


def test_without_weak_points_the_kit_stays_as_it_was() -> None:
    plan = example_plan("rockpool")
    assert [one.spare for one in pit_kit(plan, ())] == list(spares(plan))
    assert all(one.why == one.spare.reason and one.lost_s == 0 for one in pit_kit(plan, ()))
