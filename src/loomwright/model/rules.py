"""A season's rule book as data: dated rules with their parameters."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Mapping

    from loomwright.findings import Severity
    from loomwright.model.mark import Mark

Parameter = float | str | bool | tuple["Parameter", ...] | dict[str, "Parameter"]


@dataclass(frozen=True, slots=True)
class Rule:
    """One rule: what it says to people, which check judges it, and with which numbers (SI)."""

    id: str
    check: str
    sentence: str
    severity: Severity
    source: str
    parameters: Mapping[str, Parameter] = field(default_factory=dict)
    mark: Mark | None = None


@dataclass(frozen=True, slots=True)
class RuleBook:
    """The rules in force, in the order they are told; `dated` is the edition as written (a word or a date)."""

    name: str
    dated: str
    rules: tuple[Rule, ...]

    def of(self, check: str) -> tuple[Rule, ...]:
        """Return the rules that one check judges."""
        return tuple(rule for rule in self.rules if rule.check == check)

    def rule(self, rule_id: str) -> Rule | None:
        """Return the rule of this id, or None."""
        return next((rule for rule in self.rules if rule.id == rule_id), None)
