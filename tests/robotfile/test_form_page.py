"""docs/robot-file.md: its file works, its tables are the form's, and what it promises is so."""

from __future__ import annotations

import re

import pytest

from loomwright.findings import Severity
from loomwright.robotfile.stockfile import read_stock
from loomwright.units import Dimension, Gauge, QuantityError, read, read_range
from tests.robotfile.key_tables import PAGE, TABLES, on_page, table
from tests.robotfile.robot_texts import told
from tests.robotfile.test_form import FORMS
from tests.robots import plan_of, robot_of

TEXT = PAGE.read_text(encoding="utf-8")
STEPS = re.findall(r"```yaml\n(.*?)```", TEXT, re.DOTALL)
WHOLE = "".join(STEPS)


def section(title: str) -> str:
    """Return one section of the page."""
    return TEXT.split(f"\n## {title}\n", maxsplit=1)[1].split("\n## ", maxsplit=1)[0]


@pytest.mark.parametrize("name", TABLES)
def test_the_page_has_the_keys_of_the_form(name: str) -> None:
    """Nobody keeps two copies by hand; `python -m tests.robotfile.key_tables` writes them."""
    assert on_page()[name] == table(TABLES[name])


def test_the_page_has_every_key_once() -> None:
    """Every form has one table, with the keys that are its own."""
    assert list(on_page()) == list(TABLES)
    assert set(FORMS) <= set(TABLES.values())
    for kind in FORMS:
        shown = "\n".join(table(above) for above in TABLES.values() if issubclass(kind, above))
        keys = kind.keys()
        assert [key for key in keys if shown.count(f"\n| `{key}` |") != 1] == [], kind.__name__


@pytest.mark.parametrize("count", range(1, len(STEPS) + 1))
def test_the_file_grows_step_by_step(count: int) -> None:
    """Whoever copies the blocks down to any of them has a file that is read."""
    assert robot_of("".join(STEPS[:count])).name == "Sandpiper"


def test_the_whole_file_of_the_page_has_nothing_that_must_be_fixed() -> None:
    """The robot of the page is a sound one, in its build too; what it leaves open is asked."""
    for build in ("", "practice"):
        findings = plan_of(WHOLE, build).findings
        assert [f.as_text() for f in findings if f.severity is Severity.MUST] == []
        assert "none-found" in {f.code for f in findings}


def test_the_ways_to_doubt_are_read() -> None:
    """Every row of the table can be written at a motor, and every state that it names."""
    rows = re.findall(r"^\| `([^`]+)` \|", section("Doubt is written where it is"), re.MULTILINE)
    assert len(rows) == 10
    for row in rows:
        text = f"robot: T\nmechanisms: {{lift: {{motor: motor/any, {row}}}}}\n"
        assert robot_of(text).device("lift controller"), row
    for state in ("planned", "fitted", "traced", "guessed"):
        robot_of(f"robot: T\nmechanisms: {{lift: {{motor: motor/any, slot: H3 ({state})}}}}\n")


def test_the_finding_on_the_page_is_what_is_said() -> None:
    """A label copied into `slot`, in the very words."""
    shown = re.search(r"^    robot\.yaml:\d+:\d+  (.*)\n    (  .*)\n    (  Fix: .*)$", TEXT, re.MULTILINE)
    assert shown is not None
    said = told(WHOLE.replace("    motor: motor/brushless-500w\n", "    motor: motor/brushless-500w\n    slot: lift\n"))
    head, *rest = said.splitlines()
    assert [head.split("  ", maxsplit=1)[1], *rest] == list(shown.groups())


def test_the_amounts_on_the_page_are_amounts() -> None:
    """Each can be read in one dimension at least."""
    amounts = re.findall(r"`([^`]+)`", section("Units").split("A lone")[0])
    assert len(amounts) == 10
    for amount in amounts:
        assert reads(amount), amount


def reads(amount: str) -> bool:
    """Tell whether a text is an amount, a range or a gauge."""
    if amount.endswith("AWG"):
        return Gauge.parse(amount) is not None
    for dimension in Dimension:
        for way in (read, read_range):
            try:
                way(amount, dimension)
            except QuantityError:
                continue
            return True
    return False


def test_the_stock_on_the_page_is_one() -> None:
    """An empty spool is no stock."""
    line = section("stock.yaml: the wire on hand").split("\n    ")[1]
    assert [str(gauge) for gauge in read_stock(line.encode()).gauges] == ["18 AWG", "12 AWG"]


def test_the_page_says_the_cautions_and_defers() -> None:
    """Safety comes before the first key."""
    before = TEXT.split("```yaml", maxsplit=1)[0]
    for words in ("unplug the battery", "open the main breaker", "rule book", "local codes", "licensed practice"):
        assert words in " ".join(before.split()), words
