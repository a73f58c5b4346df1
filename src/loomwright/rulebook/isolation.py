"""What the rule book asks of the frame's insulation from plus and from minus."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from loomwright.rulebook.parameters import amount

if TYPE_CHECKING:
    from loomwright.model.rules import Rule, RuleBook


@dataclass(frozen=True, slots=True)
class Isolation:
    """The least reading that passes and the one that is good practice [ohm], with the id of the strictest rule."""

    at_least_ohm: float
    good_from_ohm: float
    rule: str


def chassis_isolation(rules: RuleBook) -> Isolation | None:
    """Return what is asked between the frame and either conductor, of several rules the strictest; None without one."""
    found = [_asked(rule) for rule in rules.of("chassis isolation")]
    return max(found, key=lambda asked: (asked.at_least_ohm, asked.good_from_ohm), default=None)


def _asked(rule: Rule) -> Isolation:
    """Read one rule: what is good is never less than what passes."""
    at_least_ohm = amount(rule, "at least")
    return Isolation(at_least_ohm, max(at_least_ohm, amount(rule, "good from")), rule.id)
