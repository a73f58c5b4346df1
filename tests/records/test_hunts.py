"""Hunts in the records: what is taken and what is refused, and what stands of each, left and taken up anywhere."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomwright.records.event import MENTORS_ONLY, Event, Kind, Record, Role, as_line
from loomwright.records.fold import State, fold
from loomwright.records.hunts import DANGERS, HUNT_ENDS, HUNTS, HuntRecord
from loomwright.records.reading import read_record
from loomwright.store import backup, import_lines, open_store, restore
from tests.records.events import NOON, event, faults, key, recorded
from tests.store.laptops import ROBOT, exported, laptop, names

EARLIER, LATER = "2026-02-07T11:00:00Z", "2026-02-07T13:00:00Z"
HUNT = event(1, Kind.HUNT, words="lift is dead since the last match")


def folded(*events: Event, role: Role = Role.MENTOR) -> State:
    """Return the state after some events of one laptop."""
    return fold(recorded(*events, role=role))


def hunt(*events: Event, role: Role = Role.MENTOR) -> HuntRecord:
    """Return the hunt that began with HUNT, after some further events."""
    (found,) = folded(HUNT, *events, role=role).hunts[""]
    return found


# ------------------------------------------------------------------ what is taken, what is refused


def told(kind: str, *of: int, **fields: Any) -> dict[str, Any]:  # noqa: ANN401  fields of an event
    """Return an event of a hunt as it is sent."""
    return {"key": key(9), "kind": kind, "who": "AB", "measured_at": NOON, "of": [key(n) for n in of]} | fields


@pytest.mark.parametrize(
    "sent",
    [
        told("hunt"),
        told("hunt", words="lift is dead since the last match", build="practice"),
        told("observed", 1, about="look lift controller", words="dark"),
        told("observed", 1, 2, 3, about="volts lift left B", value=-11.9, unit="V", words="reversed"),
        told("observed", 1, about="amps lift left", value=8.5, unit="A"),
        told("observed", 1, about="ohms W12", value=0, unit="ohm"),
        told("observed", 1, about="ohms W12", words="open"),
        told("observed", 1, about="ohms W12", words="open", unit="ohm"),
        told("mended", 1, about="W12 B", words="open", wire="W12", end="B"),
        told("mended", 1, about="W12", words="broken", wire="W12"),
        told("mended", 1, about="protection of lift left"),
        *(told("danger", 1, words=danger) for danger in DANGERS),
        told("danger", 1, about="W12", words="heat", wire="W12"),
        told("cleared", 1, 2, words="wire was pinched, cut out"),
        *(told("hunt ended", 1, words=words) for words in HUNT_ENDS),
        told("hunt ended", 1, about="W12 B", words="found", wire="W12", end="B"),
    ],
)
def test_everything_of_a_hunt_is_taken(sent: dict[str, Any]) -> None:
    """With what it needs, and without what it may leave out."""
    assert faults(sent) == ()


@pytest.mark.parametrize(
    ("sent", "words"),
    [
        (told("observed", about="look hub", words="dark"), "`of` of `observed` names its hunt: the key of the event"),
        (told("mended", about="W12 B"), "`of` of `mended` names its hunt"),
        (told("danger", words="smoke"), "`of` of `danger` names its hunt"),
        (told("cleared"), "`of` of `cleared` names its hunt"),
        (told("hunt ended", words="found"), "`of` of `hunt ended` names its hunt"),
        (told("cleared", 1), "names the hunt and each `danger` that is over"),
        (told("observed", 1, words="dark"), "`about` names what it is about."),
        (told("observed", 1, about="x" * 121, words="dark"), "`about` has 121 characters; 120 are the most."),
        (told("mended", 1, words="open"), "`about` names what it is about."),
        (told("observed", 1, about="look hub"), "has `words`, the outcome, or a `value` with its `unit`"),
        (told("observed", 1, about="volts hub B", value=12.1), "`observed` is in V or A or ohm."),
        (told("observed", 1, about="volts hub B", value=12.1, unit="mV"), "`observed` is in V or A or ohm."),
        (
            told("observed", 1, about="volts hub B", words="low", unit="mV"),
            "`unit` of an observation is one of V, A, ohm",
        ),
        (told("observed", 1, about="volts hub B", value=float("nan"), unit="V"), "`value` is a number."),
        (told("observed", 1, about="volts hub B", value=float("inf"), unit="V"), "`value` is a number."),
        (told("observed", 1, about="load", words="weak", conditions={"load_a": 9}), "`observed` has no conditions."),
        (
            told("danger", 1, words="it stinks"),
            "`words` of a danger is one of smoke, hiss, swelling, heat, burnt smell.",
        ),
        (told("danger", 1), "`words` of a danger is one of smoke"),
        (told("hunt ended", 1, words="done"), "a hunt's end is one of found, no wiring fault, given up."),
        (told("hunt", value=3), "`hunt` has no value."),
        (told("mended", 1, about="W12 B", value=3, unit="ohm"), "`mended` has no value."),
        (told("mended", 1, about="W12 B", wire="12", end="B"), "`wire` and `end` name the end that it is about"),
        (told("mended", 1, about="W12 B", wire="W12", end="C"), "`wire` and `end` name the end that it is about"),
        (told("hunt ended", 1, words="found", end="B"), "`wire` and `end` name the end that it is about"),
    ],
)
def test_what_can_not_be_taken_says_how_to_put_it_right(sent: dict[str, Any], words: str) -> None:
    """Each fault is named in a sentence."""
    assert any(words in fault for fault in faults(sent)), faults(sent)


def test_a_wrong_unit_is_told_once() -> None:
    """With a value or without one."""
    assert len(faults(told("observed", 1, about="volts hub B", value=12.1, unit="mV"))) == 1
    assert len(faults(told("observed", 1, about="volts hub B", words="low", unit="mV"))) == 1


@pytest.mark.parametrize(
    ("old", "digest"),
    [
        (
            event(2, Kind.PULLED, of=(1,), words="held", who="CD", build="practice", as_planned={"gauge": "12 AWG"}),
            "976d3e8421e87205a67810339cba41e97ada5ce3228f89342f8c3897ccb93030",
        ),
        (
            event(3, Kind.MEASURED, about="row", value=0.2, unit="ohm"),
            "1fa32cd16859ce561b1bf44350a6929bd3fba2d3d01e7c1d4258e9ce20412a88",
        ),
        (
            event(4, Kind.RESISTANCE, about="B3", value=0.0132, unit="ohm", conditions={"low_a": 1.0, "high_a": 18.0}),
            "5b58fb9a5c922c2da42f41253fef60b14c5f2c110a8eb6758c73cd90684304b5",
        ),
    ],
)
def test_records_of_before_keep_their_hash(old: Event, digest: str) -> None:
    """As the program wrote them down when it knew no hunts, and read again from their line."""
    (record,) = recorded(old)
    assert record.hash == digest
    assert read_record(json.loads(as_line(record))).hash == digest


# ------------------------------------------------------------------ what stands of a hunt


def test_a_hunt_holds_what_names_it() -> None:
    """What was told at first, what was seen and mended, as it came, whatever clocks say; nobody has ended it."""
    look = event(2, Kind.OBSERVED, of=(1,), about="look hub", words="dark")
    volts = event(3, Kind.OBSERVED, of=(1,), about="volts hub B", value=0.0, unit="V", measured_at=EARLIER)
    fuse = event(4, Kind.MENDED, of=(1,), about="protection of hub", words="out")
    state = folded(fuse, look, volts, HUNT)
    found = HuntRecord(key=key(1), build="", begun=HUNT, observations=(look, volts), mended=(fuse,))
    assert state.hunts == {"": (found,)}
    assert state.hunt("") == found
    assert found.open
    assert not found.dangers


def test_an_answer_that_names_an_earlier_one_replaces_it() -> None:
    """Who mistyped says so by its key; the same check seen again, before or after a repair, is a second answer."""
    wrong = event(2, Kind.OBSERVED, of=(1,), about="look hub", words="lit")
    right = event(3, Kind.OBSERVED, of=(1, 2), about="look hub", words="dark", measured_at=EARLIER)
    again = event(4, Kind.OBSERVED, of=(1,), about="look hub", words="flickers")
    mended = event(5, Kind.MENDED, of=(1,), about="W12 B", words="open")
    after = event(6, Kind.OBSERVED, of=(1, 5), about="look hub", words="lit", measured_at=LATER)
    assert hunt(wrong, right).observations == (right,)
    assert hunt(wrong, again).observations == (wrong, again)
    assert hunt(wrong, right, again, mended, after).observations == (right, again, after)
    back = event(7, Kind.TAKEN_BACK, of=(3,))
    assert hunt(wrong, right, back).observations == (wrong,)


def test_whatever_was_mended_stays_mended() -> None:
    """A second repair that names the first takes nothing of it away."""
    first = event(2, Kind.MENDED, of=(1,), about="W12 B", words="open")
    second = event(3, Kind.MENDED, of=(1, 2), about="protection of hub", words="out")
    assert hunt(second, first).mended == (first, second)


def test_an_answer_of_one_hunt_replaces_none_of_another() -> None:
    """The old hunt keeps what was seen in it, whatever a new one names."""
    other = event(2, Kind.HUNT, measured_at=LATER)
    seen = event(3, Kind.OBSERVED, of=(1,), about="look hub", words="dark")
    then = event(4, Kind.OBSERVED, of=(2, 3), about="look hub", words="lit")
    old, new = folded(HUNT, other, seen, then).hunts[""]
    assert (old.observations, new.observations) == ((seen,), (then,))


def test_a_danger_stands_until_a_mentor_clears_that_very_one() -> None:
    """The hunt stands still meanwhile; no student, no other danger's clearing and no other hunt's lifts it."""
    smoke = event(2, Kind.DANGER, of=(1,), about="W12", words="smoke")
    hiss = event(3, Kind.DANGER, of=(1,), words="hiss")
    cleared = event(4, Kind.CLEARED, of=(1, 2))
    assert hunt(smoke).dangers
    assert hunt(smoke, cleared, role=Role.STUDENT).dangers == (smoke,)
    assert hunt(smoke, hiss, cleared).dangers == (hiss,)
    assert not hunt(smoke, hiss, event(4, Kind.CLEARED, of=(1, 2, 3))).dangers
    assert hunt(smoke, event(4, Kind.CLEARED, of=(2, 8))).dangers == (smoke,)
    assert hunt(smoke, cleared, event(5, Kind.TAKEN_BACK, of=(4,))).dangers == (smoke,)


def test_a_danger_stands_whoever_told_it_of_whatever_hunt() -> None:
    """Of a hunt that never arrived, of another build, of one that ended: open until a mentor clears it by its key."""
    lost = event(2, Kind.DANGER, of=(77,), words="smoke")
    other = [event(3, Kind.HUNT, build="practice"), event(4, Kind.DANGER, of=(3,), words="heat", build="practice")]
    over = [event(5, Kind.HUNT), event(6, Kind.DANGER, of=(5,), words="hiss"), event(7, Kind.HUNT_ENDED, of=(5,))]
    told = recorded(lost, *other, *over)
    assert [one.key for one in fold(told).dangers] == [key(2), key(4), key(6)]
    cleared = recorded(
        event(8, Kind.CLEARED, of=(77, 2)), event(9, Kind.CLEARED, of=(3, 4)), role=Role.MENTOR, origin="m"
    )
    assert [one.key for one in fold([*told, *cleared]).dangers] == [key(6)]
    by_student = recorded(event(8, Kind.CLEARED, of=(77, 2)), origin="s")
    assert fold([*told, *by_student]).dangers == fold(told).dangers


def test_what_is_seen_while_a_hunt_stands_still_is_kept() -> None:
    """A phone without a network did not hear of the danger; its answer is not lost."""
    seen = event(3, Kind.OBSERVED, of=(1,), about="look hub", words="dark", measured_at=LATER)
    assert hunt(event(2, Kind.DANGER, of=(1,), words="heat"), seen).observations == (seen,)


def test_a_hunt_that_ended_stays_ended() -> None:
    """Later answers are kept and open nothing; only a mentor's taking back of the end does."""
    end = event(2, Kind.HUNT_ENDED, of=(1,), about="W12 B", words="found", wire="W12", end="B")
    later = event(3, Kind.OBSERVED, of=(1,), about="look hub", words="lit", measured_at=LATER)
    ended = hunt(end, later)
    assert (ended.ended, ended.open, ended.observations) == (end, False, (later,))
    assert folded(HUNT, end, later).hunt("") is None
    back = event(4, Kind.TAKEN_BACK, of=(2,))
    assert hunt(end, later, back).open
    assert not hunt(end, later, back, role=Role.STUDENT).open


def test_of_two_ends_the_one_that_knew_the_other_counts() -> None:
    """And where neither knew, the one that came last, whatever their clocks say."""
    gave_up = event(2, Kind.HUNT_ENDED, of=(1,), words="given up", measured_at=LATER)
    apart = event(3, Kind.HUNT_ENDED, of=(1,), about="W12 B", words="found")
    assert hunt(gave_up, apart).ended == apart
    assert hunt(apart, gave_up).ended == gave_up
    knowing = event(3, Kind.HUNT_ENDED, of=(1, 2), about="W12 B", words="found")
    assert hunt(gave_up, knowing).ended == knowing


def test_the_newest_open_hunt_is_the_one_to_go_on_with() -> None:
    """Hunts stand as they came, the newest last, whatever clocks say; one that was ended is passed over."""
    older = event(2, Kind.HUNT, measured_at=LATER)
    state = folded(older, HUNT)
    assert [one.key for one in state.hunts[""]] == [key(2), key(1)]
    assert [one.key for one in (state.hunt(""), hunt()) if one is not None] == [key(1), key(1)]
    left = folded(older, HUNT, event(3, Kind.HUNT_ENDED, of=(1,), words="given up")).hunt("")
    assert left is not None
    assert left.key == key(2)
    assert folded().hunt("") is None


def test_what_came_before_its_hunt_counts_once_that_is_there() -> None:
    """An answer whose hunt has not arrived, or was taken back, is kept and stands nowhere."""
    seen = event(2, Kind.OBSERVED, of=(1,), about="look hub", words="dark")
    alone = folded(seen)
    assert alone.hunts == {}
    assert alone.events == {key(2): seen}
    assert hunt(seen).observations == (seen,)
    assert folded(HUNT, seen, event(3, Kind.TAKEN_BACK, of=(1,))).hunts == {}


def test_builds_hunt_apart() -> None:
    """Each has its own hunts, and what belongs to another build adds nothing to this one's."""
    practice = event(2, Kind.HUNT, build="practice", measured_at=EARLIER)
    strange = event(3, Kind.OBSERVED, of=(1,), about="look hub", words="dark", build="practice")
    state = folded(practice, HUNT, strange)
    assert list(state.hunts) == ["", "practice"]
    assert [one.key for one in (state.hunt(""), state.hunt("practice")) if one is not None] == [key(1), key(2)]
    assert all(not one.observations for hunts in state.hunts.values() for one in hunts)


# ------------------------------------------------------------------ any order, any two laptops


@st.composite
def hunting(draw: st.DrawFn) -> list[tuple[Event, Role]]:
    """Draw two or three hunts, of one or two builds, with events of every kind that name hunts and one another."""
    begun = [event(n, Kind.HUNT, build=draw(_BUILDS), measured_at=draw(_TIMES)) for n in range(1, draw(_FEW) + 1)]
    drawn = [(one, Role.STUDENT) for one in begun]
    kinds = st.sampled_from([*sorted(HUNTS - {Kind.HUNT}), Kind.TAKEN_BACK])
    for n in range(len(begun) + 1, len(begun) + draw(st.integers(1, 12)) + 1):
        home = draw(st.sampled_from(begun))
        of = {int(home.key, 16), *draw(st.sets(st.integers(1, n - 1), max_size=3))}
        fields = {"build": home.build, "about": draw(_ABOUT), "measured_at": draw(_TIMES)}
        drawn.append((event(n, draw(kinds), of=tuple(of), **fields), draw(st.sampled_from(list(Role)))))
    return drawn


_BUILDS = st.sampled_from(["", "", "practice"])
_TIMES = st.sampled_from([EARLIER, NOON, LATER])
_FEW = st.integers(2, 3)
_ABOUT = st.sampled_from(["look hub", "W12 B", "lift"])


def written(drawn: list[tuple[Event, Role]], origin: str = "laptop-a") -> list[Record]:
    """Return the records of one laptop, each with the role of its sender; their hashes do not matter here."""
    return [
        replace(record, sequence=n, role=role)
        for n, (one, role) in enumerate(drawn, 1)
        for record in recorded(one, origin=origin)
    ]


def contents(state: State) -> list[object]:
    """Return what every hunt holds, without the order in which it came."""
    return [
        (
            one.key,
            one.build,
            *({event.key for event in held} for held in (one.observations, one.mended, one.dangers)),
            one.open,
        )
        for hunts in state.hunts.values()
        for one in sorted(hunts, key=lambda hunt: hunt.key)
    ]


@given(hunting(), st.data())
def test_any_order_and_any_two_laptops_tell_the_same_hunts(
    drawn: list[tuple[Event, Role]], data: st.DataObject
) -> None:
    """However they came, to one laptop, the other or both: two that merged have the same, and all that one would."""
    whole = fold(written(drawn))
    assert contents(fold(written(data.draw(st.permutations(drawn))))) == contents(whole)
    where = data.draw(st.lists(st.sampled_from("abx"), min_size=len(drawn), max_size=len(drawn)))
    halves = [
        written([one for one, at in zip(drawn, where, strict=True) if at in (name, "x")], f"laptop-{name}")
        for name in "ab"
    ]
    merged = fold([*halves[0], *halves[1]])
    assert fold(data.draw(st.permutations([*halves[0], *halves[1]]))) == merged
    assert contents(merged) == contents(whole)
    assert merged.events == whole.events


@given(hunting())
def test_nothing_of_a_hunt_is_lost_or_made_up(drawn: list[tuple[Event, Role]]) -> None:
    """By a second count: what was mended and which dangers are open follow from the events alone, one by one."""
    lawful = [one for one, role in drawn if role is Role.MENTOR or one.kind not in MENTORS_ONLY]
    gone = {name for one in lawful if one.kind is Kind.TAKEN_BACK for name in one.of}
    live = [one for one in lawful if one.key not in gone]
    state = fold(written(drawn))
    found = {one.key: one for hunts in state.hunts.values() for one in hunts}
    assert set(found) == {one.key for one in live if one.kind is Kind.HUNT}
    for name, kept in found.items():
        own = [one for one in live if name in one.of and one.build == kept.build]
        cleared = {other for one in own if one.kind is Kind.CLEARED for other in one.of}
        dangers = {one.key for one in own if one.kind is Kind.DANGER} - cleared
        assert {one.key for one in kept.mended} == {one.key for one in own if one.kind is Kind.MENDED}
        assert {one.key for one in kept.dangers} == dangers
        assert kept.open is not any(one.kind is Kind.HUNT_ENDED for one in own)
        seen = {one.key for one in own if one.kind is Kind.OBSERVED}
        replaced = {other for one in own if one.kind is Kind.OBSERVED for other in one.of}
        assert {one.key for one in kept.observations} == seen - replaced


def test_two_laptops_go_on_with_one_hunt_and_a_backup_brings_it_back(tmp_path: Path) -> None:
    """Begun here and gone on with there; handed over both ways and restored, everybody has the same hunt."""
    seen = event(2, Kind.OBSERVED, of=(1,), about="volts hub B", value=0.0, unit="V", words="none")
    smoke = event(3, Kind.DANGER, of=(1,), about="hub", words="smoke")
    mended = event(4, Kind.MENDED, of=(1,), about="W12 B", words="open", wire="W12", end="B")
    cleared = event(5, Kind.CLEARED, of=(1, 3), who="Ada")
    end = event(6, Kind.HUNT_ENDED, of=(1,), about="W12 B", words="found", wire="W12", end="B")
    with laptop(tmp_path, "one") as one, laptop(tmp_path, "two") as two:
        one.append([HUNT, seen], role=Role.STUDENT, received_at=NOON)
        import_lines(two, exported(one))
        two.append([smoke, mended, end], role=Role.STUDENT, received_at=NOON)
        two.append([cleared], role=Role.MENTOR, received_at=NOON)
        import_lines(one, exported(two))
        (here,), (there,) = (fold(store.records()).hunts[""] for store in (one, two))
        backup(one, tmp_path / "kept.db")
    restore(tmp_path / "kept.db", tmp_path / "bench.db", robot=ROBOT)
    with open_store(tmp_path / "bench.db", robot=ROBOT, now=NOON, new_origin=names("anew")) as anew:
        (again,) = fold(anew.records()).hunts[""]
    whole = HuntRecord(key=key(1), build="", begun=HUNT, observations=(seen,), mended=(mended,), ended=end)
    assert here == there == again == whole
