"""In which state a robot is measured, and which end of every range its network is built with."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING, TypeAlias

if TYPE_CHECKING:
    from loomwright.plan.result import Plan

#: A resistance between two bounds [ohm]; both ends are the same where it is known.
Span: TypeAlias = tuple[float, float]


class Side(StrEnum):
    """Which end of every range a network is built with: readings only rise with resistances, so two networks do."""

    LOW = "low"
    HIGH = "high"


@dataclass(frozen=True, slots=True)
class Board:
    """What is in and what is out: circuits whose breaker or fuse is in, the main breaker on, the battery plug mated."""

    fitted: frozenset[str] = frozenset()
    breaker_on: bool = False
    plugged: bool = False


def whole_board(plan: Plan) -> Board:
    """Return the board with every breaker and fuse in, but the main breaker off and the battery out."""
    return Board(fitted=frozenset(circuit.id for circuit in plan.circuits))


def pick(span: Span, side: Side) -> float:
    """Return one end of a range."""
    return span[0] if side is Side.LOW else span[1]
