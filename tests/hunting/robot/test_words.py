"""A hunt in words: every check and every fault of the robots, answers, and why a suspect is one."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from loomwright.hunting.hunting import Tracker
from loomwright.hunting.problem import Observation
from loomwright.hunting.result import Evidence, Suspect
from loomwright.hunting.robot.practice import check_kinds, fixes
from loomwright.hunting.robot.words import (
    amount,
    because,
    check_words,
    fault_words,
    suspect_words,
    told_answer,
    told_outcome,
)
from tests.hunting.robot.traced import ROBOTS, traced

LONGEST = 300


def clean(text: str) -> bool:
    """Tell whether a text has no slot left open, no end cut off and no doubled space, and is short."""
    return bool(text) and len(text) <= LONGEST and not set("{}") & set(text) and "  " not in text and "None" not in text


@pytest.mark.parametrize("name", ROBOTS)
def test_every_check_is_told(name: str) -> None:
    """How, where, in which state, what a healthy robot shows and what else may come: all filled in, all short."""
    for key, shown in traced(name).checks.items():
        words, kind = check_words(shown), check_kinds()[shown.kind]
        assert clean(words.how), key
        assert words.how.endswith((".", "?")), key
        if shown.scale is not None and "{red}" in kind.how:
            assert shown.red in words.how
            assert shown.red, key
        for text in (words.expected, *words.otherwise):
            assert clean(text), key
        assert words.expected.startswith(kind.outcomes[0])
        assert [told.split(":")[0] for told in words.otherwise] == list(kind.outcomes[1:]), key
        assert words.state == kind.state
        assert words.seconds == (kind.seconds if shown.seconds is None else shown.seconds)
        for outcome in kind.outcomes:
            assert clean(told_outcome(shown, outcome)), key


@pytest.mark.parametrize("name", ROBOTS)
def test_every_fault_is_told(name: str) -> None:
    """What it is, by its seat, and where that is; two of them joined."""
    robot = traced(name)
    for key, fault in robot.faults.items():
        told = fault_words(robot, key)
        assert clean(told), key
        assert fault.seat in told
        assert clean(fixes()[fault.kind].words.format(seat=fault.seat))
    first, second = list(robot.faults)[:2]
    both = suspect_words(robot, Suspect(faults=(first, second), probability=1.0))
    assert both == f"{fault_words(robot, first)}; and {fault_words(robot, second)}"


def test_where_a_fault_is() -> None:
    """An end by its circuit and port, a circuit by its slot, a wire in a joint by its way; a device by its name."""
    robot = traced("rockpool")
    assert "(left wheel plus, at " in fault_words(robot, "open W6 B")
    wire = next(wire for wire in robot.plan.wires if wire.id == "W6")
    assert f"at {wire.a.where})" in fault_words(robot, "open W6 A")
    assert f"at {wire.b.where})" in fault_words(robot, "open W6 B")
    assert "(slot L1 of block)" in fault_words(robot, "pair short left wheel")
    assert fault_words(robot, "flat battery") == "the battery is flat"
    assert "lift chain" in fault_words(traced("tidepool"), "broken W8")


def test_numbers_stand_beside_outcomes() -> None:
    """What to expect with its number, and between which numbers each other outcome lies."""
    words = check_words(traced("rockpool").checks["rest"])
    assert words.expected == "charged: about 12.7 V, above 12.5 V"
    assert words.otherwise == ("low: 11.9 V to 12.5 V", "flat: below 11.9 V")
    assert check_words(traced("rockpool").checks["look beacon"]).expected == "lit"
    assert check_words(traced("rockpool").checks["frame main"]).expected.startswith("open: above")
    assert (amount(math.inf, "ohm"), amount(12.0, "V")) == ("open", "12 V")


def test_answers_read_as_people_speak() -> None:
    """Where the key alone is no sentence."""
    robot = traced("breakwater")
    told = {
        ("look beacon", "dark"): "beacon dark",
        ("run arm", "dead"): "arm dead",
        ("drove arm", "weak"): "arm weak in the match",
        ("seen compass", "missing"): "compass missing on the program's list",
        ("seen compass", "comes and goes"): "compass comes and goes on the program's list",
        ("halt", "computer"): "a halt of 10 to 40 s",
        ("since hit", "yes"): "a hit just before",
        ("rest", "flat"): "battery flat",
        ("volts arm B", "low"): "volts arm B low",
        # Written by an older program, or by hand.
        ("seen compass", "gone fishing"): "seen compass gone fishing",
    }
    for (check, outcome), words in told.items():
        assert told_outcome(robot.checks[check], outcome) == words
    near = Observation(check="volts arm B", odds=(("low", 0.6), ("as expected", 1.0)))
    assert told_answer(robot, near) == "volts arm B as expected"


def test_because_names_what_is_explained_and_what_is_left() -> None:
    """Rockpool's beacon is dark and the controller lit: its wire explains the one and leaves the other as seen."""
    robot = traced("rockpool")
    seen = [
        Observation(check="look beacon", outcome="dark"),
        Observation(check="look robot controller", outcome="lit"),
    ]
    told = Evidence(observation=seen[1], log_odds=2.0)
    first = Suspect(faults=("open W12 A",), probability=0.5, why=(told,))
    assert because(robot, first, seen) == "It explains beacon dark, and leaves robot controller lit as seen."
    # What hardly tells anything against the others is not named.
    faint = replace(first, why=(replace(told, log_odds=1.0),))
    assert because(robot, faint, seen) == "It explains beacon dark."
    assert because(robot, first, seen[1:]) == "It leaves robot controller lit as seen."
    alone = Tracker(robot.hunt).standing(seen[:1]).suspects[0]
    assert because(robot, alone, seen[:1]) == "It explains beacon dark."
    healthy = Suspect(faults=(), probability=0.1)
    assert because(robot, healthy, seen[1:]) == "Nothing that was seen speaks against it."
    assert suspect_words(robot, healthy).startswith("nothing of the wiring")
    strange = Suspect(faults=(), probability=0.1, other=True)
    assert because(robot, strange, seen) == "Nothing on the list explains all answers well."
    assert "does not know" in suspect_words(robot, strange)


def test_because_names_no_more_than_four() -> None:
    """A robot that is all dark has many answers; four are enough to see why."""
    robot = traced("rockpool")
    keys = [key for key in robot.checks if key.startswith("look ")]
    seen = [Observation(check=key, outcome="dark") for key in keys]
    seen += [Observation(check=key, outcome="none") for key in ("volts main B", "volts beacon B")]
    told = because(robot, Suspect(faults=("off main breaker",), probability=1.0), seen)
    assert told.count(" dark") == 4
    assert "none" not in told


def test_of_two_faults_either_explains() -> None:
    """The beacon's wire and a wheel's: each answer has the one that makes it likelier."""
    robot = traced("rockpool")
    seen = [Observation(check="look beacon", outcome="dark"), Observation(check="run left wheel", outcome="dead")]
    both = Suspect(faults=("open W12 A", "open W14 A"), probability=1.0)
    assert because(robot, both, seen) == "It explains beacon dark and left wheel dead."
    assert because(robot, Suspect(faults=("open W12 A",), probability=1.0), seen) == "It explains beacon dark."
