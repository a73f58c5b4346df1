"""drivers.yaml: what is written is what is driven, whatever the order of keys, and none of it touches a plan."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomwright.findings import Finding, UnreadableInputError
from loomwright.match.driver import Cycle, Driver, Phase, Range, Step, Wish
from loomwright.robotfile.drivers.driver_file import read_drivers, shipped_drivers
from loomwright.robotfile.drivers.names import unknown_names
from loomwright.robotfile.folder import open_folder
from tests.match.driver_strategies import drivers, wrong_with
from tests.robotfile.robot_texts import WIRED

PAGE = (Path(__file__).parents[2] / "docs" / "drivers.md").read_text(encoding="utf-8")
EXAMPLES = re.findall(r"```yaml\n(.*?)```", PAGE, re.DOTALL)

WRITTEN = """
drivers:
  usual:
    weight: 3
    note: as we do
    phases:
      end: {from: 2 min, to: 150 s, does: pull}
      alone: {from: 0, to: 15 s, does: [score]}
      driven: {from: 18 s, to: 120 s, does: {score: 3, pull: 1}}
cycles:
  score:
    - sprint: {lasts: [1200 ms, 2.5 s], left wheel: 50 %, drive: [80 %, 100 %], turn: [-15 %, 0], roller: off}
    - take: {lasts: 1 s to 2 s, roller: {goal: 100 %, load: [10, 40 %]}, lift: 0, shots: 1, air: 2 strokes}
    - spin: {lasts: 1 s, turn: 40 %, air: 1 stroke}
    - sides: {lasts: 1 s, turn: 10 %, drive side: {goal: -30 %}}
    - modules: {lasts: 1 s, steered module: 20 %, steering: 25 %}
  pull: [{pull: {lasts: 60 s, climber: 100 %}}]
  never: [{rest: {lasts: 1 s}}]
"""
OFF: Range = (0.0, 0.0)


def read(text: str) -> tuple[Driver, ...]:
    """Read the drivers of a file."""
    return read_drivers(text.encode()).drivers


# ---------------------------------------------------------------- what is written is what is driven
def test_a_whole_file_by_hand() -> None:
    """Units, ranges in three forms, `off`, a pause in the gap, weights, one word for every drive, names last."""
    score = Cycle(
        "score",
        (
            Step(
                "sprint",
                (1.2, 2.5),
                (
                    Wish("drive", (0.8, 1.0), turn=(-0.15, 0.0)),
                    Wish("roller", OFF),
                    Wish("left wheel", (0.5, 0.5)),
                ),
            ),
            Step("take", (1.0, 2.0), (Wish("lift", OFF), Wish("roller", (1.0, 1.0), (0.1, 0.4))), shots=1, strokes=2),
            Step("spin", (1.0, 1.0), (Wish("drive", OFF, turn=(0.4, 0.4)),), strokes=1),
            Step("sides", (1.0, 1.0), (Wish("drive", (-0.3, -0.3), turn=(0.1, 0.1)),)),
            Step("modules", (1.0, 1.0), (Wish("drive", (0.2, 0.2)), Wish("steering", (0.25, 0.25)))),
        ),
    )
    pull = Cycle("pull", (Step("pull", (60.0, 60.0), (Wish("climber", (1.0, 1.0)),)),))
    phases = (
        Phase("alone", 0.0, 15.0, (("score", 1.0),)),
        Phase("pause", 15.0, 18.0),
        Phase("driven", 18.0, 120.0, (("pull", 1.0), ("score", 3.0))),
        Phase("end", 120.0, 150.0, (("pull", 1.0),)),
    )
    assert read(WRITTEN) == (Driver("usual", "as we do", 3.0, phases, (pull, score)),)


def test_a_match_that_begins_later_begins_with_a_pause() -> None:
    """Whoever plays it can count from 0 s on."""
    [driver] = read("drivers: {a: {phases: {p: {from: 3 s, to: 5 s, does: c}}}}\ncycles: {c: [{s: {lasts: 1 s}}]}\n")
    assert driver.phases == (Phase("pause", 0.0, 3.0), Phase("p", 3.0, 5.0, (("c", 1.0),)))


def _span(ends: Range, unit: str, factor: int) -> str:
    low, high = (f"{round(factor * end)} {unit}" for end in ends)
    return low if low == high else f"[{low}, {high}]"


def written(driver: Driver) -> str:
    """Write a driver down as somebody could."""
    return "\n".join([*_lines(driver), ""])


def _lines(driver: Driver) -> Iterator[str]:
    yield f'drivers:\n  "{driver.name}":\n    weight: {driver.weight:.0f}'
    if driver.note:
        yield f'    note: "{driver.note}"'
    yield "    phases:"
    for phase in driver.phases:
        does = ", ".join(f'"{name}": {weight:.0f}' for name, weight in phase.cycles)
        more = f", does: {{{does}}}" if does else ""
        yield f'      "{phase.name}": {{from: {phase.start_s * 1000:.0f} ms, to: {phase.end_s:.1f} s{more}}}'
    # A file has cycles, though this driver may stand still all the time.
    yield 'cycles:\n  "0": [{rest: {lasts: 1 s}}]'
    for cycle in driver.cycles:
        yield f'  "{cycle.name}":'
        for step in cycle.steps:
            yield f'    - "{step.name}":\n        lasts: {_span(step.lasts_s, "ms", 1000)}'
            yield f"        shots: {step.shots}\n        air: {step.strokes}"
            for wish in step.wishes:
                if wish.whom == "drive":
                    yield f"        turn: {_span(wish.turn, '%', 100)}"
                long = f"{{goal: {_span(wish.goal, '%', 100)}, load: {_span(wish.load, '%', 100)}}}"
                yield f'        "{wish.whom}": {long}'


@given(drivers(names=("left wheel", "zoo", "belt")))
def test_every_valid_driver_can_be_written_and_read_back(driver: Driver) -> None:
    """Nothing is lost, rounded or put in: the same phases, cycles, steps and wishes."""
    assert list(wrong_with(driver)) == []
    assert read(written(driver)) == (driver,)


# ---------------------------------------------------------------- the digest, and what it is not part of
def test_the_digest_sees_how_somebody_drives_and_not_how_it_is_written() -> None:
    """Order of keys, comments and units change nothing; a number, a step's place or a weight does."""
    base = read_drivers(WRITTEN.encode())
    tail = WRITTEN.partition("cycles:")
    same = f"# why\ncycles:{tail[2]}{tail[0].replace('2 min', '120 s').replace('from: 0,', 'from: 0 ms,')}"
    assert read_drivers(same.encode()).digest == base.digest
    swapped = re.sub(r"(    - spin.*\n)(    - sides.*\n)", r"\2\1", WRITTEN)
    others = [
        WRITTEN.replace("turn: 40 %", "turn: 41 %"),
        WRITTEN.replace("weight: 3", "weight: 2"),
        WRITTEN.replace("pull: 1}", "pull: 2}"),
        swapped,
    ]
    digests = {read_drivers(other.encode()).digest for other in others}
    assert len(digests | {base.digest, shipped_drivers().digest}) == 6


def test_drivers_change_no_plan(tmp_path: Path) -> None:
    """They stand in no digest of inputs, and a slip in them holds up nobody who plans."""
    (tmp_path / "robot.yaml").write_text(WIRED, encoding="utf-8")
    files = open_folder(tmp_path)
    before = files.digest(), files.source()
    assert files.drivers() == shipped_drivers()
    (tmp_path / "drivers.yaml").write_text(WRITTEN, encoding="utf-8")
    files = open_folder(tmp_path)
    assert (files.digest(), files.source()) == before
    assert files.drivers() == read_drivers(WRITTEN.encode())
    (tmp_path / "drivers.yaml").write_text("drivers: 3\n", encoding="utf-8")
    files = open_folder(tmp_path)
    assert files.read()[0].name
    with pytest.raises(UnreadableInputError):
        files.drivers()


# ---------------------------------------------------------------- whom a wish is for
def test_names_of_nobody_are_told_where_they_stand() -> None:
    """Once each, with the nearest names; a kind that this robot has none of is no slip."""
    text = WRITTEN.replace("left wheel:", "left whel:").replace("lift: 0", "lift: 0, intak: 5 %, left whel: 3 %")
    book = read_drivers(text.encode())
    found = unknown_names(book, ["left wheel", "intake", "lift"])
    fix = "Write the name of a mechanism as in robot.yaml, or its kind, such as `drive` or `lift`."
    assert "\n".join(finding.as_text() for finding in found) == (
        "drivers.yaml:12:41  cycles.score[1].sprint.left whel  [driver-names-nobody] should\n"
        "  No mechanism of this robot is called `left whel`, and no kind: nobody does what is asked.\n"
        f"  Fix: Did you mean `left wheel`? {fix}\n"
        "drivers.yaml:13:83  cycles.score[2].take.intak  [driver-names-nobody] should\n"
        "  No mechanism of this robot is called `intak`, and no kind: nobody does what is asked.\n"
        f"  Fix: Did you mean `intake`? {fix}"
    )
    assert unknown_names(book, ["left whel", "intak"]) == ()
    assert len(unknown_names(book, ["left whel", "intak"], kinds=["drive"])) == 4
    assert unknown_names(shipped_drivers(), []) == ()


# ---------------------------------------------------------------- the page
def test_every_example_of_the_page_can_be_read() -> None:
    """docs/drivers.md shows nothing that the reader refuses; the first one drives as it says."""
    assert len(EXAMPLES) == 2
    first, second = (read(text) for text in EXAMPLES)
    assert [(driver.name, driver.weight) for driver in first] == [("hard", 1.0), ("usual", 4.0)]
    assert [driver.name for driver in second] == ["ours"]
    assert all(not list(wrong_with(driver)) for driver in (*first, *second))


# ---------------------------------------------------------------- noise
@given(st.data())
def test_a_spoilt_file_is_read_or_refused_with_places(data: st.DataObject) -> None:
    """Whatever a slip makes of it: a valid driver or faults that point into the file, never anything else."""
    text = EXAMPLES[1]
    at = data.draw(st.integers(0, len(text)))
    out = data.draw(st.integers(0, 12))
    put = data.draw(
        st.sampled_from(["", "[", "{", "}", "-", "0", "9", " %", " s", "off", ":", ", ", "\n", "to ", "x" * 70])
    )
    spoilt = text[:at] + put + text[at + out :]
    found, faults = read_or_faults(spoilt)
    assert [wrong for driver in found for wrong in wrong_with(driver)] == []
    assert found or faults
    assert all(fault.place.file == "drivers.yaml" and fault.place.line > 0 and fault.fix for fault in faults)


def read_or_faults(text: str) -> tuple[tuple[Driver, ...], tuple[Finding, ...]]:
    """Return the drivers of a file, or its faults."""
    try:
        return read(text), ()
    except UnreadableInputError as error:
        return (), error.faults
