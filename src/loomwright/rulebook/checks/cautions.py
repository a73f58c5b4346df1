"""The cautions that stand on everything that asks for work; they are printed, never judged."""

from __future__ import annotations

from typing import TYPE_CHECKING

from loomwright.rulebook.check import Check
from loomwright.rulebook.parameters import Word

if TYPE_CHECKING:
    from loomwright.findings import Finding
    from loomwright.model.rules import Rule
    from loomwright.plan.result import Plan


def _nothing_to_judge(plan: Plan, rule: Rule) -> tuple[Finding, ...]:  # noqa: ARG001  every check is asked in one form
    return ()


CHECKS = (
    Check(
        "caution",
        "Nothing: its sentence is printed wherever work is asked for. It can be reworded, not switched off.",
        _nothing_to_judge,
        {},
        {"place": Word(("last",))},
        kept=True,
    ),
)
