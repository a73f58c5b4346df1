"""What the rule book asks of a wire before it is chosen: least gauge, allowed colours."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING

from loomwright.model.part import Polarity
from loomwright.rulebook.parameters import gauge, gauge_steps, gauges, word, words
from loomwright.units import thickest

if TYPE_CHECKING:
    from loomwright.model.rules import Rule, RuleBook
    from loomwright.units import Gauge
    from loomwright.wiring.result import CircuitKind

#: Behind a colour: allowed only with a stripe of another colour.
WITH_STRIPE = " with stripe"


def minimum_gauge(rules: RuleBook, protection_a: float, family: str) -> tuple[Gauge, str] | None:
    """Return the thinnest gauge allowed behind a protection of this rating [A], and the rule's id.

    `family` is the kind of protection that the outlet takes, or the id of its part: "breaker",
    "fuse/blade". An unknown family gets the strictest answer. None where no rule speaks of it.
    """
    return _strictest(
        (rule, step_for(gauge_steps(rule, "minimum"), protection_a, family)) for rule in rules.of("gauge by protection")
    )


def battery_path_minimum(rules: RuleBook) -> tuple[Gauge, str] | None:
    """Return the thinnest gauge allowed between battery and block, and the rule's id; None without a rule."""
    return _strictest((rule, gauge(rule, "minimum")) for rule in rules.of("battery path gauge"))


def minimum_for_use(rules: RuleBook, kind: CircuitKind) -> tuple[Gauge, str] | None:
    """Return the thinnest gauge allowed for a signal, bus or network line, and the rule's id; None without a rule."""
    return _strictest((rule, gauges(rule, "minimum").get(str(kind))) for rule in rules.of("gauge by use"))


def allowed_colours(rules: RuleBook, polarity: Polarity) -> tuple[str, ...]:
    """Return the colours that every colour rule allows for a conductor, the usual one first.

    They are IEC 60757 codes ("RD"); "BK with stripe" is black with a stripe of any other colour.
    Empty where no rule speaks of this conductor.
    """
    lists = [words(rule, "allowed") for rule in rules.of("colour by polarity") if word(rule, "polarity") == polarity]
    return tuple(colour for colour in lists[0] if all(colour in others for others in lists)) if lists else ()


def colour_allowed(rules: RuleBook, polarity: Polarity, code: str) -> bool:
    """Tell whether a wire of this colour code ("RD", "BKRD") may be used for a conductor.

    A stripe changes nothing, unless the other polarity is the one that is marked by it.
    """
    allowed = allowed_colours(rules, polarity)
    body, striped = code[:2], len(code) > 2  # noqa: PLR2004  IEC 60757 codes have two letters
    if not allowed or (striped and body + WITH_STRIPE in allowed):
        return True
    other = Polarity.MINUS if polarity is Polarity.PLUS else Polarity.PLUS
    claimed = striped and body + WITH_STRIPE in allowed_colours(rules, other)
    return body in allowed and not claimed


def step_for(steps: Mapping[str, Mapping[float, Gauge]], protection_a: float, family: str) -> Gauge | None:
    """Return the gauge of the first step that holds this rating [A]; ratings above all steps get the last one."""
    kind = family.split("/", 1)[0]
    tables = [steps[kind]] if kind in steps else list(steps.values())
    found = [table[_step(table, protection_a)] for table in tables if table]
    return thickest(found) if found else None


def _step(table: Mapping[float, Gauge], protection_a: float) -> float:
    return min((step for step in table if step >= protection_a), default=max(table))


def _strictest(found: Iterable[tuple[Rule, Gauge | None]]) -> tuple[Gauge, str] | None:
    asked = [(least, rule.id) for rule, least in found if least is not None]
    return min(asked, key=lambda pair: pair[0].number, default=None)
