"""The frame is insulated from both conductors: nothing on paper shows it, a meter does."""

from __future__ import annotations

from typing import TYPE_CHECKING

from loomwright.rulebook.check import Check
from loomwright.rulebook.parameters import Amount
from loomwright.units import Dimension

if TYPE_CHECKING:
    from loomwright.findings import Finding
    from loomwright.model.rules import Rule
    from loomwright.plan.result import Plan


def _measured_only(plan: Plan, rule: Rule) -> tuple[Finding, ...]:  # noqa: ARG001  every check is asked in one form
    return ()


CHECKS = (
    Check(
        "chassis isolation",
        "Nothing on paper: the measuring list takes from it which reading between frame and plus or minus passes.",
        _measured_only,
        {"at least": Amount(Dimension.RESISTANCE), "good from": Amount(Dimension.RESISTANCE)},
    ),
)
