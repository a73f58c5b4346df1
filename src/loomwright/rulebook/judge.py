"""Put every rule of the book to a plan."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from loomwright.findings import Finding, by_weight
from loomwright.rulebook.registry import CHECKS

if TYPE_CHECKING:
    from loomwright.plan.result import Plan


def judge(plan: Plan) -> tuple[Finding, ...]:
    """Return what the plan's own rule book finds, gravest first.

    Each finding names its rule as its source and points at the fact that is wrong. What can't be known
    is asked (`should`), never alarmed.

    Raises
    ------
    KeyError
        For a rule whose check does not exist; the reader of rule books refuses such rules.
    """
    return by_weight(_findings(plan))


def _findings(plan: Plan) -> Iterator[Finding]:
    for rule in plan.rules.rules:
        yield from CHECKS[rule.check].judge(plan, rule)
