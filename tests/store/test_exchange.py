"""An export is taken in whole or not at all, and every fault says its line."""

from __future__ import annotations

import json
import sqlite3
from contextlib import ExitStack
from dataclasses import replace
from itertools import permutations
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loomwright.findings import UnreadableInputError
from loomwright.records.event import NOTHING_BEFORE, Event, Record, Role
from loomwright.store import Imported, Store, StoreError, StoreFullError, export_lines, import_lines, refuse_in_the_way
from tests.store.laptops import NOW, ROBOT, add, event, exported, laptop, numbers_of, quick_folder, refused, sign

_A = "a-laptop-000000000001"


def chain(*events: Event, origin: str = _A) -> list[Record]:
    """Make a chain by hand, without any store."""
    records: list[Record] = []
    for number, one in enumerate(events, 1):
        before = records[-1].hash if records else NOTHING_BEFORE
        records.append(
            Record(event=one, role=Role.STUDENT, origin=origin, sequence=number, received_at=NOW, before=before)
        )
    return records


def lines_of(*records: Record) -> list[str]:
    """Return an export of records."""
    return list(export_lines(records, robot=ROBOT))


def nothing_comes_of(store: Store, lines: list[str]) -> list[str]:
    """Return for what an import is refused; nothing of it may be there."""
    before = store.records()
    told = refused(lambda: import_lines(store, lines, file="a.jsonl"))
    assert store.records() == before
    assert store.verify() == []
    return told


def test_an_export_is_a_head_and_a_line_for_each_record(tmp_path: Path) -> None:
    """Plain ASCII, one line each even where words hold a line end of their own, keys in order, the hash with it."""
    with laptop(tmp_path) as store:
        sign(store, [event(1, "Grüße\u2028ok")])
        [record] = store.records()
        head, line = exported(store)
    assert head == '{"format":"loomwright records","robot":"Tidepool","version":2}\n'
    assert line == (
        f'{{"before":"{"0" * 64}","hash":"{record.hash}","key":"{1:032x}","kind":"noted",'
        '"measured_at":"2026-02-07T09:30:00Z","origin":"laptop-000000000001","received_at":"2026-02-07T09:30:00Z",'
        '"role":"student","sequence":1,"who":"mia","words":"Gr\\u00fc\\u00dfe\\u2028ok"}\n'
    )
    assert (head + line).splitlines(keepends=True) == [head, line]


def test_another_laptop_takes_it_in_once(tmp_path: Path) -> None:
    """The second time nothing is new; both chains verify; the order is that of the file."""
    with laptop(tmp_path, "one") as one, laptop(tmp_path, "two") as two:
        add(one, 1, 2, 3)
        add(two, 11)
        assert import_lines(two, exported(one)) == Imported(3, 0)
        assert import_lines(two, exported(one)) == Imported(0, 3)
        add(one, 4)
        assert import_lines(two, exported(one)) == Imported(1, 3)
        assert numbers_of(two.records()) == [11, 1, 2, 3, 4]
        assert [arrival for arrival, _ in two.since(0)] == [1, 2, 3, 4, 5]
        assert two.verify() == []
        assert add(two, 2) == ["known"]


def test_an_export_is_written_over_an_older_one_alone(tmp_path: Path) -> None:
    """Not over records, a robot's file or a folder."""
    new, old, robot = tmp_path / "new.jsonl", tmp_path / "old.jsonl", tmp_path / "robot.yaml"
    robot.write_text("robot: Tidepool\n", encoding="utf-8")
    with laptop(tmp_path) as store:
        add(store, 1)
        old.write_text("".join(exported(store)), encoding="utf-8")
        for path in (new, old):
            refuse_in_the_way(path)
        for path in (robot, store.database.path, tmp_path):
            with pytest.raises(StoreError) as caught:
                refuse_in_the_way(path)
            assert caught.value.finding.code == "export-in-the-way"


def test_only_what_the_other_lacks_is_enough(tmp_path: Path) -> None:
    """Its heads say from where; without line ends, with others, with a mark in front and empty lines it is the same."""
    with laptop(tmp_path, "one") as one, laptop(tmp_path, "two") as two:
        add(one, 1, 2, 3)
        import_lines(two, [line.strip() for line in exported(one)])
        add(one, 4, 5)
        rest = exported(one, two.heads())
        assert len(rest) == 3
        assert import_lines(two, ["\ufeff" + "\r\n".join(rest[:1]), "", *rest[1:], "\n"]) == Imported(2, 0)
        assert numbers_of(two.records()) == [1, 2, 3, 4, 5]


def test_a_lost_laptop_gets_its_own_records_back(tmp_path: Path) -> None:
    """bench.db is gone; a new one begins under a new name and takes the old records from somebody who had them."""
    with laptop(tmp_path, "one") as one, laptop(tmp_path, "two") as two:
        add(one, 1, 2)
        import_lines(two, exported(one))
        add(one, 3)
        (tmp_path / "anew").mkdir()
        with laptop(tmp_path, "anew") as anew:
            assert import_lines(anew, exported(two)) == Imported(2, 0)
            assert add(anew, 2, 3) == ["known", "added"]
            assert anew.heads() == {"anew-000000000001": 1, "one-000000000001": 2}
            assert anew.verify() == []


def test_records_of_this_very_laptop_are_taken_where_they_go_on(tmp_path: Path) -> None:
    """An older copy of the same file lacks what others have by now, and has added nothing since."""
    with laptop(tmp_path, "one") as one, laptop(tmp_path, "two") as two:
        add(one, 1, 2)
        with set_back(one):
            add(one, 3)
            import_lines(two, exported(one))
        assert numbers_of(one.records()) == [1, 2]
        assert import_lines(one, exported(two)) == Imported(1, 2)
        assert add(one, 4) == ["added"]
        assert one.verify() == []


def test_a_history_that_forked_is_refused_on_both_sides(tmp_path: Path) -> None:
    """A laptop was set back and went on: it and the others hold different records under one name and number."""
    with laptop(tmp_path, "one") as one, laptop(tmp_path, "two") as two:
        add(one, 1, 2)
        with set_back(one):
            add(one, 3)
            import_lines(two, exported(one))
        add(one, 4)
        assert nothing_comes_of(two, exported(one)) == ["a.jsonl:4  one-000000000001 3  [two-histories]"]
        with pytest.raises(UnreadableInputError) as caught:
            import_lines(one, exported(two))
        [fault] = caught.value.faults
    assert fault.what == (
        "The file and bench.db tell record 3 of one-000000000001, or the one before it, differently. One of the two "
        "was edited, or set back to an older copy that went on by itself."
    )
    assert fault.fix == (
        "Nothing was taken from this file. Keep it, and a backup of bench.db. If it was this laptop that was set back: "
        "begin a new bench.db there, import what the others exported, and do again what only the old one has."
    )


class set_back:  # noqa: N801  reads as what happens to a laptop
    """Undo at the end what a store wrote meanwhile, as somebody who copies an old file over the new one does."""

    def __init__(self, store: Store) -> None:
        """Keep the file's content."""
        self.store = store
        self.kept = sqlite3.connect(":memory:")

    def __enter__(self) -> None:
        """Copy what is there."""
        with self.store.database.alone() as connection:
            connection.backup(self.kept)

    def __exit__(self, *_: object) -> None:
        """Put it back into the same file."""
        with self.store.database.alone() as connection:
            self.kept.backup(connection)
        self.kept.close()


def test_what_goes_on_elsewhere_is_refused(tmp_path: Path) -> None:
    """The next number, but behind another record than the one that is here; a first record with something before it."""
    mine, other = chain(event(1), event(2)), chain(event(1), event(3), event(4))
    with laptop(tmp_path) as store:
        import_lines(store, lines_of(*mine))
        assert nothing_comes_of(store, lines_of(other[2])) == [f"a.jsonl:2  {_A} 3  [two-histories]"]
        late = replace(mine[0], origin="b-laptop", before="f" * 64)
        assert nothing_comes_of(store, lines_of(late)) == ["a.jsonl:2  b-laptop 1  [two-histories]"]


def test_a_missing_part_is_named(tmp_path: Path) -> None:
    """From where to where, and what to ask the other laptop for."""
    records = chain(*(event(number) for number in range(1, 8)))
    with laptop(tmp_path) as store:
        import_lines(store, lines_of(*records[:2]))
        with pytest.raises(UnreadableInputError) as caught:
            import_lines(store, lines_of(*records[4:]), file="a.jsonl")
        assert str(caught.value) == (
            f"a.jsonl:2  {_A} 5  [export-gap] must\n"
            f"  Records 3 to 4 of {_A} are missing between what is here and record 5 in the file.\n"
            "  Fix: Export again from record 3 on, or everything. Nothing was taken from this file."
        )
        assert nothing_comes_of(store, lines_of(records[2], records[4])) == [f"a.jsonl:3  {_A} 5  [export-gap]"]


def test_every_origin_that_does_not_fit_is_told(tmp_path: Path) -> None:
    """One fork, one gap, one that fits: two faults, and nothing is taken of the third either."""
    with laptop(tmp_path) as store:
        import_lines(store, lines_of(*chain(event(1))))
        fork = chain(event(2))
        gap = chain(event(3), event(4), origin="b-laptop")[1:]
        good = chain(event(5), origin="c-laptop")
        assert nothing_comes_of(store, lines_of(*fork, *gap, *good)) == [
            f"a.jsonl:2  {_A} 1  [two-histories]",
            "a.jsonl:3  b-laptop 2  [export-gap]",
        ]


def test_a_key_that_comes_twice_in_one_chain_is_refused(tmp_path: Path) -> None:
    """No laptop writes that; it would be found by the database, too late and in its own words."""
    with laptop(tmp_path) as store:
        records = chain(event(1), event(1, "again"))
        assert nothing_comes_of(store, lines_of(*records)) == [f"a.jsonl:3  {_A} 2  [key-twice]"]


def test_one_key_with_two_contents_on_two_laptops_is_told_and_kept(tmp_path: Path) -> None:
    """Both have signed it into their chains, so both stay, and a person is asked. Either is known from now on."""
    with laptop(tmp_path) as store:
        add(store, 1)
        taken = import_lines(store, lines_of(*chain(event(1, "something else"))), file="a.jsonl")
        [finding] = taken.noticed
        assert taken.added == 1
        assert finding.as_text() == (
            f"a.jsonl:2  {1:032x}  [two-contents] should\n"
            f"  Under one key, record 1 of {_A} and record 1 of laptop-000000000001 tell different things. "
            "Both were kept.\n"
            "  Fix: Ask both people what they did, and note it."
        )
        assert sign(store, [event(1), event(1, "something else"), event(1, "a third")]) == ["known", "known", "clash"]


@pytest.mark.parametrize(
    ("head", "code"),
    [
        ("", "not-an-export"),
        ("part number;amount", "not-an-export"),
        ("[]", "not-an-export"),
        ("[" * 100_000, "not-an-export"),
        ('{"format":"something else","version":1,"robot":"Tidepool"}', "not-an-export"),
        ('{"format":"loomwright records","version":"1","robot":"Tidepool"}', "not-an-export"),
        ('{"format":"loomwright records","version":3,"robot":"Tidepool"}', "export-newer"),
        ('{"format":"loomwright records","version":1,"robot":"Driftline"}', "export-of-another-robot"),
        ('{"format":"loomwright records","version":1}', "export-of-another-robot"),
    ],
)
def test_a_head_that_is_not_ours_is_refused(tmp_path: Path, head: str, code: str) -> None:
    """Not an export, a newer one, another robot's."""
    with laptop(tmp_path) as store:
        assert nothing_comes_of(store, [head, *lines_of(*chain(event(1)))[1:]]) == [f"a.jsonl:1  [{code}]"]
        assert nothing_comes_of(store, []) == ["a.jsonl:1  [not-an-export]"]


def test_every_bad_line_is_told(tmp_path: Path) -> None:
    """Edited, no JSON, not a record, without its hash, far too long - and the good ones between them are not taken."""
    head, *good = lines_of(*chain(*(event(number) for number in range(1, 8))))
    bad = {
        1: good[1].replace("note 2", "note 3"),
        2: "part number;amount\n",
        3: "{}\n",
        4: json.dumps({name: value for name, value in json.loads(good[4]).items() if name != "hash"}),
        5: good[5].replace("note 6", "n" * 200_000),
    }
    with laptop(tmp_path) as store, pytest.raises(UnreadableInputError) as caught:
        import_lines(store, [head, *(bad.get(place, line) for place, line in enumerate(good))], file="a.jsonl")
    faults = caught.value.faults
    assert [(fault.code, fault.place.line) for fault in faults] == [("export-line", number) for number in range(3, 8)]
    whys = [fault.what.removeprefix("This line is not what was exported. ")[:26] for fault in faults]
    assert whys == [
        "It was changed after it wa",
        "It is no JSON, or no recor",
        "`kind` is one of made, red",
        "It was changed after it wa",
        "It is far too long. Nothin",
    ]
    assert faults[0].as_text() == (
        "a.jsonl:3  [export-line] must\n"
        "  This line is not what was exported. It was changed after it was written: its hash says so. Nothing was "
        "taken from the file.\n"
        "  Fix: Copy the file again, or export again on the laptop that it came from."
    )


@given(st.data())
@settings(max_examples=20)
def test_a_file_that_is_cut_off_is_told_or_is_a_shorter_export(data: st.DataObject) -> None:
    """Cut anywhere: at the end of a line it is whole as far as it goes; within a line it says that it is cut off."""
    text = "".join(lines_of(*chain(*(event(number) for number in range(1, 4)))))
    head = text.index("\n")
    cut = data.draw(st.integers(head + 1, len(text)))
    whole = text[:cut].count("}")
    with quick_folder() as folder, laptop(folder) as store:
        if text[cut - 1] in "}\n":
            assert import_lines(store, text[:cut].splitlines()) == Imported(whole - 1, 0)
        else:
            told = nothing_comes_of(store, text[:cut].splitlines())
            assert told == [f"a.jsonl:{whole + 1}  [export-cut-off]"]


@pytest.mark.parametrize("value", ["1" + "0" * 400, "1" * 5000, "NaN", "1e999", '"\\ud800"', '{"a":' * 20_000, "[]"])
@pytest.mark.parametrize("name", ["value", "words", "as_planned", "of", "sequence", "kind", "role", "hash"])
def test_hostile_values_end_in_a_fault(name: str, value: str) -> None:
    """A line is told, whatever somebody put into it; the program does not fall over."""
    if (name, value) == ("of", "[]"):
        return  # that is what a line without `of` says, too
    head, line = lines_of(*chain(event(1)))
    with quick_folder() as folder, laptop(folder) as store:
        hostile = line.rstrip()[:-1] + f',"{name}":{value}}}'
        assert nothing_comes_of(store, [head, hostile, line]) == ["a.jsonl:2  [export-line]"]


def test_a_full_disk_takes_in_nothing(tmp_path: Path) -> None:
    """An import is one transaction, too."""
    lines = lines_of(*chain(*(event(number) for number in range(1, 100))))
    with laptop(tmp_path) as store:
        with store.database.alone() as connection:
            pages = connection.execute("PRAGMA page_count").fetchone()[0]
            connection.execute(f"PRAGMA max_page_count = {pages + 1}")
        with pytest.raises(StoreFullError):
            import_lines(store, lines)
        assert store.records() == []


_LAPTOPS = ("a", "b", "c")
_WAYS = tuple(permutations(_LAPTOPS, 2))


@given(
    st.lists(st.tuples(st.sampled_from(_LAPTOPS), st.integers(1, 12)), max_size=12),
    st.lists(st.sampled_from(_WAYS), max_size=8),
    st.permutations(_WAYS),
)
@settings(max_examples=15)
def test_laptops_that_exchange_come_to_the_same_records(
    said: list[tuple[str, int]], some: list[tuple[str, str]], all_ways: list[tuple[str, str]]
) -> None:
    """Three laptops sign, some the same events, and hand files round in any order, as often as they like."""
    with quick_folder() as folder, ExitStack() as stack:
        stores = {name: stack.enter_context(laptop(folder, f"lap-{name}")) for name in _LAPTOPS}
        for name, number in said:
            add(stores[name], number)
        everything = {record.hash for store in stores.values() for record in store.records()}
        for giver, taker in [*some, *all_ways, *all_ways]:
            import_lines(stores[taker], exported(stores[giver]))
            assert stores[taker].verify() == []
        for store in stores.values():
            assert {record.hash for record in store.records()} == everything
