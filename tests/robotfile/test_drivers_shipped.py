"""The drivers that come with the tool, and the page that tells them."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from loomwright.catalogue.sources import sources
from loomwright.catalogue.tables import table
from loomwright.match.driver import Wish
from loomwright.robotfile.drivers.driver_file import read_drivers, shipped_drivers
from loomwright.robotfile.drivers.names import KINDS, PLAYED_AS
from tests.match.driver_strategies import wrong_with

PAGE = (Path(__file__).parents[2] / "docs" / "drivers.md").read_text(encoding="utf-8")
SHIPPED = {driver.name: driver for driver in shipped_drivers().drivers}


def test_without_a_file_the_shipped_drivers_drive() -> None:
    """Three, each valid, over 150 s: 15 s alone, and a climb that is not begun twice."""
    assert read_drivers(None) is shipped_drivers()
    assert {name: driver.weight for name, driver in SHIPPED.items()} == {"calm": 1.0, "usual": 3.0, "hard": 1.0}
    for driver in SHIPPED.values():
        assert list(wrong_with(driver)) == []
        alone, driven, end = driver.phases
        assert (alone.start_s, alone.end_s, end.end_s, driver.lasts_s) == (0.0, 15.0, 150.0, 150.0)
        assert driven.end_s == end.start_s
        assert 20.0 <= end.end_s - end.start_s <= 30.0
        assert end.cycles == (("climb", 1.0),)
        climb = driver.cycle("climb")
        assert climb is not None
        assert sum(step.lasts_s[0] for step in climb.steps) > end.end_s - end.start_s
        whom = {wish.whom for step in climb.steps for wish in step.wishes}
        assert {"climber", "drive"} <= whom
        assert driver.note in PAGE


@pytest.mark.parametrize("name", ["calm", "usual"])
def test_a_note_tells_how_long_its_cycles_are(name: str) -> None:
    """To the second, from the quickest to the slowest."""
    held = SHIPPED[name].cycle("score")
    assert held is not None
    low_s, high_s = (sum(step.lasts_s[end] for step in held.steps) for end in (0, 1))
    told = re.search(r"cycles of (\d+) to (\d+) s", SHIPPED[name].note)
    assert told is not None
    assert abs(low_s - int(told[1])) < 0.6
    assert abs(high_s - int(told[2])) < 0.6


def test_each_drives_harder_than_the_one_before() -> None:
    """The share of a cycle that is spent at nine tenths of full voltage or more, forward or back, only grows."""
    shares = []
    for name, cycle in (("calm", "score"), ("usual", "score"), ("hard", "race")):
        held = SHIPPED[name].cycle(cycle)
        assert held is not None
        full_s = sum(sum(step.lasts_s) for step in held.steps if any(_full(wish) for wish in step.wishes))
        shares.append(full_s / sum(sum(step.lasts_s) for step in held.steps))
    assert shares[0] == 0.0
    assert 0.15 < shares[1] < 0.35 < shares[2]


def _full(wish: Wish) -> bool:
    return wish.whom == "drive" and max(map(abs, wish.goal)) >= 0.9


def test_shipped_drivers_name_their_sources() -> None:
    """A key of docs/sources.toml for each."""
    told = dict(shipped_drivers().sources)
    assert set(told) == set(SHIPPED)
    assert set(told.values()) <= set(sources())


def test_shipped_drivers_speak_to_kinds_that_there_are() -> None:
    """Every kind of the duty table can be told something, but the compressor, which has a switch; no name is used."""
    every = {row["mechanism_kind"] for row in table("duty_assumed")} - {"compressor"}
    assert {*KINDS, *PLAYED_AS} == every
    assert set(PLAYED_AS.values()) <= set(KINDS)
    steps = [step for driver in SHIPPED.values() for cycle in driver.cycles for step in cycle.steps]
    assert {wish.whom for step in steps for wish in step.wishes} == set(KINDS) - {"other"}


def test_a_shipped_driver_is_taken_over_by_its_name() -> None:
    """What is said is laid over it; what is not named does not drive."""
    hard, usual = read_drivers(b"drivers: {usual: {weight: 4}, hard: {note: ours}}\n").drivers
    assert (usual.weight, usual.note, usual.phases, usual.cycles) == (
        4.0, SHIPPED["usual"].note, SHIPPED["usual"].phases, SHIPPED["usual"].cycles,
    )  # fmt: skip
    assert (hard.weight, hard.note, hard.cycles) == (1.0, "ours", SHIPPED["hard"].cycles)
    own = b"drivers: {calm: {weight: 2}, usual: {phases: {p: {from: 0, to: 9 s}}}, hard: {source: films}}\n"
    own += b"cycles: {c: [{s: {lasts: 1 s}}]}\n"
    assert read_drivers(own).sources == (("calm", "own-choice"), ("hard", "films"), ("usual", ""))


def test_the_page_tells_the_shipped_drivers_and_every_kind() -> None:
    """Name, weight and note of each; no kind is left out."""
    rows = re.findall(r"^\| `(\w+)` \| (\d) \| (.+) \|$", PAGE, re.MULTILINE)
    assert sorted(rows) == sorted((d.name, f"{d.weight:.0f}", d.note) for d in SHIPPED.values())
    known = {*KINDS, *PLAYED_AS}
    listed = PAGE.partition("### Whom a wish is for")[2].partition("- A kind")[0]
    assert {kind for kind in re.findall(r"`([a-z ]+)`", listed) if kind in known} == known
