"""docs/robot-file.md: its file works, its tables are the form's, and what it promises is so."""

from __future__ import annotations

import re

import pytest

from loomwright.findings import Severity
from loomwright.model.fact import State
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


def indented(title: str) -> str:
    """Return the first indented block of a section, as somebody would paste it."""
    found = re.search(r"(?:^    .*\n|^\n(?=    ))+", section(title), re.MULTILINE)
    assert found is not None
    return re.sub(r"^    ", "", found[0], flags=re.MULTILINE)


def test_twelve_keys_are_enough() -> None:
    """The small file has the keys that the table names, and no other; it plans, and nothing must be fixed."""
    title = "Twelve keys are enough"
    text = indented(title)
    named = re.findall(r"`([a-z ]+)`", "".join(line.split(" | ")[0] for line in section(title).split("\n| ")[2:]))
    keys = {key for kind in FORMS for key in kind.keys()}  # noqa: SIM118  a form is no dict
    assert {key for key in re.findall(r"[a-z][a-z ]*(?=:)", text) if key in keys} == set(named)
    assert len(named) == 12
    plan = plan_of(text)
    assert [f.as_text() for f in plan.findings if f.severity is Severity.MUST] == []
    assert len(plan.circuits) > 5


def test_the_trunks_of_the_page_are_read() -> None:
    """The worked example has a trunk of every kind, an upper plate and a keep-out, and they meet."""
    robot = robot_of(f"robot: T\n{indented('Trunks, plates and keep-outs')}")
    assert [trunk.name for trunk in robot.trunks] == ["left rail", "cross", "lift tower", "mast", "deck rail"]
    assert [plate.height_m for plate in robot.plates] == [0.0, 0.5]
    mast, rail = robot.trunks[3].points, robot.trunks[4].points
    assert mast[1][2] == rail[0][2] == rail[1][2]
    assert rail[0][0] < mast[1][0] < rail[1][0]
    assert robot.noticed == ()


def test_what_the_page_calls_made_is_fitted() -> None:
    """Slot, length and gauge in the short form, and a chain in the long one."""
    blocks = "blocks: {block: {part: block/6-heavy-10-light-2-fused}}"
    [lift] = robot_of(f"robot: T\n{blocks}\n{indented('What is made already')}").called("lift")[:1]
    assert {lift.feed.slot.state, lift.wishes.length.state, lift.wishes.gauge.state} == {State.FITTED}
    assert "state: fitted}" in section("What is made already")


def test_the_chain_of_the_page_is_one() -> None:
    """It leaves its order to the tool, with one end pinned."""
    title = "A chain that the tool puts in order"
    text = WHOLE.split("data:")[0] + indented(title)
    [bus] = robot_of(text).buses
    assert (bus.shortest, bus.ends, len(bus.members)) == (True, ("robot controller",), 4)


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
    line = indented("stock.yaml: the wire on hand")
    assert [str(gauge) for gauge in read_stock(line.encode()).gauges] == ["18 AWG", "12 AWG"]


def test_the_page_says_the_cautions_and_defers() -> None:
    """Safety comes before the first key."""
    before = TEXT.split("```yaml", maxsplit=1)[0]
    for words in ("unplug the battery", "open the main breaker", "rule book", "local codes", "licensed practice"):
        assert words in " ".join(before.split()), words
