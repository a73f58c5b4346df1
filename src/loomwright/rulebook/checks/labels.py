"""What is written on the block: a label helps only if it stands once."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from typing import TYPE_CHECKING

from loomwright.rulebook.check import Check
from loomwright.rulebook.lookup import told_as
from loomwright.rulebook.parameters import Several, Word, words
from loomwright.rulebook.telling import at_device, fault, names
from loomwright.wording import quoted

if TYPE_CHECKING:
    from loomwright.findings import Finding
    from loomwright.model.device import Device
    from loomwright.model.fact import Fact
    from loomwright.model.rules import Rule
    from loomwright.plan.result import Plan


def _label_once(plan: Plan, rule: Rule) -> Iterator[Finding]:
    """Find labels that stand on two slots; a label that differs from the plan is no fault by itself."""
    no_name = {word.casefold() for word in words(rule, "not names")}
    found: dict[str, list[tuple[Device, str, Fact[str]]]] = defaultdict(list)
    for block in plan.robot:
        for slot, label in block.labels.items():
            if label.value is not None and label.value.casefold() not in no_name:
                found[label.value.casefold()].append((block, slot, label))
    for spots in found.values():
        if len(spots) > 1:
            block, slot, label = spots[-1]
            told = [f"{slot} of {told_as(block)}" for block, slot, _ in spots]
            yield fault(
                rule,
                "label-on-two-slots",
                at_device(block, f"labels.{slot}", label),
                f"The label {quoted(label.value or '')} stands on two slots or more: {names(told)}.",
                "Trace both, and label each with what is really on it.",
            )


CHECKS = (
    Check(
        "label on one slot",
        "Whether one label stands on two slots. A label that differs from the plan is no fault by itself.",
        _label_once,
        {"not names": Several(Word())},
    ),
)
