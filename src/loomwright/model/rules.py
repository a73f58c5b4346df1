"""A season's rule book as data: dated rules with their parameters."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, TypeAlias

from loomwright.units.gauge import Gauge

if TYPE_CHECKING:
    from loomwright.findings import Severity
    from loomwright.model.mark import Mark

#: A parameter of a rule: an amount in SI, a word, yes or no, a gauge, a list, or a table of these.
Parameter: TypeAlias = "float | str | bool | Gauge | tuple[str, ...] | Mapping[str | float, Parameter]"


@dataclass(frozen=True, slots=True)
class Rule:
    """One rule: what it says to people, which check judges it, and with which numbers (SI).

    `dated` is the edition that the rule is taken from, as written; the book's own where a rule names none.
    """

    id: str
    check: str
    sentence: str
    severity: Severity
    source: str
    parameters: Mapping[str, Parameter] = field(default_factory=dict)
    dated: str = ""
    mark: Mark | None = None


@dataclass(frozen=True, slots=True)
class RuleOff:
    """A rule of the book below that this book switches off, and why."""

    rule: Rule
    reason: str
    mark: Mark | None = None


@dataclass(frozen=True, slots=True)
class RuleBook:
    """The rules in force, in the order they are told; `dated` is the edition as written (a word or a date).

    `based_on` names the book that this one changes, empty for a book of its own; `off` are the rules
    that it switches off.
    """

    name: str
    dated: str
    rules: tuple[Rule, ...]
    based_on: str = ""
    off: tuple[RuleOff, ...] = ()

    def of(self, check: str) -> tuple[Rule, ...]:
        """Return the rules that one check judges."""
        return tuple(rule for rule in self.rules if rule.check == check)

    def rule(self, rule_id: str) -> Rule | None:
        """Return the rule of this id, or None."""
        return next((rule for rule in self.rules if rule.id == rule_id), None)
