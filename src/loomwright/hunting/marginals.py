"""What is bad whatever else is: the probability of each seat over all explanations that it is part of."""

from __future__ import annotations

from collections.abc import Collection

import numpy as np

from loomwright.hunting.board import Board
from loomwright.hunting.result import BadSeat
from loomwright.hunting.weigh import Weighed


def bad_seats(board: Board, weighed: Weighed, mended: Collection[str], tell: int) -> tuple[BadSeat, ...]:
    """Return the seats that are likeliest bad, alone or with another, at most so many; what is mended is left out."""
    there = np.bincount(board.name, weights=weighed.there)
    names = dict(zip(board.name[1:].tolist(), (fault.key for fault in board.hunt.faults), strict=True))
    seats = dict(zip(board.name[1:].tolist(), board.seat[1:].tolist(), strict=True))
    held: dict[int, dict[str, float]] = {}
    for name, key in names.items():
        if key not in mended:
            held.setdefault(seats[name], {})[key] = float(there[name])
    found = [
        BadSeat(faults=tuple(sorted(one, key=lambda key: (-one[key], key))), probability=sum(one.values()))
        for one in held.values()
    ]
    return tuple(sorted(found, key=lambda one: -one.probability)[:tell])


def all_mended(board: Board, weighed: Weighed, mended: Collection[str]) -> float:
    """Return the probability that something was wrong and all of it is mended."""
    gone = [number for number, fault in enumerate(board.hunt.faults, start=1) if fault.key in mended]
    over = np.isin(weighed.first, gone) & np.isin(weighed.second, [0, *gone])
    return float(weighed.probability[over].sum())


def two_there(weighed: Weighed) -> float:
    """Return the probability that two faults are there."""
    single = weighed.probability[weighed.second == 0].sum()
    return max(0.0, 1.0 - float(single))
