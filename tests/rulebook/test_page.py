"""docs/rules.md, the rule books, the checks and these tests say the same, in every direction."""

from __future__ import annotations

import json
import re
from dataclasses import replace
from pathlib import Path
from typing import Final

import pytest

from loomwright.catalogue.sources import sources
from loomwright.robotfile.rules.rulefile import read_rules, shipped_books
from loomwright.rulebook import CHECKS
from tests.rulebook.factory import common_practice
from tools.rules_page import rules_page

HERE: Final = Path(__file__).resolve().parent
PAGE: Final = (HERE.parents[1] / "docs" / "rules.md").read_text(encoding="utf-8")
SECTION: Final = re.compile(
    r"^### `(?P<id>[a-z-]+)`\n\n(?P<sentence>.+)\n\n"
    r"- severity: (?P<severity>\w+); source: (?P<source>.+?); dated: (?P<dated>.+?); check: (?P<check>.+)\n"
    r"(?:\n```yaml\n(?P<parameters>(?:.+\n)+?)```\n)?",
    re.MULTILINE,
)
TOLD: Final = ("check", "sentence", "severity", "source", "dated")
NEVER_JUDGED: Final = {"caution": "cautions(", "chassis isolation": "chassis_isolation("}
STANDINGS: Final = {"common practice", "from memory"}


def test_the_page_is_what_the_books_make_of_it() -> None:
    """Whoever changes a rule or a check runs `python tools/rules_page.py`."""
    assert rules_page() == PAGE


def test_the_page_can_be_read_back_into_the_same_book() -> None:
    """Id, sentence, severity, source, date, check and parameters: nothing is lost or made up on the page."""
    lines = ["rule book: common-practice", f"dated: {common_practice().dated}", "rules:"]
    for section in SECTION.finditer(PAGE.partition("## The book `bench-trainer`")[0]):
        lines.append(f"  {section['id']}:")
        lines += [f"    {key}: {json.dumps(section[key])}" for key in TOLD]
        if section["parameters"]:
            lines += ["    parameters:", *(f"      {line}" for line in section["parameters"].splitlines())]
    book = read_rules("\n".join([*lines, ""]).encode())
    assert [replace(rule, mark=None) for rule in book.rules] == [
        replace(rule, mark=None) for rule in common_practice().rules
    ]


def test_the_example_on_the_page_is_a_rule_book_that_can_be_read() -> None:
    """A student will copy it."""
    example = PAGE.split("```yaml\n", 1)[1].split("```", 1)[0]
    book = read_rules(example.encode())
    assert book.name == "our season"
    assert [off.rule.id for off in book.off] == ["signal-light-jumper-set"]
    assert book.rule("our-cameras") is not None


@pytest.mark.parametrize("name", shipped_books())
def test_every_rule_names_its_standing_and_says_one_plain_sentence(name: str) -> None:
    """A source is a document of docs/sources.toml, or it says that it is none."""
    for rule in read_rules(None, name=name).rules:
        assert rule.source in STANDINGS or rule.source in sources(), rule.id
        assert rule.sentence.endswith((".", "?")), rule.id
        assert re.fullmatch(r"\d{4}-\d\d-\d\d", rule.dated), rule.id
        assert rule.mark is not None


@pytest.mark.parametrize("check", CHECKS)
def test_every_check_has_a_rule_and_both_kinds_of_tests(check: str) -> None:
    """One that must find it, one near miss that must stay silent; what is printed or measured is never judged."""
    assert common_practice().of(check), f"no shipped rule asks {check!r}"
    text = "".join(path.read_text(encoding="utf-8") for path in sorted(HERE.glob("test_*.py")))
    if check in NEVER_JUDGED:
        assert NEVER_JUDGED[check] in text
        return
    assert re.search(rf'(?:finds|judged)\(\s*"{re.escape(check)}",', text), f"no test finds {check!r}"
    assert re.search(rf'silent\(\s*"{re.escape(check)}",', text), f"no near miss of {check!r}"
