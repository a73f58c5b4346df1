"""A whole hunt by its events: what stands after each, whatever order they came in, and on whatever plan."""

from __future__ import annotations

import random
from dataclasses import replace
from functools import lru_cache

import pytest

from loomwright.jobs.hunt.at_bench import HuntAtBench
from loomwright.jobs.hunt.desk import HuntDesk
from loomwright.jobs.hunt.result import HuntView
from loomwright.jobs.hunt.view import faults_at, hunt_view
from loomwright.plan.result import Plan
from loomwright.records.event import Event, Kind, Role
from loomwright.records.fold import State, fold
from tests.records.events import event, key, recorded
from tests.robots import example_plan

PLAN = example_plan("rockpool")
DESK = HuntDesk()
BEGUN = event(1, Kind.HUNT, words="beacon is dark")
DARK = event(2, Kind.OBSERVED, of=(1,), about="look beacon", words="dark")
LIT = event(3, Kind.OBSERVED, of=(1,), about="look robot controller", words="lit")
VOLTS = event(4, Kind.OBSERVED, of=(1,), about="volts beacon A", value=12.6, unit="V")
OPEN = event(5, Kind.OBSERVED, of=(1,), about="ohms W12", words="open")
MENDED = event(6, Kind.MENDED, of=(1,), about="W12 A", wire="W12", end="A")
WELL = event(7, Kind.OBSERVED, of=(1, 6), about="look beacon", words="lit")
STILL = event(8, Kind.OBSERVED, of=(1, 6), about="look beacon", words="dark")


def at(event_: Event, minute: int) -> Event:
    """Return an event at a minute past noon."""
    return replace(event_, measured_at=f"2026-02-07T12:{minute:02}:00Z")


def state(*events: Event, role: Role = Role.MENTOR) -> State:
    """Return the state after some events, each a minute after the one before."""
    return fold(recorded(*(at(one, minute) for minute, one in enumerate(events)), role=role))


def seen(*events: Event) -> HuntView:
    """Return where the hunt stands after some events of Rockpool."""
    return hunt_view(DESK, PLAN, state(*events), "")


@lru_cache(maxsize=1)
def half_way() -> HuntView:
    """Return the hunt after three answers."""
    return seen(BEGUN, DARK, LIT, VOLTS)


def test_nothing_is_said_before_anything_is_seen() -> None:
    """Without a hunt, and in one that has no answers yet, there is no suspect and no check."""
    for view in (seen(), seen(BEGUN)):
        assert (view.suspects, view.checks, view.fixes, view.answers, view.dangers) == ((), (), (), (), ())
    assert seen().hunt is None
    assert seen(BEGUN).hunt is not None


def test_suspects_stand_by_their_seats() -> None:
    """A dark beacon with volts at its feed: one of its wires' ends, or itself; with what lights up on a drawing."""
    view = half_way()
    shares = [one.probability for one in view.suspects]
    assert shares == sorted(shares, reverse=True)
    # A seat that is bad with another one counts at both.
    assert 0.9 < sum(shares) <= 1 + view.two + 1e-9
    assert len({(one.seats, one.other) for one in view.suspects}) == len(view.suspects)
    first, second = view.suspects[:2]
    # Nothing tells the four ends apart yet.
    assert set(first.seats) == {"W12 A", "W12 B", "W13 A", "W13 B"}
    assert first.any_of
    assert set(first.wires) == {"W12", "W13"}
    assert set(first.faults) <= {key for seat in first.seats for key in faults_at(DESK.robot(PLAN, state(), ""), seat)}
    assert "explains" in first.because
    assert (second.seats, second.devices) == (("beacon",), ("beacon",))
    # Something on no list is less likely than the eight that are told.
    assert not any(one.other for one in view.suspects)


def test_checks_come_with_words_and_what_each_outcome_leaves() -> None:
    """At most four, none that was made; the chances of outcomes add up to 1, and each leaves a suspect in words."""
    view = half_way()
    assert 0 < len(view.checks) <= 4
    assert not {one.key for one in view.checks} & {"look beacon", "look robot controller", "volts beacon A"}
    for check in view.checks:
        assert sum(chance for _, chance, _ in check.outcomes) == pytest.approx(1.0)
        assert all(left for _, chance, left in check.outcomes if chance > 0)
        assert check.words.how
        assert check.seconds > 0
        assert check.wires or check.devices or " " not in check.key


def test_the_state_of_work_is_that_of_the_last_answer_that_needed_one() -> None:
    """Lights are looked at alive, ohms measured dead; what drivers told asks for nothing."""
    assert half_way().state == "alive"
    assert seen(BEGUN, DARK, OPEN).state == "dead"
    told = event(9, Kind.OBSERVED, of=(1,), about="since hit", words="no")
    assert seen(BEGUN, DARK, OPEN, told).state == "dead"
    assert seen(BEGUN, told).state == ""


def test_what_is_very_likely_is_to_be_mended() -> None:
    """W12 reads open: the fix says which seat, how, and what to try again."""
    view = seen(BEGUN, DARK, LIT, VOLTS, OPEN, event(10, Kind.OBSERVED, of=(1,), about="tug W12 A", words="comes off"))
    assert view.found
    fix = view.fixes[0]
    assert (fix.seat, fix.wire, fix.end, fix.fault) == ("W12 A", "W12", "A", "open W12 A")
    assert fix.probability >= 0.85
    assert "W12 A" in fix.words
    assert fix.again
    assert view.suspects[0].seats == ("W12 A",)
    assert not half_way().found


def test_after_mending_the_trouble_is_tried_again() -> None:
    """What showed trouble comes first, hearsay as what shows it now; what was well is not repeated."""
    view = seen(BEGUN, DARK, LIT, OPEN, MENDED)
    assert [one.key for one in view.again] == ["ohms W12", "look beacon"]
    assert [name for name, _, _ in view.again[1].outcomes] == ["lit", "odd", "flickers", "dark"]
    assert view.helped == ""
    hearsay = event(11, Kind.OBSERVED, of=(1,), about="drove left wheel", words="dead")
    assert [one.key for one in seen(BEGUN, hearsay, MENDED).again] == ["run left wheel"]
    assert seen(BEGUN, event(13, Kind.OBSERVED, of=(1,), about="brown-out", words="yes"), MENDED).again == ()
    assert seen(BEGUN, DARK, OPEN).again == ()


def test_what_helped_is_told() -> None:
    """Once all that had shown trouble is well; one is not enough while another waits."""
    assert seen(BEGUN, DARK, LIT, MENDED, WELL).helped == "W12 A"
    waits = seen(BEGUN, DARK, LIT, OPEN, MENDED, WELL)
    assert (waits.helped, [one.key for one in waits.again]) == ("", ["ohms W12"])
    ohms = event(12, Kind.OBSERVED, of=(1, 6), about="ohms W12", value=0.2, unit="ohm")
    assert seen(BEGUN, DARK, LIT, OPEN, MENDED, WELL, ohms).helped == "W12 A"


def test_what_did_not_help_is_no_suspect_any_more() -> None:
    """Still dark: the end that was made again stands far down, and nothing is to be tried again."""
    before, view = seen(BEGUN, DARK, LIT, VOLTS), seen(BEGUN, DARK, LIT, VOLTS, MENDED, STILL)
    assert (view.helped, view.again) == ("", ())
    assert "W12 A" in before.suspects[0].seats
    assert "W12 A" not in {seat for one in view.suspects if one.probability > 0.01 for seat in one.seats}
    assert "W12 B" in view.suspects[0].seats
    # Two faults with the same end: what was mended, and something else that leaves it dark.
    assert before.two < view.two < 0.5


def _share(view: HuntView, seat: str) -> float:
    """Return the share of one seat; of ends that nothing tells apart each has as much."""
    found = [one.probability / (len(one.seats) if one.any_of else 1) for one in view.suspects if seat in one.seats]
    return max(found, default=0.0)


def test_a_danger_of_any_hunt_stops_all() -> None:
    """Also of one that has ended: no suspect, no check, until a mentor has cleared it; the answers still stand."""
    smoke = event(20, Kind.DANGER, of=(1,), about="block", words="smoke")
    view = seen(BEGUN, DARK, smoke)
    assert [one.words for one in view.dangers] == ["smoke"]
    assert (view.suspects, view.checks, view.fixes) == ((), (), ())
    assert [one.words for one in view.answers] == ["beacon dark"]
    ended = event(21, Kind.HUNT_ENDED, of=(1,), words="given up")
    second = (event(30, Kind.HUNT), event(31, Kind.OBSERVED, of=(30,), about="look beacon", words="dark"))
    assert [one.words for one in seen(BEGUN, smoke, ended, *second).dangers] == ["smoke"]
    cleared = event(22, Kind.CLEARED, of=(1, 20))
    assert seen(BEGUN, DARK, smoke, cleared).suspects


def test_answers_are_told_as_they_were_given() -> None:
    """With its number and unit, by whom, in the order of the clocks; what does not go with the others is doubtful."""
    view = half_way()
    assert [one.words for one in view.answers] == ["beacon dark", "robot controller lit", "volts beacon A 12.6 V"]
    assert {one.who for one in view.answers} == {"AB"}
    assert [one.key for one in view.answers] == [key(2), key(3), key(4)]
    assert not any(one.refused or one.doubtful for one in view.answers)


def test_answers_that_do_not_go_together_are_told() -> None:
    """The wire is open and its load has volts: one was misread. The doubtful reading is told with its likelier side."""
    volts = event(40, Kind.OBSERVED, of=(1,), about="volts beacon B", value=12.6, unit="V")
    view = seen(BEGUN, DARK, LIT, OPEN, volts)
    assert view.doubt.startswith("The answers do not all go together: at least 1 of them must be misread.")
    assert "Most likely misread: volts beacon B as expected." in view.doubt
    assert half_way().doubt == ""
    # Swapped, with planned colours, lit and running: it was read with the probes the wrong way round.
    odd = [
        event(41, Kind.OBSERVED, of=(1,), about="volts right wheel B", value=-12.6, unit="V"),
        event(42, Kind.OBSERVED, of=(1,), about="colours right wheel", words="as planned"),
        event(43, Kind.OBSERVED, of=(1,), about="look right wheel controller", words="lit"),
        event(44, Kind.OBSERVED, of=(1,), about="run right wheel", words="runs"),
    ]
    doubtful = seen(BEGUN, DARK, LIT, OPEN, *odd)
    assert [one.check for one in doubtful.answers if one.doubtful] == ["volts right wheel B"]


def test_answers_of_another_plan_are_told_and_count_for_nothing() -> None:
    """A check that is gone, an outcome that is gone, another unit: why they count for nothing; the others still do."""
    gone = [
        event(50, Kind.OBSERVED, of=(1,), about="look old light", words="dark"),
        event(51, Kind.OBSERVED, of=(1,), about="look beacon", words="purple"),
        event(52, Kind.OBSERVED, of=(1,), about="volts main A", value=3.0, unit="ohm"),
        event(53, Kind.OBSERVED, of=(1,), about="ohms W999", value=3.0, unit="ohm"),
        event(54, Kind.MENDED, of=(1,), about="W999 A"),
    ]
    view, plain = seen(BEGUN, DARK, LIT, *gone), seen(BEGUN, DARK, LIT)
    refused = {one.check: one.refused for one in view.answers if one.refused}
    assert set(refused) == {"look old light", "look beacon", "volts main A", "ohms W999"}
    assert all(why.endswith((".", "?")) for why in refused.values())
    assert [one.seats for one in view.suspects] == [one.seats for one in plain.suspects]
    only = seen(BEGUN, *gone[:4])
    assert only.suspects == ()
    assert len(only.answers) == 4


def test_a_line_of_the_list_with_strange_words_is_told() -> None:
    """Written by another program: the hunt on Breakwater goes on, and says what it can't use."""
    strange = event(60, Kind.OBSERVED, of=(1,), about="seen compass", words="gone fishing")
    view = hunt_view(HuntDesk(), example_plan("breakwater"), state(BEGUN, strange), "")
    [answer] = view.answers
    assert "gone fishing" in answer.words
    assert "no outcome" in answer.refused


def test_the_order_of_records_does_not_matter() -> None:
    """Whatever is read first, written down by one laptop or by two: the same view."""
    events = [at(one, minute) for minute, one in enumerate((BEGUN, DARK, LIT, VOLTS, OPEN, MENDED, WELL))]
    view = hunt_view(DESK, PLAN, fold(recorded(*events, role=Role.MENTOR)), "")
    chance = random.Random(1)  # noqa: S311  a fixed order
    for _ in range(3):
        mixed = chance.sample(range(len(events)), len(events))
        halves = [[events[n] for n in sorted(some)] for some in (mixed[:5], mixed[3:])]
        both = [
            replace(one, received_at=one.event.measured_at)
            for name, half in zip("ab", halves, strict=True)
            for one in recorded(*half, role=Role.MENTOR, origin=f"laptop-{name}")
        ]
        again = hunt_view(DESK, PLAN, fold(chance.sample(both, len(both))), "")
        assert _told(again) == _told(view)


def _told(view: HuntView) -> tuple[object, ...]:
    suspects = tuple((one.seats, round(one.probability, 9)) for one in view.suspects)
    return suspects, [one.key for one in view.checks], view.answers, view.helped, view.state, view.again, view.fixes


def test_a_newer_answer_takes_the_place_of_one_that_it_names() -> None:
    """Read again: the first reading counts no more."""
    again = event(70, Kind.OBSERVED, of=(1, 5), about="ohms W12", value=0.2, unit="ohm")
    view = seen(BEGUN, DARK, LIT, OPEN, again)
    assert [one.words for one in view.answers] == ["beacon dark", "robot controller lit", "ohms W12 0.2 Ω"]


def test_only_the_open_hunt_of_its_build_is_shown() -> None:
    """One that has ended, or of another build, is none of this."""
    ended = event(21, Kind.HUNT_ENDED, of=(1,), words="found")
    assert seen(BEGUN, DARK, ended).hunt is None
    other = (replace(BEGUN, build="practice"), replace(DARK, build="practice"))
    assert seen(*other).hunt is None


def test_records_raise_suspects_and_say_why() -> None:
    """An end that was made again is told as such, and stands before its twin."""
    history = [event(80, Kind.MADE, wire="W12", end="A"), event(81, Kind.REDONE, of=(80,), wire="W12", end="A")]
    history += [event(82, Kind.MADE, wire="W12", end="B"), event(83, Kind.PULLED, of=(82,), wire="W12", end="B")]
    view = hunt_view(HuntDesk(), PLAN, state(*history, BEGUN, DARK, LIT, VOLTS), "")
    raised = next(one for one in view.suspects if one.seats == ("W12 A",))
    assert "this end was made again" in raised.raised
    assert raised.probability > _share(view, "W12 B")


def test_the_bench_asks_once_for_each_arrival() -> None:
    """The same records are answered from memory, others anew; a battery that says too little has a reason instead."""
    bench, told = HuntAtBench(), state(BEGUN, DARK, LIT)
    first = bench.seen(PLAN, told, 3)
    assert first.view is not None
    assert first.robot is not None
    assert bench.seen(PLAN, told, 3) is first
    assert bench.seen(PLAN, state(BEGUN, DARK, LIT, VOLTS), 4) is not first
    assert HuntAtBench().seen(_without_battery(), told, 3).why.startswith("There can be no hunt on this plan")


def _without_battery() -> Plan:
    """Return the plan with a battery whose part does not say at which voltage it rests."""
    devices = tuple(
        replace(d, part=replace(d.part, values={k: v for k, v in d.part.values.items() if not k.startswith("rested")}))
        if d.kind == "battery"
        else d
        for d in PLAN.robot
    )
    return replace(PLAN, robot=replace(PLAN.robot, devices=devices))


def test_a_danger_of_another_build_or_of_no_hunt_stops_this_one() -> None:
    """It is one folder, and mostly one robot."""
    other = event(20, Kind.HUNT, build="practice")
    for danger in (event(21, Kind.DANGER, of=(20,), words="heat", build="practice"), event(21, Kind.DANGER, of=(99,))):
        view = seen(BEGUN, DARK, other, replace(danger, words="heat"))
        assert [one.key for one in view.dangers] == [key(21)]
        assert view.checks == ()


def test_after_a_danger_the_battery_counts_as_out() -> None:
    """Whoever put it back in says so by the next answer that needs it."""
    smoke = event(30, Kind.DANGER, of=(1,), words="smoke", about="beacon")
    over = event(31, Kind.CLEARED, of=(1, 30))
    again = event(32, Kind.OBSERVED, of=(1,), about="look robot controller", words="lit")
    assert seen(BEGUN, DARK).state == "alive"
    assert seen(BEGUN, DARK, smoke, over).state == "dead"
    assert seen(BEGUN, DARK, smoke, over, again).state == "alive"


def test_what_agrees_is_not_called_misread() -> None:
    """One wheel dead and the other one as ever: many single faults explain both."""
    dead = event(40, Kind.OBSERVED, of=(1,), about="drove left wheel", words="dead")
    ran = event(41, Kind.OBSERVED, of=(1,), about="drove right wheel", words="as ever")
    assert seen(BEGUN, dead, ran).doubt == ""


def test_a_seat_is_told_with_what_it_would_be_bad_together_with() -> None:
    """A beacon's open wire and a dark wheel: two faults. The wheel's seats stand each with the likeliest companion."""
    wheel = event(40, Kind.OBSERVED, of=(1,), about="look left wheel controller", words="dark")
    ran = event(41, Kind.OBSERVED, of=(1,), about="drove right wheel", words="as ever")
    view = seen(BEGUN, DARK, LIT, OPEN, wheel, ran)
    assert view.two > 0.75
    assert sum(one.probability for one in view.suspects) > 1.5
    [unknown] = [one for one in view.suspects if one.other]
    assert (unknown.seats, unknown.faults) == ((), ())
    assert set(view.suspects[0].seats) == {"W12 A", "W12 B"}
    told = next(one for one in view.suspects if one.seats == ("W6 B",))
    alone, beside = told.words.split("; and something with ")
    assert alone.startswith("W6 B lets nothing through")
    assert beside in {"W12 A", "W12 B"}
    assert "something with" not in " ".join(one.words for one in half_way().suspects[:2])


def test_what_the_program_does_is_told_as_found() -> None:
    """A wheel that turned backward, not under a plain program, with planned colours; and somebody found it there."""
    told = [
        event(40, Kind.OBSERVED, of=(1,), about="drove left wheel", words="backward"),
        event(41, Kind.OBSERVED, of=(1,), about="direct left wheel", words="runs"),
        event(42, Kind.OBSERVED, of=(1,), about="colours left wheel: motor side", words="as planned"),
        event(43, Kind.OBSERVED, of=(1,), about="program", words="found it"),
    ]
    view = seen(BEGUN, *told)
    first = view.suspects[0]
    assert (first.seats, first.faults, first.wires, first.devices) == ((), ("software",), (), ())
    assert view.found
    [fix] = view.fixes
    assert (fix.seat, fix.fault, fix.probability) == ("", "software", first.probability)


def test_an_end_that_gave_way_in_the_hand_is_mended_whatever_else_is_wrong() -> None:
    """A motor's lug moves while a beacon is dark: it is told beside what is hunted for, until it was mended."""
    moves = event(40, Kind.OBSERVED, of=(1,), about="tug W14 A", words="moves")
    holds = event(40, Kind.OBSERVED, of=(1,), about="tug W14 A", words="holds")
    mended = event(41, Kind.MENDED, of=(1,), about="W14 A", wire="W14", end="A")
    seats = [[fix.seat for fix in seen(BEGUN, DARK, LIT, *more).fixes] for more in ([moves], [holds], [moves, mended])]
    assert ["W14 A" in told for told in seats] == [True, False, False]
    assert not seen(BEGUN, DARK, LIT, moves).found
