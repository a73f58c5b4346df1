"""What a step is chosen by: what would be mended, and not what kind of fault it is."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import replace

import numpy as np
import pytest

from loomwright.hunting.board import board_of
from loomwright.hunting.hunting import standing
from loomwright.hunting.pool import Pool, pool_of
from loomwright.hunting.problem import Hunt, Observation
from loomwright.hunting.weigh import weigh
from tests.hunting.made_up import hunt_of

SEEN = [Observation(check="C0", outcome="low")]


def seated(hunt: Hunt, *seats: str) -> Hunt:
    """Return the hunt with its faults at these seats."""
    faults = tuple(replace(fault, parts=(seat,)) for fault, seat in zip(hunt.faults, seats, strict=True))
    return replace(hunt, faults=faults)


def asked(hunt: Hunt, mended: Collection[str] = ()) -> tuple[Pool, list[tuple[str, ...]]]:
    """Return the pool after the first answer, and its members by the faults of what is likeliest of each."""
    board = board_of(hunt)
    weighed = weigh(board, SEEN, most_pairs=99)
    pool, _ = pool_of(board, weighed, share=1.0, most=999, mended=mended)
    numbers = [(int(weighed.first[one]), int(weighed.second[one])) for one in pool.members]
    return pool, [tuple(hunt.faults[each - 1].key for each in held if each > 0) for held in numbers]


def one_end_two_kinds() -> Hunt:
    """Return three faults that show in C0: two kinds at one end, which C1 tells apart, and another end (C2)."""
    table = [[0, 0, 0], [1, 0, 0], [1, 1, 0], [1, 0, 1]]
    hunt = hunt_of(table, odds=[0.3, 0.1, 0.1], repair_s=[30.0, 90.0, 60.0], misread=1e-4)
    return seated(replace(hunt, healthy_odds=1e-3), "W1 A", "W1 A", "W1 B")


def test_two_kinds_at_one_seat_are_one_member() -> None:
    """0.3 open and 0.1 poor at one end against 0.1 at the other: four to one, and the mean of what each takes."""
    pool, members = asked(one_end_two_kinds())
    assert members[:2] == [("F1",), ("F3",)]
    assert pool.probability[:2] == pytest.approx([0.8, 0.2], rel=1e-3)
    assert pool.repair_s[:2] == pytest.approx([0.75 * 30 + 0.25 * 90, 60.0])
    assert pool.probability.sum() == pytest.approx(1)


def test_a_member_shows_what_its_kinds_show_by_their_odds() -> None:
    """Of what is wrong at that end a quarter is poor: C1 is low a quarter of the time."""
    hunt = one_end_two_kinds()
    # Something that C1 is well for, and something that it is low for, so that it tells something.
    table = np.concatenate([hunt.chances, hunt.chances[[2]]])
    more = replace(hunt, faults=(*hunt.faults, replace(hunt.faults[1], key="F4", parts=("W2 A",))), chances=table)
    pool, members = asked(more)
    check = list(pool.checks).index(1)
    low = dict(zip(members, pool.chances[check, 1], strict=True))
    assert low["F1",] == pytest.approx(0.25, abs=1e-3)
    assert (low["F3",], low["F4",]) == pytest.approx((0.0, 1.0), abs=1e-3)


def test_what_tells_only_the_kind_tells_nothing() -> None:
    """C1 parts open from poor at one end, and shows either at the other: nobody is sent for it, however quick it is."""
    hunt = one_end_two_kinds()
    chances = hunt.chances.copy()
    chances[[0, 3], 1] = 0.5
    hunt = replace(
        hunt,
        faults=tuple(replace(fault, odds=odds) for fault, odds in zip(hunt.faults, (0.2, 0.2, 0.1), strict=True)),
        checks=(hunt.checks[0], replace(hunt.checks[1], seconds=0.1), hunt.checks[2]),
        chances=chances,
    )
    pool, _ = asked(hunt)
    assert list(pool.checks) == [0, 2]
    assert {step.check for step in standing(hunt, SEEN).steps} & {"C1", "C2"} == {"C2"}
    # With the two kinds at two ends it tells which of them.
    apart = seated(hunt, "W1 A", "W2 A", "W1 B")
    assert 1 in asked(apart)[0].checks
    assert standing(apart, SEEN).steps[0].check == "C1"


def test_pairs_are_put_together_by_both_seats() -> None:
    """Open or poor at one end with the other end: one member, whose repair ends all that sits in the two."""
    hunt = replace(one_end_two_kinds(), pairs=True)
    pool, members = asked(hunt)
    assert [member for member in members if len(member) == 2] == [("F1", "F3")]
    both = members.index(("F1", "F3"))
    # 0.3 and 0.1 times 0.1, beside 0.4 at one end and 0.1 at the other.
    assert pool.probability[both] == pytest.approx(0.04 / 0.54, rel=5e-3)
    ends = {members[one] for one in np.flatnonzero(pool.ends[both])}
    assert ends == {("F1",), ("F3",), ("F1", "F3")}
    assert {members[one] for one in np.flatnonzero(pool.ends[members.index(("F1",))])} == {("F1",)}


def test_what_is_mended_whole_is_left_out() -> None:
    """Both kinds at the end that was mended are gone; a pair with the other end is not mended whole. Healthy stays."""
    hunt = replace(one_end_two_kinds(), pairs=True)
    _, members = asked(hunt, mended=["F1", "F2"])
    assert not {("F1",), ("F2",)} & set(members)
    assert any("F3" in member for member in members)
    assert asked(hunt, mended=["F1", "F2", "F3"])[1] == [()]


def test_of_a_pair_only_what_is_not_mended_is_left() -> None:
    """The end of F1 is mended: what is left of F1 with F3 is F3, takes what that takes, and shows what that shows."""
    hunt = replace(one_end_two_kinds(), pairs=True, healthy_odds=1e-9)
    pool, members = asked(hunt, mended=["F1", "F2"])
    left = [number for number, member in enumerate(members) if "F3" in member]
    assert pool.repair_s[left] == pytest.approx([60.0] * len(left))
    assert pool.ends[np.ix_(left, left)].all()
    # Of what is left F2 is no more: C1 is well, with it or without.
    for check in np.flatnonzero(pool.checks == 1):
        assert pool.chances[check, 1, left] == pytest.approx(0.0, abs=1e-3)
