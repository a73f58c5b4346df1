"""Write docs/rules.md from the shipped rule books and the checks: `python tools/rules_page.py`."""

from __future__ import annotations

import json
import re
import sys
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import TYPE_CHECKING

from loomwright.catalogue.colours import colour_words
from loomwright.robotfile.rules.rulefile import COMMON_PRACTICE, read_rules, shipped_books
from loomwright.rulebook import CHECKS
from loomwright.rulebook.parameters import Amount, Colour, Several, Size, Table, Word
from loomwright.units import Dimension, show

if TYPE_CHECKING:
    from loomwright.model.rules import Parameter, Rule, RuleBook
    from loomwright.rulebook.check import Check
    from loomwright.rulebook.parameters import Kind

PAGE = Path(__file__).resolve().parent.parent / "docs" / "rules.md"

_NEEDS_QUOTES = re.compile(r"[`:{}\[\],#\"]")

HEAD = """\
# Rules

<!-- Made from the rule books and the checks by `python tools/rules_page.py`; a test holds them together. -->

`loomwright check` and `loomwright plan` judge a robot by a **rule book**. The one that comes with the tool is
*common practice*: what teams commonly do, and what inspectors commonly ask for. It is nobody's official rule book.
**Your season's rule book, local codes and licensed practice come first**: read them, and write down here where they
differ.

A finding says `must` (fix it), `should` (look at it, or answer a question) or `consider` (advice). What nobody knows
is asked, never alarmed, so a question is never graver than `should`, whatever the rule's own severity.

## Your season's rules

Put a file `rules.yaml` beside `robot.yaml`. Name the book below and write only what differs. Without `based on` only
the rules in your file hold, and `check` asks whether you meant that; the cautions stand in any case.

```yaml
rule book: our season
dated: 2027, second edition          # the edition you copied from, or the day
based on: common-practice
rules:
  battery-lead-length:               # change a rule: name its id and what differs
    severity: must
    source: season manual, section 7.2
    parameters: {at most: 10 in}
  gauge-by-protection:               # tables change key by key, everything else as a whole
    parameters: {minimum: {breaker: {40 A: 10 AWG}}}
  signal-light-jumper-set:           # switch a rule off, with a reason; it stays in sight as advice
    severity: off
    reason: our light has no jumper
  our-cameras:                       # a new rule needs all of these
    check: protection at most
    sentence: A camera's branch has 5 A at most.
    severity: should
    source: our notebook
    parameters: {of: {camera: 5 A}}
```

Cautions can be reworded, not switched off. `loomwright check` tells all slips of this file at once.
"""


def rules_page() -> str:
    """Return the whole page in Markdown."""
    return "\n".join([HEAD, *_books(), *_checks()])


def rule_row(rule: Rule) -> str:
    """Return the lines of one rule: id, sentence, severity, source, check, parameters."""
    lines = [f"### `{rule.id}`", "", f"{rule.sentence}", ""]
    lines.append(f"- severity: {rule.severity}; source: {rule.source}; dated: {rule.dated}; check: {rule.check}")
    kinds = CHECKS[rule.check].kinds
    held = [f"{name}: {as_written(value, kinds[name])}" for name, value in rule.parameters.items()]
    return "\n".join([*lines, *(["", "```yaml", *held, "```"] if held else []), ""])


def as_written(value: Parameter, kind: Kind) -> str:
    """Write a parameter as a rule file does: "20 A", "[red, white]", "{20 A: 18 AWG}"."""
    if isinstance(value, Mapping) and isinstance(kind, Table):
        pairs = [f"{as_written(key, kind.key)}: {as_written(held, kind.value)}" for key, held in value.items()]
        return "{" + ", ".join(pairs) + "}"
    if isinstance(value, tuple) and isinstance(kind, Several):
        return "[" + ", ".join(as_written(item, kind.of) for item in value) + "]"
    if isinstance(value, float) and isinstance(kind, Amount):
        return show(value, kind.dimension, digits=6)
    if isinstance(value, str) and isinstance(kind, Colour):
        code, _, stripe = value.partition(" ")
        return f"{colour_words(code)} {stripe}".strip()
    text = str(value)
    return json.dumps(text) if _NEEDS_QUOTES.search(text) else text


def _books() -> Iterator[str]:
    common = read_rules(None, name=COMMON_PRACTICE)
    yield f"## The book `{common.name}`\n"
    yield from (rule_row(rule) for rule in common.rules)
    for name in shipped_books():
        if name != COMMON_PRACTICE:
            yield from _changes(read_rules(None, name=name), common)


def _changes(book: RuleBook, common: RuleBook) -> Iterator[str]:
    yield f"## The book `{book.name}`\n"
    yield f"It is based on `{book.based_on}`. Switched off:\n"
    yield "\n".join(f"- `{off.rule.id}`: {off.reason}" for off in book.off) + "\n"
    yield from (rule_row(rule) for rule in book.rules if rule not in common.rules)


def _checks() -> Iterator[str]:
    yield "## Checks\n"
    yield "A rule names one of these. Parameters in brackets may be left out.\n"
    yield "| check | what it looks at | parameters |"
    yield "|---|---|---|"
    for check in CHECKS.values():
        yield f"| `{check.name}` | {check.asks} | {'; '.join(_parameters(check)) or 'none'} |"
    yield ""


def _parameters(check: Check) -> Iterator[str]:
    for name, kind in check.kinds.items():
        told = f"`{name}`: {kind_in_words(kind)}"
        yield told if name in check.parameters else f"({told})"


def kind_in_words(kind: Kind) -> str:
    """Write what kind of parameter this is."""
    if isinstance(kind, Amount):
        plain = {Dimension.COUNT: "a whole number", Dimension.NUMBER: "a number", Dimension.RATIO: "a percentage"}
        return plain.get(kind.dimension, f"an amount of {kind.dimension}")
    if isinstance(kind, Size):
        return "a wire gauge"
    if isinstance(kind, Colour):
        return "a wire colour"
    if isinstance(kind, Word):
        return " or ".join(kind.options) if kind.options else "a text"
    if isinstance(kind, Several):
        return f"a list, each {kind_in_words(kind.of)}"
    return f"a table from {kind_in_words(kind.key)} to {kind_in_words(kind.value)}"


def main() -> int:
    """Write the page."""
    PAGE.write_text(rules_page(), encoding="utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main())
