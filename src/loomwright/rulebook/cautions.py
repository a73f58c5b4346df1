"""The words that stand before any work on a robot."""

from __future__ import annotations

from typing import TYPE_CHECKING

from loomwright.rulebook.parameters import word

if TYPE_CHECKING:
    from loomwright.model.rules import RuleBook


def cautions(rules: RuleBook) -> tuple[str, ...]:
    """Return the cautions in the order of the rule book; those that must come last, such as the deference, do."""
    told = rules.of("caution")
    return tuple(rule.sentence for rule in sorted(told, key=lambda rule: word(rule, "place") == "last"))
