"""A hunt or an answer that makes no sense is refused, with everything that is wrong."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from loomwright.hunting.hunting import standing
from loomwright.hunting.problem import Change, Hunt, Observation
from tests.hunting.made_up import hunt_of

HUNT = hunt_of([[0, 0], [1, 0], [0, 1]])


def _told(hunt: Hunt, *seen: Observation, state: str = "") -> list[str]:
    with pytest.raises(ValueError, match=r".") as caught:
        standing(hunt, seen, state)
    return str(caught.value).split("; ")


def test_everything_about_faults_and_checks_is_told_at_once() -> None:
    """Names twice, numbers outside their range, an unknown spoiled check: one line for each."""
    one, two = HUNT.faults
    first, second = HUNT.checks
    wrong = replace(
        HUNT,
        faults=(replace(one, odds=0.0, repair_s=float("nan")), replace(two, key=one.key)),
        checks=(
            replace(first, seconds=-1.0, misread=0.0, spoils=("C9",), outcomes=("well", "low", "none")),
            replace(second, key=first.key, outcomes=("well", "well"), misread=1.0),
        ),
        healthy_s=0.0,
        healthy_odds=0.0,
        other_odds=-1.0,
        changes=(Change(was="on", then="off", seconds=-5.0),) * 2,
    )
    assert _told(wrong) == [
        "fault F1: its odds are 0, say them above 0",
        "fault F1: its repair takes nan s, say it above 0",
        "fault F1: its degrees sit in the same parts and are mended in the same time",
        "no wiring fault: to settle that takes 0 s, say it above 0",
        "nothing wrong: its odds are 0, say them above 0",
        "none of these: its odds are -1, say them as 0 or more",
        "check C0 is there twice",
        "check C0: it takes -1 s, say it above 0",
        "check C0: misread is 0, say it above 0 and below 1 (nobody reads for sure)",
        "check C0 spoils 'C9': no such check",
        "check C0: misread is 1, say it above 0 and below 1 (nobody reads for sure)",
        "check C0: outcome well is there twice",
        "change 'on' to 'off' is there twice",
        "change 'on' to 'off': it takes -5 s, say it as 0 or more",
        "change 'on' to 'off': it takes -5 s, say it as 0 or more",
        "chances have the shape (3, 2, 2): (3, 2, 3) is faults and a healthy row, checks, outcomes",
    ]


def test_a_name_is_never_empty() -> None:
    """No fault, check or outcome goes without a name: an answer has to point at it."""
    wrong = replace(
        HUNT,
        faults=(replace(HUNT.faults[0], key=""), HUNT.faults[1]),
        checks=(replace(HUNT.checks[0], key=""), replace(HUNT.checks[1], outcomes=("", "low"))),
    )
    assert _told(wrong) == [
        "a fault has no name",
        "a check has no name",
        "check C1: name every outcome, at least one",
    ]


def test_chances_have_to_be_distributions() -> None:
    """Each row that does not add up to 1 is named; so is a chance at an outcome that a check does not have."""
    chances = HUNT.chances.copy()
    chances[1, 0] = (0.5, 0.4)
    chances[0, 1] = (0.2, 0.2)
    assert _told(replace(HUNT, chances=chances)) == [
        "healthy, C1: chances add up to 0.4, not to 1",
        "F1, C0: chances add up to 0.9, not to 1",
    ]
    wide = np.zeros((3, 2, 3))
    wide[:, :, 2] = 1.0
    narrow = replace(HUNT.checks[0], outcomes=("well", "low", "none"))
    assert _told(replace(HUNT, checks=(narrow, HUNT.checks[1]), chances=wide)) == [
        "check C1: a chance stands at an outcome that it does not have"
    ]
    assert _told(replace(HUNT, chances=-HUNT.chances)) == ["chances are no numbers of 0 or more"]
    assert _told(replace(HUNT, chances=HUNT.chances[1:])) == [
        "chances have the shape (2, 2, 2): (3, 2, 2) is faults and a healthy row, checks, outcomes"
    ]


def test_answers_have_to_be_known() -> None:
    """Every answer that goes wrong is named by its place, with all that is wrong with it."""
    assert _told(
        HUNT,
        Observation(check="C7", outcome="low"),
        Observation(check="C0", outcome="green", after=("F8",)),
        Observation(check="C1"),
        Observation(check="C1", odds=(("well", 0.0), ("low", 0.0))),
        Observation(check="C1", odds=(("low", 1.0), ("low", 2.0))),
    ) == [
        "observation 1: no check 'C7'",
        "observation 2: C0 has no outcome 'green': say one of well, low",
        "observation 2: no fault 'F8'",
        "observation 3: C1: say an outcome, or odds over outcomes, not both",
        "observation 4: C1: odds are 0 or more, and one of them above 0",
        "observation 5: C1: outcome low is there twice",
    ]


def test_a_state_of_work_has_to_be_known() -> None:
    """A state that no check needs and no change leads to is a slip."""
    hunt = replace(HUNT, changes=(Change(was="on", then="off", seconds=5.0),))
    assert _told(hunt, state="of") == ["no state of work 'of': say one of ['off', 'on']"]
