"""Sample crimps and rates from events: sets belong to a way of crimping, and every judged end counts once."""

from __future__ import annotations

from typing import Any

from loomwright.proof.as_built.samples import Way, person_rates, tool_rates, way_name, ways
from loomwright.proof.pulls import pull_samples
from loomwright.records.crimps import Outcome
from loomwright.records.event import Event, Kind
from loomwright.records.fold import fold
from tests.records.events import event, recorded
from tests.robots import example_plan

PLAN = example_plan("rockpool")
ASKED = next(one for one in pull_samples(PLAN) if one.force_n)


def way(*events: Event) -> Way:
    """Return what some events tell of one way of crimping that the trainer's plan asks for."""
    return next(one for one in ways(PLAN, fold(recorded(*events))) if one.name == way_name(ASKED))


def begun(number: int, size: int, **fields: Any) -> Event:  # noqa: ANN401  any field of an event
    """Return the beginning of a set of that way."""
    return event(number, Kind.SET_BEGUN, about=way_name(ASKED), value=float(size), **fields)


def pulled(first: int, of: int, *forces_n: float) -> list[Event]:
    """Return samples of a set that gave way at these forces."""
    return [
        event(first + n, Kind.SAMPLE, of=(of,), about="held", value=force_n, unit="N")
        for n, force_n in enumerate(forces_n)
    ]


def test_a_way_without_sets_gives_no_licence() -> None:
    """Before the first full set nobody works on the robot with that tool."""
    assert not way().licensed
    open_one = way(begun(1, 5), *pulled(2, 1, 500.0, 510.0))
    assert open_one.verdicts[-1].outcome is Outcome.TOO_FEW
    assert open_one.open_set is not None
    assert not open_one.licensed


def test_forces_well_above_what_is_asked_give_the_licence_and_weak_ones_do_not() -> None:
    """Five pulls far above the required force pass; five around it do not; the standard's force is the plan's."""
    asked_n = ASKED.force_n or 0.0
    good = way(begun(1, 5), *pulled(2, 1, *(asked_n * part for part in (1.6, 1.62, 1.65, 1.61, 1.63))))
    assert good.verdicts[-1].outcome is Outcome.PASSES
    assert good.licensed
    weak = way(begun(1, 5), *pulled(2, 1, *(asked_n * part for part in (1.1, 0.9, 1.0, 1.2, 0.95))))
    assert weak.verdicts[-1].outcome is Outcome.FAILS
    assert not weak.licensed
    assert weak.verdicts[-1].required_n == asked_n


def test_pulls_of_another_set_and_taken_back_ones_do_not_count() -> None:
    """A pull belongs to the set it names."""
    held = way(begun(1, 3), *pulled(2, 1, 500.0), *pulled(5, 9, 500.0, 500.0))
    assert len(held.sets[0].pulls) == 1


def test_a_change_that_was_written_down_begins_anew() -> None:
    """After a failed set, one that says what was put right stands on its own; without a word all pulls stay counted."""
    asked_n = ASKED.force_n or 0.0
    weak = [begun(1, 5), *pulled(2, 1, *(asked_n * part for part in (1.1, 0.9, 1.0, 1.2, 0.95)))]
    strong = pulled(11, 10, *(asked_n * part for part in (1.6, 1.62, 1.65, 1.61, 1.63)))
    put_right = way(*weak, begun(10, 5, words="new die", measured_at="2026-02-07T13:00:00Z"), *strong)
    assert put_right.verdicts[-1].counted == (2,)
    silent = way(*weak, begun(10, 5, measured_at="2026-02-07T13:00:00Z"), *strong)
    assert silent.verdicts[-1].counted == (1, 2)
    assert not silent.licensed


def ended(first: int, of: int, *how: str) -> list[Event]:
    """Return samples of a set without a force: "held", "slipped" or "blunder"."""
    return [event(first + n, Kind.SAMPLE, of=(of,), about=one) for n, one in enumerate(how)]


LATER = {"measured_at": "2026-02-07T13:00:00Z"}


def test_without_a_gauge_three_have_to_hold() -> None:
    """One or two that held are luck; the set says that it proves little, and is a licence from three on."""
    for size in (1, 2, 3, 4):
        found = way(begun(1, size), *ended(2, 1, *["held"] * size))
        assert found.verdicts[-1].outcome is Outcome.OPEN
        assert found.licensed is (size >= 3)


def test_testing_until_it_passes_gives_no_licence() -> None:
    """After a set of five that failed it takes five that hold, and words for what was put right."""
    failed = [begun(1, 5), *ended(2, 1, "held", "slipped", "slipped", "held", "slipped")]
    for size, words, licensed in ((1, "new die", False), (3, "new die", False), (5, ".", False), (5, "new die", True)):
        found = way(*failed, begun(10, size, words=words, **LATER), *ended(11, 10, *["held"] * size))
        assert found.licensed is licensed, (size, words)


def test_a_set_that_was_left_after_bad_pulls_is_not_forgotten() -> None:
    """It is named beside the next one, is a fresh start in what the claim rests on, and took the licence away."""
    asked_n = ASKED.force_n or 0.0
    strong = [asked_n * part for part in (1.6, 1.62, 1.65, 1.61, 1.63)]
    good = [begun(1, 5), *pulled(2, 1, *strong)]
    left = [begun(10, 5, **LATER), *pulled(11, 10, asked_n * 0.5)]
    assert way(*good).licensed
    assert not way(*good, *left).licensed
    again = begun(20, 5, words="new die", measured_at="2026-02-07T14:00:00Z")
    whole = way(*left, again, *pulled(21, 20, *strong))
    assert whole.licensed
    assert "Set 1: too few yet, 1 bad." in whole.verdicts[-1].beside
    assert any("did not pass (once)" in words for words in whole.verdicts[-1].rests_on)


def test_rates_count_each_judged_signature_once_whoever_spells_it() -> None:
    """Made and never judged counts nowhere; a redone end counts twice: once failed, once as it was judged then."""
    events = (
        event(1, Kind.MADE, who="AB", tool="hand crimper"),
        event(2, Kind.FAILED, of=(1,), who="CD"),
        event(3, Kind.REDONE, of=(1, 2), who="a b", tool="hand crimper"),
        event(4, Kind.PULLED, of=(3,), who="CD"),
        event(5, Kind.PULLED, of=(3,), who="EF"),
        event(6, Kind.MADE, who="CD", wire="W2", end="A"),
    )
    state = fold(recorded(*events))
    (person,) = person_rates(state)
    assert (person.name, person.n, person.failures) == ("AB", 2, 1)
    (tool,) = tool_rates(state)
    assert (tool.name, tool.n, tool.failures) == ("hand crimper", 2, 1)


def test_a_set_that_a_slow_clock_began_is_the_one_to_pull() -> None:
    """Sets stand as they came: the newest one that is not full is open, whatever its phone's clock said."""
    first = [begun(1, 2), *pulled(2, 1, 120.0, 121.0)]
    slow = begun(10, 3, of=(1,), measured_at="2024-01-01T00:00:00Z")
    found = way(*first, slow)
    assert found.open_set is not None
    assert found.open_set.begun == slow
    assert [one.begun.key for one in found.sets] == [first[0].key, slow.key]


def test_of_two_sets_begun_apart_the_one_that_is_short_stays_open() -> None:
    """Neither phone knew of the other: where the later one is full, the other is still to pull; given up, it is not."""
    apart = [begun(1, 3), begun(10, 2), *pulled(11, 10, 120.0, 121.0)]
    found = way(*apart)
    assert found.open_set is not None
    assert found.open_set.begun == apart[0]
    left = way(begun(1, 3), begun(10, 2, of=(1,)), *pulled(11, 10, 120.0, 121.0))
    assert left.open_set is None
