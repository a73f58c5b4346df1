"""The plan beside the records: whose turn an end is, and what a new plan sends back."""

from __future__ import annotations

import pytest

from loomwright.plan.remembering import remembered
from loomwright.plan.result import Plan
from loomwright.proof.as_built.ends import BuiltEnd, built_ends, built_groups, counts, signed_as
from loomwright.proof.ends import all_ends
from loomwright.records.ends import Standing
from loomwright.records.event import Event, Kind
from loomwright.records.fold import fold
from tests.records.events import event, recorded
from tests.robots import EXAMPLES, example_plan, example_text, plan_of


def end_of(plan: Plan, name: str, *events: Event) -> BuiltEnd:
    """Return one end by its name, with these events."""
    return next(end for end in built_ends(plan, fold(recorded(*events))) if end.name == name)


def made(plan: Plan, name: str, number: int = 1, **fields: object) -> Event:
    """Return the signature of an end as it is planned."""
    wire, letter = name.split()
    found = next(one for one in all_ends(plan) if one.name == (wire, letter))
    signed = signed_as(found.wire, found.end)
    return event(number, Kind.MADE, **{"wire": wire, "end": letter, "as_planned": signed} | fields)  # type: ignore[arg-type]


@pytest.mark.parametrize("name", EXAMPLES)
def test_every_end_that_somebody_makes_is_there_once_in_build_order(name: str) -> None:
    """Nothing is left out, nothing comes twice, and the groups are those of the order of building."""
    plan = example_plan(name)
    ends = built_ends(plan, fold([]))
    assert sorted(end.name for end in ends) == sorted(" ".join(end.name) for end in all_ends(plan))
    assert sum(counts(ends).values()) == len(ends)
    for group in built_groups(plan, fold([])):
        for step in group.steps:
            assert {end.fitted.wire for end in step.ends} <= set(step.step.wires)


def test_an_end_signed_as_planned_waits_for_its_pull_and_is_done_with_a_witness() -> None:
    """Made, pulled alone, pulled by another: three standings, of which only the last is done."""
    plan = example_plan("rockpool")
    first = made(plan, "W6 B")
    assert end_of(plan, "W6 B", first).waits_for_pull
    alone = event(2, Kind.PULLED, of=(1,), wire="W6", end="B")
    assert end_of(plan, "W6 B", first, alone).standing is Standing.PULLED_ALONE
    assert not end_of(plan, "W6 B", first, alone).is_done
    other = event(3, Kind.PULLED, of=(1,), wire="W6", end="B", who="CD")
    assert end_of(plan, "W6 B", first, alone, other).is_done


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"gauge": "10 AWG"}, "AWG, and it was made with 10 AWG"),
        ({"terminal": "a knot"}, "and it was made with a knot"),
        ({"slot": "H9"}, "and it was put on block H9"),
        ({"device": "right wheel controller"}, "and it was put on right wheel controller"),
    ],
)
def test_what_was_signed_as_something_else_goes_back_with_the_reason(change: dict[str, str], words: str) -> None:
    """Another gauge, terminal, slot or device than the plan of today: redo, whoever had pulled it."""
    plan = example_plan("rockpool")
    signed = made(plan, "W6 A")
    other = event(1, Kind.MADE, wire="W6", end="A", as_planned=dict(signed.as_planned) | change)
    pulled = event(2, Kind.PULLED, of=(1,), wire="W6", end="A", who="CD")
    end = end_of(plan, "W6 A", other, pulled)
    assert end.standing is Standing.REDO
    assert any(words in why for why in end.why), end.why


def test_a_slot_that_moves_sends_back_the_ends_at_that_slot_and_no_others() -> None:
    """A replan that moves one branch: its two ends at the block are redone, those at the motor stay."""
    before = example_plan("rockpool")
    circuit = before.circuit("left wheel")
    assert circuit is not None
    free = next(slot for slot in ("L1", "L2", "L3") if not before.on_slot("block", slot))
    text = example_text("rockpool").replace("  left wheel:\n", f"  left wheel:\n    slot: {free}\n", 1)
    after = plan_of(text, memory=remembered(before))
    events = [made(before, end.name, n) for n, end in enumerate(built_ends(before, fold([])), 1)]
    sent_back = {end.name for end in built_ends(after, fold(recorded(*events))) if end.standing is Standing.REDO}
    assert sent_back == {f"{wire.id} A" for wire in circuit.wires}


def test_a_device_with_another_name_asks_for_a_new_flag_only() -> None:
    """The old name is gone from the robot and the slot is the same: nothing is made again."""
    plan = example_plan("rockpool")
    signed = made(plan, "W6 B")
    renamed = event(1, Kind.MADE, wire="W6", end="B", as_planned=dict(signed.as_planned) | {"device": "old name"})
    end = end_of(plan, "W6 B", renamed)
    assert end.standing is Standing.MADE
    assert end.reflag
    assert not end_of(plan, "W6 B", signed).reflag


def test_a_failed_end_says_who_found_it_and_what() -> None:
    """The reason on the screen is the finder's own words, or a plain sentence."""
    plan = example_plan("rockpool")
    first = made(plan, "W6 B")
    found = event(2, Kind.FAILED, of=(1,), wire="W6", end="B", who="CD", words="strand outside")
    assert end_of(plan, "W6 B", first, found).why == ("CD: strand outside",)
    silent = event(2, Kind.FAILED, of=(1,), wire="W6", end="B", who="CD")
    assert end_of(plan, "W6 B", first, silent).why == ("CD found that it does not hold.",)


def test_an_end_that_was_mended_in_a_hunt_goes_back_until_it_is_signed_again() -> None:
    """The old signature and its pull are those of another end; the end beside it stays pulled."""
    plan = example_plan("rockpool")
    early, noon, late = (f"2026-02-07T{hour}:00:00Z" for hour in (10, 12, 14))
    signed = [made(plan, name, number, measured_at=early) for name, number in (("W6 A", 1), ("W6 B", 2))]
    pulled = [
        event(number + 2, Kind.PULLED, of=(number,), wire="W6", end=end, who="CD", measured_at=early)
        for end, number in (("A", 1), ("B", 2))
    ]
    hunt = event(5, Kind.HUNT, words="beacon dark", measured_at=noon)
    mended = event(6, Kind.MENDED, of=(5,), about="W6 B", wire="W6", end="B", who="EF", measured_at=noon)
    told = (*signed, *pulled, hunt, mended)
    back = end_of(plan, "W6 B", *told)
    assert (back.standing, back.why) == (
        Standing.REDO,
        ("EF mended it in a hunt, and nobody signed it since.",),
    )
    assert end_of(plan, "W6 A", *told).is_done
    again = made(plan, "W6 B", 7, measured_at=late)
    assert end_of(plan, "W6 B", *told, again).standing is Standing.MADE
    slow = made(plan, "W6 B", 7, measured_at="1999-01-01T00:00:00Z")
    assert end_of(plan, "W6 B", *told, slow).standing is Standing.MADE, "its clock has no say"


def test_who_mends_signs_first_and_then_tells_it() -> None:
    """In a hunt an end is made again, signed, and told as mended: that signature stands."""
    plan = example_plan("rockpool")
    hunt = event(2, Kind.HUNT, words="beacon dark")
    mended = event(4, Kind.MENDED, of=(2,), about="W6 B", wire="W6", end="B")
    told = (made(plan, "W6 B"), hunt, made(plan, "W6 B", 3, of=(1,)), mended)
    assert end_of(plan, "W6 B", *told).standing is Standing.MADE
    twice = event(5, Kind.MENDED, of=(2,), about="W6 B", wire="W6", end="B")
    assert end_of(plan, "W6 B", *told, twice).standing is Standing.REDO


def test_a_lug_on_a_battery_post_is_nobodys_work_alone() -> None:
    """Exactly the ends at a battery ask for a second person."""
    plan = example_plan("tidepool")
    ends = built_ends(plan, fold([]))
    asked = {end.name for end in ends if end.second_person}
    at_battery = {" ".join(one.name) for one in all_ends(plan) if one.end.device == "battery"}
    assert asked == at_battery
    assert asked


def test_what_the_robot_file_calls_made_counts_until_the_bench_knows_better() -> None:
    """A wire that the file calls made is done without any signature; a failure found there counts again."""
    before = example_plan("rockpool")
    slot = before.circuit("left wheel")
    assert slot is not None
    text = example_text("rockpool").replace(
        "  left wheel:\n", f"  left wheel:\n    slot: {slot.slot.value} (fitted)\n", 1
    )
    plan = plan_of(text, memory=remembered(before))
    in_file = [end for end in built_ends(plan, fold([])) if end.in_file]
    assert {end.fitted.wire for end in in_file} == {wire.id for wire in plan.wires if wire.key in plan.made} != set()
    assert all(end.is_done for end in in_file)
    name = in_file[0].name
    wire, letter = name.split()
    first = made(plan, name)
    found = event(2, Kind.FAILED, of=(1,), wire=wire, end=letter, who="CD")
    assert not end_of(plan, name, first, found).is_done
