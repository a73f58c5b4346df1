"""Paper that was typed in becomes records: as from a phone, once however often, and none where a row is wrong."""

from __future__ import annotations

import io
from collections.abc import Iterator
from datetime import UTC, timedelta, timezone
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from python_calamine import CalamineWorkbook
from xlsxwriter import Workbook

from loomwright.documents.workbook.book import workbook
from loomwright.findings import UnreadableInputError
from loomwright.jobs.bench import Answer, Bench
from loomwright.jobs.paper import import_paper
from loomwright.jobs.plan import plan_robot
from loomwright.proof.as_built.ends import built_ends
from loomwright.proof.as_built.samples import Way, ways
from loomwright.records.crimps import Outcome
from loomwright.records.ends import Standing
from loomwright.records.event import Kind, Role
from loomwright.records.fold import fold
from loomwright.store import open_store
from tests.robots import example_plan, example_text, measured_trainer, plan_of

NOW = "2026-02-07T15:00:00.000Z"
HEAD = "wire,end,made by,tool,pulled by,held,date,note\n"
KEY = "0123456789abcdef" * 2


@pytest.fixture
def bench(tmp_path: Path) -> Iterator[Bench]:
    """Give the bench of the trainer with empty records."""
    plan = example_plan("rockpool")
    with open_store(
        tmp_path / "bench.db", robot=plan.robot.name, now="2026-02-07T09:00:00Z", new_origin=lambda: "laptop-1"
    ) as store:
        yield Bench(tmp_path, "", store, plan)


def typed(bench: Bench, rows: str, *, head: str = HEAD, now: str = NOW) -> tuple[Answer, ...]:
    """Type rows into a sheet and take it in."""
    sheet = bench.folder / "pulls.csv"
    sheet.write_text(head + rows, encoding="utf-8")
    return import_paper(bench, sheet, now=now, role=Role.STUDENT, zone=UTC)


def faults_of(bench: Bench, rows: str, *, head: str = HEAD) -> list[str]:
    """Give the first line of every fault of some rows."""
    with pytest.raises(UnreadableInputError) as caught:
        typed(bench, rows, head=head)
    return [fault.as_text().splitlines()[0] for fault in caught.value.faults]


def standing(bench: Bench, name: str) -> Standing:
    """Give where an end stands by what is recorded."""
    ends = built_ends(bench.plan, fold(bench.store.records()))
    return next(end.standing for end in ends if end.name == name)


def kinds(bench: Bench) -> list[str]:
    """Give the kinds of all records in the order of their arrival."""
    return [str(record.event.kind) for record in bench.store.records()]


def test_a_row_that_is_filled_in_makes_and_pulls_an_end(bench: Bench) -> None:
    """Who made it, with what, who pulled it and when: as a phone would have sent it, signed as planned."""
    answers = typed(bench, "W6,A,Mia,crimper 2,Ben,yes,2026-02-07 14:30,tight\n")
    assert [answer.outcome for answer in answers] == ["added", "added"]
    made, pulled = (record.event for record in bench.store.records())
    assert (made.kind, made.who, made.tool, made.words) == (Kind.MADE, "Mia", "crimper 2", "")
    assert made.as_planned == {
        "gauge": "18 AWG",
        "terminal": "bare end, folded double",
        "device": "block",
        "slot": "L1",
    }
    assert made.measured_at == "2026-02-07T14:30:00Z"
    assert made.revision == bench.plan.revision
    assert (pulled.kind, pulled.who, pulled.of, pulled.words) == (Kind.PULLED, "Ben", (made.key,), "tight")
    assert standing(bench, "W6 A") is Standing.PULLED
    assert standing(bench, "W6 B") is Standing.TO_DO


def test_taken_in_twice_is_once_whatever_was_recorded_in_between(bench: Bench) -> None:
    """The same sheet adds nothing: not at another time of day, not after a phone went on with the same end."""
    rows = "W6,A,Mia,,Ben,no,,\nW6,A,Mia,,Ben,yes,2026-02-06,\nW6,B,Mia,,,,,\n"
    first = typed(bench, rows)
    held = bench.store.records()
    assert kinds(bench) == ["made", "failed", "redone", "pulled", "made"]
    again = typed(bench, rows, now="2026-02-08T08:00:00.000Z")
    assert [answer.key for answer in again] == [answer.key for answer in first]
    assert {answer.outcome for answer in again} == {"known"}
    assert bench.store.records() == held
    phone = {"key": KEY, "kind": "redone", "who": "Kim", "measured_at": NOW, "wire": "W6", "end": "A"}
    of = [record.event.key for record in held if record.event.kind is Kind.REDONE]
    assert bench.sign([phone | {"of": of}], Role.STUDENT, now=NOW)[0].outcome == "added"
    assert {answer.outcome for answer in typed(bench, rows)} == {"known"}
    assert standing(bench, "W6 A") is Standing.MADE


def test_a_sheet_that_was_filled_in_further_adds_only_what_is_new(bench: Bench) -> None:
    """First who made it, a day later who pulled it: the pull is of the signature that was taken in before."""
    typed(bench, "W6,A,Mia,,,,2026-02-06,\n")
    answers = typed(bench, "W6,A,Mia,,Ben,yes,2026-02-06,\n")
    assert [answer.outcome for answer in answers] == ["known", "added"]
    assert standing(bench, "W6 A") is Standing.PULLED


def test_what_a_phone_signed_is_not_signed_again_and_is_pulled_on_paper(bench: Bench) -> None:
    """The same person's signature on paper is only noted; a pull goes to the phone's; another's name is a conflict."""
    phone = {"key": KEY, "kind": "made", "who": "mia", "measured_at": NOW, "wire": "W6", "end": "A"}
    bench.sign([phone], Role.STUDENT, now=NOW)
    typed(bench, "W6,A,Mia,,Ben,yes,,\n")
    assert kinds(bench) == ["made", "noted", "pulled"]
    assert bench.store.records()[-1].event.of == (KEY,)
    assert standing(bench, "W6 A") is Standing.PULLED
    typed(bench, "W6,A,Kim,,,,2026-02-05,\n")
    assert fold(bench.store.records()).end("", "W6", "A").twice
    typed(bench, "W6,A,Zoe,,Ben,yes,2026-02-04,\n")
    assert bench.store.records()[-1].event.of == (bench.store.records()[-2].event.key,)


def test_an_end_that_failed_is_made_again_and_not_by_the_same_row(bench: Bench) -> None:
    """A second sheet that says the same without a day can't be told from the first; with a day it is made again."""
    typed(bench, "W6,A,Mia,,Ben,no,,moves\n")
    assert standing(bench, "W6 A") is Standing.REDO
    assert faults_of(bench, "W6,A,Mia,,Ben,yes,,\n") == ["pulls.csv:2:6  W6 A, held  [failed-before] must"]
    typed(bench, "W6,A,Mia,,Ben,yes,2026-02-07,\n")
    assert kinds(bench) == ["made", "failed", "redone", "pulled"]
    assert standing(bench, "W6 A") is Standing.PULLED


def test_two_rows_of_one_end_are_two_makings(bench: Bench) -> None:
    """Somebody who wrote the second try below the first needs no day: the rows of a sheet are in order."""
    typed(bench, "W6,A,Mia,,Ben,no,,\nW6,A,Mia,,Ben,yes,,\n")
    assert kinds(bench) == ["made", "failed", "redone", "pulled"]
    assert standing(bench, "W6 A") is Standing.PULLED


def test_an_old_sheet_is_known_when_its_wires_are_gone(bench: Bench) -> None:
    """What was taken in stays taken in: a later plan without that wire makes no fault of it."""
    rows = "W12,A,Mia,,Ben,yes,,\n"
    typed(bench, rows)
    bench.plan = plan_of(example_text("rockpool").partition("lights:")[0])
    assert {answer.outcome for answer in typed(bench, rows)} == {"known"}
    assert "[no-such-wire]" in faults_of(bench, "W23,A,Mia,,Ben,yes,,\n")[0]


def test_a_pull_without_a_witness_stays_one(bench: Bench) -> None:
    """Who pulls at what they made themselves has pulled, not witnessed: as on a phone."""
    typed(bench, "W6,A,Mia,,mia,yes,,\n")
    assert standing(bench, "W6 A") is Standing.PULLED_ALONE


FAULTY = """\
W6,A,Mia,,Ben,,,
W66,A,Mia,,,,,
W6,C,Mia,,,,,
6,A,Mia,,,,,
W6,B,,,Ben,yes,,
W7,A,Mia,,,,3/4/2026,
W7,B,Mia,,,,2062-02-07,
W8,A,?,,,,,
W8,B,,,,,,a note
W9,A,Mia,,Ben,perhaps,,
W9,B,A name that is far too long for a flag,,,,,
W10,A,Mia,,,yes,,
"""


def test_every_wrong_row_is_told_with_its_place_and_nothing_is_taken_in(bench: Bench) -> None:
    """What is wrong with the sheet itself comes first, all of it; then what the plan and the records say to it."""
    assert faults_of(bench, FAULTY) == [
        "pulls.csv:2:5  W6 A, pulled by  [not-yes-or-no] must",
        "pulls.csv:4:2  W6 C, end  [no-end] must",
        "pulls.csv:5:1  6 A, wire  [no-wire] must",
        "pulls.csv:7:7  date  [no-day] must",
        "pulls.csv:9:3  W8 A, made by  [nobody] must",
        "pulls.csv:10:8  W8 B, note  [nobody] must",
        "pulls.csv:11:6  W9 A, held  [not-yes-or-no] must",
        "pulls.csv:13:6  W10 A, held  [nobody] must",
    ]
    lines = FAULTY.splitlines(keepends=True)
    assert faults_of(bench, "".join(lines[n] for n in (1, 4, 6, 10))) == [
        "pulls.csv:2:1  W66 A, wire  [no-such-wire] must",
        "pulls.csv:3:5  W6 B, pulled by  [not-made] must",
        "pulls.csv:4:7  W7 B, date  [day-to-come] must",
        "pulls.csv:5  W9 B  [not-an-event] must",
    ]
    assert bench.store.records() == []


def test_a_force_on_a_fitted_end_is_refused(bench: Bench) -> None:
    """Forces are for samples: who loaded a fitted end with one has to make it again."""
    told = faults_of(bench, "W6,A,Mia,Ben,yes,92 N\n", head="wire,end,made by,pulled by,held,force\n")
    assert told == ["pulls.csv:2:6  W6 A, force  [force-on-fitted-end] must"]


def test_an_end_that_nobody_makes_is_told(bench: Bench) -> None:
    """The end of a part's own lead is on no sheet, so a row about it is a slip."""
    text = measured_trainer().replace("controller/clamp-brushed-30a", "controller/inline-40a", 1)
    bench.plan = plan_of(text.replace("length: 40 cm", "length: 5 cm"))
    made = {end.name for end in built_ends(bench.plan, fold(()))}
    wire, end = next((wire.id, end) for wire in bench.plan.wires for end in "AB" if f"{wire.id} {end}" not in made)
    told = faults_of(bench, f"{wire},{end},Mia,,,,,\n")
    assert told == [f"pulls.csv:2:2  {wire} {end}, end  [nobody-makes-it] must"]


def filled(bench: Bench, cells: dict[str, dict[str, str]], sheet: str) -> Path:
    """Fill in boxes of a sheet of the plan's workbook, by the text of its row's first cells, and save it."""
    source = CalamineWorkbook.from_filelike(io.BytesIO(workbook(bench.plan)))
    path = bench.folder / "filled.xlsx"
    with Workbook(path) as book:
        for name in source.sheet_names:
            page = book.add_worksheet(name)
            titles: list[object] = []
            for y, row in enumerate(source.get_sheet_by_name(name).to_python(skip_empty_area=False)):
                titles = list(row) if not titles and row[0] in ("wire", "crimping tool") else titles
                told = next((held for head, held in cells.items() if head in " ".join(map(str, row))), {})
                for x, cell in enumerate(row):
                    title = str(titles[x]) if titles else ""
                    page.write(y, x, told.get(title, cell) if name == sheet and titles else cell)
    return path


def test_the_sheet_of_the_workbook_comes_back(bench: Bench) -> None:
    """Save the workbook under another name, fill in the boxes, take it in: the other sheets say nothing."""
    mine = {
        "W6 A": {"made by": "Mia", "pulled by": "Ben", "held": "yes", "date": "2026-02-07"},
        "W7 B": {"made by": "Kim"},
    }
    path = filled(bench, mine, "pull record")
    answers = import_paper(bench, path, now=NOW, role=Role.STUDENT, zone=UTC)
    assert [answer.outcome for answer in answers] == ["added"] * 3
    assert (standing(bench, "W6 A"), standing(bench, "W7 B")) == (Standing.PULLED, Standing.MADE)
    assert import_paper(bench, path, now=NOW, role=Role.STUDENT, zone=UTC)[0].outcome == "known"


def test_a_sheet_of_an_older_plan_is_signed_as_what_stands_on_it(bench: Bench) -> None:
    """The revision of the row is kept, and an end whose terminal is another one by now has to be made again."""
    head = "wire,end,gauge,terminal,revision,made by\n"
    typed(bench, 'W6,A,18 AWG,a lug of last week,0ld,Mia\nW7,A,18 AWG,"bare end, folded double",0ld,Mia\n', head=head)
    assert {record.event.revision for record in bench.store.records()} == {"0ld"}
    assert (standing(bench, "W6 A"), standing(bench, "W7 A")) == (Standing.REDO, Standing.MADE)


def test_a_sheet_of_another_build_is_refused(tmp_path: Path) -> None:
    """Wires of two builds have the same ids and are other wires: the revision on a sheet tells its build."""
    text = example_text("rockpool") + "builds: {spare: {without: [beacon]}}\n"
    (tmp_path / "robot.yaml").write_text(text, encoding="utf-8")
    plans = {build: plan_robot(tmp_path, build).plan for build in ("", "spare")}
    with open_store(tmp_path / "bench.db", robot="R", now=NOW, new_origin=lambda: "laptop-1") as store:
        ours = Bench(tmp_path, "spare", store, plans["spare"])
        head = "wire,end,revision,made by\n"
        told = faults_of(ours, f"W6,A,{plans[''].revision},Mia\n", head=head)
        assert told == ["pulls.csv:2:3  W6 A, revision  [other-build] must"]
        assert typed(ours, f"W6,A,{plans['spare'].revision},Mia\n", head=head)[0].outcome == "added"
        assert [record.event.build for record in store.records()] == ["spare"]


@pytest.mark.parametrize(
    ("typed_as", "told"),
    [
        ("", NOW),
        ("2026-02-06", "2026-02-06T12:00:00Z"),
        ("2026-02-06 14:30", "2026-02-06T12:30:00Z"),
        ("6.2.2026 8:05", "2026-02-06T06:05:00Z"),
        ("2/16/2026 8:05", ""),
        ("1/31/2026", "2026-01-31T12:00:00Z"),
        ("2026-02-07", "2026-02-07T12:00:00Z"),
        ("2026-02-07 23:59", NOW),
    ],
)
def test_times_on_paper_are_those_of_a_watch(bench: Bench, typed_as: str, told: str) -> None:
    """A time is that of the zone, a day alone its noon; nothing is recorded later than now, and no day is to come."""
    sheet = bench.folder / "pulls.csv"
    sheet.write_text(f"{HEAD}W6,A,Mia,,,,{typed_as},\n", encoding="utf-8")
    zone = timezone(timedelta(hours=2))
    if told:
        import_paper(bench, sheet, now=NOW, role=Role.STUDENT, zone=zone)
        assert bench.store.records()[0].event.measured_at == told
    else:
        with pytest.raises(UnreadableInputError, match="day-to-come"):
            import_paper(bench, sheet, now=NOW, role=Role.STUDENT, zone=zone)


SAMPLES = "crimping tool,terminal,gauge,sample,pulled by,pulled to [kg],held,date\n"


def way(bench: Bench) -> Way:
    """Give the first way of crimping of the trainer that has a force to stand."""
    return next(one for one in ways(bench.plan, fold(bench.store.records())) if one.asked.force_n)


def sample(bench: Bench, number: int, force: str, held: str, day: str) -> str:
    """Give a row of a sample."""
    asked = way(bench).asked
    return f'"{asked.tool}","{asked.terminal}",{asked.gauge},{number} of {asked.count},Ben,{force},{held},{day}\n'


def test_sample_pulls_of_one_sheet_are_a_set_and_are_judged(bench: Bench) -> None:
    """The set is begun once, kilograms and newtons are forces, and what was pulled on another day is another set."""
    first = sample(bench, 1, "60", "yes", "2026-02-05") + sample(bench, 2, "590 N", "yes", "2026-02-05")
    typed(bench, first, head=SAMPLES)
    assert kinds(bench) == ["set begun", "sample", "sample"]
    assert way(bench).verdicts[0].outcome is Outcome.TOO_FEW
    whole = first + sample(bench, 3, "61 kg", "yes", "2026-02-06")
    assert [answer.outcome for answer in typed(bench, whole, head=SAMPLES)] == ["known", "known", "known", "added"]
    [held] = way(bench).sets
    assert sorted(pull.value or 0.0 for pull in held.pulls) == pytest.approx([588.399, 590.0, 598.206], abs=0.001)
    assert way(bench).verdicts[0].outcome is not Outcome.TOO_FEW
    typed(bench, sample(bench, 1, "", "blunder", "2026-02-07"), head=SAMPLES)
    assert [pull.about for one in way(bench).sets for pull in one.pulls].count("blunder") == 1
    assert len(way(bench).sets) == 2


def test_samples_come_back_from_the_workbook(bench: Bench) -> None:
    """The sheet sample pulls of the plan's own workbook is understood as it is."""
    path = filled(bench, {"1 of": {"pulled by": "Ben", "held": "no", "date": "2026-02-05"}}, "sample pulls")
    answers = import_paper(bench, path, now=NOW, role=Role.STUDENT, zone=UTC)
    assert len(answers) == 2 * len(ways(bench.plan, fold(())))
    assert {answer.outcome for answer in answers} == {"added"}


def test_wrong_samples_are_told(bench: Bench) -> None:
    """No such terminal, a fourth of three, no force, no day."""
    asked = way(bench).asked
    rows = f'"{asked.tool}",another,{asked.gauge},1 of 3,Ben,,yes,2026-02-05\n'
    rows += sample(bench, asked.count + 1, "", "yes", "2026-02-05") + sample(bench, 1, "far", "yes", "2026-02-05")
    assert faults_of(bench, rows, head=SAMPLES) == [
        "pulls.csv:2:1  1 of 3, crimping tool  [no-such-sample] must",
        f"pulls.csv:3:4  {asked.count + 1} of {asked.count}, sample  [no-sample] must",
        f"pulls.csv:4:6  1 of {asked.count}, pulled to [kg]  [no-force] must",
    ]
    assert "[no-day]" in faults_of(bench, sample(bench, 1, "", "yes", ""), head=SAMPLES)[0]


def test_a_file_that_is_no_pull_sheet_is_refused(bench: Bench) -> None:
    """A list of circuits, and a file that is not there."""
    with pytest.raises(UnreadableInputError, match="no-column-names"):
        typed(bench, "radio,F2\n", head="circuit,slot\n")
    with pytest.raises(UnreadableInputError, match="file-not-readable"):
        import_paper(bench, bench.folder / "none.csv", now=NOW, role=Role.STUDENT)


ROWS = st.lists(
    st.tuples(
        st.sampled_from(["W6,A", "W6,B", "W7,A"]),
        st.sampled_from(["Mia", "Ben", ""]),
        st.sampled_from(["Ben,yes", "Kim,no", "mia,yes", ","]),
        st.sampled_from(["", "2026-02-05", "2026-02-06 10:00"]),
    ),
    max_size=6,
)


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(sheets=st.lists(ROWS, min_size=1, max_size=3))
def test_any_sheets_in_any_order_taken_in_again_add_nothing(
    tmp_path_factory: pytest.TempPathFactory, sheets: list[list[tuple[str, str, str, str]]]
) -> None:
    """Whatever stands on some sheets: each is refused whole or taken in, and a second round of all adds nothing."""
    folder = tmp_path_factory.mktemp("bench")
    plan = example_plan("rockpool")
    with open_store(folder / "bench.db", robot="R", now="2026-02-07T09:00:00Z", new_origin=lambda: "laptop-1") as store:
        bench = Bench(folder, "", store, plan)
        taken = []
        for rows in sheets:
            text = "".join(f"{end},{who},,{pull},{day},\n" for end, who, pull, day in rows)
            before = store.records()
            try:
                typed(bench, text)
                taken.append(text)
            except UnreadableInputError:
                assert store.records() == before
        held = store.records()
        for text in taken:
            assert {answer.outcome for answer in typed(bench, text)} <= {"known"}
        assert store.records() == held
