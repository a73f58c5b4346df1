"""Single changes: each alters exactly what its words say, and with the same drivers the difference is its own."""

from __future__ import annotations

from dataclasses import fields, replace
from math import inf
from typing import TYPE_CHECKING

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomwright.match.change import Change, changes_of, limits_of, with_limit
from loomwright.match.driver import Cycle, Driver, Phase, Step, Wish
from loomwright.match.machine import Machine
from loomwright.match.of_copper import main_breaker_ohm
from loomwright.match.of_plan import machine_of
from loomwright.match.rank import peaks_of
from loomwright.match.study import Study
from tests.match.studies import busy_robot, made, outcomes, study
from tests.robots import LIBRARY, as_text, plan_of

if TYPE_CHECKING:
    from _typeshed import DataclassInstance


def changes(base: Study | None = None) -> tuple[Change, ...]:
    """Return the changes to the busy robot's study."""
    return changes_of(base or study(), peaks_of(study(), outcomes()))


def of_kind(kind: str, base: Study | None = None) -> dict[str, Change]:
    """Return those of one kind by their words."""
    return {change.words: change for change in changes(base) if change.kind == kind}


def differs(one: DataclassInstance, other: DataclassInstance) -> set[str]:
    """Return the names of the fields in which two dataclasses differ."""
    return {field.name for field in fields(one) if getattr(one, field.name) != getattr(other, field.name)}


def only(change: Change, what: str) -> Machine:
    """Check that a change alters one field of the machine and nothing else, and return that machine."""
    assert differs(study(), change.study) == {"machine"}
    assert differs(study().machine, change.study.machine) == {what}
    return change.study.machine


def test_a_limit_is_that_of_its_team_alone() -> None:
    """Three quarters of what a motor took at most, on each motor of the team; the others keep theirs."""
    found = of_kind("limit")
    # The drive meets its limit of 40 A, a roller and the flywheel theirs of 30 A.
    assert "drive: supply-side limit 30 A a motor" in found
    machine = only(found["drive: supply-side limit 30 A a motor"], "motors")
    for before, after in zip(study().machine.motors, machine.motors, strict=True):
        assert differs(before, after) == ({"supply_limit_a"} if before.mechanism < 2 else set())
        assert after.supply_limit_a == (30.0 if before.mechanism < 2 else before.supply_limit_a)
    assert {words.partition(":")[0] for words in found} == {"drive", "lift", "grabber", "feeder", "shooter"}


def test_what_takes_little_is_not_limited() -> None:
    """Below 8 A there is nothing to win."""
    words = [change.words for change in changes_of(study(), {"lift": 10.0, "drive": 11.0}) if change.kind == "limit"]
    assert words == ["drive: supply-side limit 8 A a motor", "lift: supply-side limit 8 A a motor"]


def test_a_limit_never_rises() -> None:
    """A motor of the team that takes less than the others already keeps its own, lower limit."""
    motors = study().machine.motors
    low = replace(
        study(), machine=replace(study().machine, motors=(replace(motors[0], supply_limit_a=12.0), *motors[1:]))
    )
    after = with_limit(low, "drive", 30.0).machine.motors
    assert [motor.supply_limit_a for motor in after[:4]] == [12.0, 30.0, 30.0, 30.0]
    assert limits_of(low.machine)["drive"] == 12.0
    assert limits_of(study().machine)["lift"] == inf


def test_a_slower_ramp_is_that_of_what_moves_the_robot() -> None:
    """The drive's two sides, to 0.3 s; where they have it already there is no such change."""
    (change,) = of_kind("ramp").values()
    machine = only(change, "mechanisms")
    for before, after in zip(study().machine.mechanisms, machine.mechanisms, strict=True):
        assert differs(before, after) == ({"ramp_s"} if before.kind == "drive" else set())
        assert before.kind != "drive" or after.ramp_s == 0.3
    assert of_kind("ramp", change.study) == {}


def test_shorter_and_thicker_leads_leave_the_breaker_as_it_is() -> None:
    """Half the copper, or that of two gauges (AWG: a factor of 92^(1/39) in diameter a step); not half the breaker."""
    found, machine = of_kind("leads"), study().machine
    plan = plan_of(as_text(busy_robot()))
    breaker = main_breaker_ohm(plan)
    assert 0.3e-3 < breaker < 1.5e-3
    half = only(found["main leads half as long"], "main_ohm").main_ohm
    assert half - breaker == pytest.approx((machine.main_ohm - breaker) / 2)
    thick = only(found["main leads two gauges thicker"], "main_ohm").main_ohm
    assert (machine.main_ohm - breaker) / (thick - breaker) == pytest.approx(92 ** (2 * 2 / 39), rel=0.01)


def test_good_joints_are_the_best_of_what_is_usual() -> None:
    """One doubt loses its upper end; the other six stay."""
    for words, key in (
        ("every joint of the main leads as good as the best", "main joint ohm"),
        ("every joint of the branches as good as the best", "joint ohm"),
    ):
        change = of_kind("joint")[words]
        assert differs(study(), change.study) == {"doubts"}
        for before, after in zip(study().doubts, change.study.doubts, strict=True):
            assert differs(before, after) == ({"high"} if before.key == key else set())
            assert after.key != key or after.high == after.low == before.low


def test_the_compressor_waits() -> None:
    """Only that; where it waits, or where there is none, there is no such change."""
    (change,) = of_kind("air").values()
    before, after = study().machine.air, only(change, "air").air
    assert before is not None
    assert after is not None
    assert differs(before, after) == {"waits"}
    assert of_kind("air", change.study) == {}
    assert of_kind("air", replace(study(), machine=replace(study().machine, air=None))) == {}


def test_other_batteries_are_told_by_their_state() -> None:
    """The battery knows its state."""
    other = machine_of(plan_of(as_text(busy_robot())), battery_state="tired", find_part=LIBRARY.part)
    assert other.machine is not None
    tired = replace(study(), machine=other.machine, doubts=other.doubts)
    assert study().machine.battery.state == "fresh"
    (change,) = (one for one in changes_of(study(), {}, (tired,)) if one.kind == "battery")
    assert change.words == "a battery that is tired"
    assert change.study is tired
    assert made().machine == study().machine


def one_cycle(*steps: Step) -> Driver:
    """Return a driver who does nothing but these steps."""
    return Driver("one", "", 1.0, (Phase("all", 0.0, 30.0, (("go", 1.0),)),), (Cycle("go", steps),))


def apart(*steps: Step) -> dict[str, tuple[Step, ...]]:
    """Return the steps of each change that parts what begins together."""
    base = replace(study(), drivers=(one_cycle(*steps),))
    found = of_kind("together", base)
    assert all(differs(base, change.study) == {"drivers"} for change in found.values())
    return {words: change.study.drivers[0].cycles[0].steps for words, change in found.items()}


def test_a_step_is_parted_and_nothing_else() -> None:
    """The lift waits for 35 % of the step in which drive and lift begin; what follows keeps its key."""
    both = Step("both", (1.0, 2.0), (Wish("drive", (0.8, 1.0)), Wish("lift", (0.5, 1.0))), shots=2, strokes=3)
    later = Step("later", (1.0, 1.0), (Wish("lift", (0.0, 0.0)),))
    found = apart(both, later)
    assert list(found) == ["lift starts after drive, not with it"]
    first, second, third = found["lift starts after drive, not with it"]
    assert [wish.whom for wish in first.wishes] == ["drive", ""]
    assert first.wishes[1].goal == both.wishes[1].goal  # its place is kept, and so what is drawn for the others
    assert second.wishes == both.wishes
    assert (first.key, second.key, third.key) == (0, 0, 1)
    assert third == replace(later, key=1)
    assert first.lasts_s == pytest.approx((0.35, 0.7))
    # Shots fall where the flywheel is told, strokes where the step begins: each once.
    assert (first.shots, second.shots) == (0, 2)
    assert (first.strokes, second.strokes) == (3, 0)


@given(st.floats(0.02, 10), st.floats(0, 10), st.floats(0, 1))
def test_parted_steps_last_as_long_as_the_whole(least: float, more: float, share: float) -> None:
    """Whatever share of its range is drawn: both pieces draw with one key, so their times add up to the step's."""
    both = Step("both", (least, least + more), (Wish("drive", (1.0, 1.0)), Wish("lift", (1.0, 1.0))))
    (pieces,) = apart(both).values()
    lasts = sum(piece.lasts_s[0] + share * (piece.lasts_s[1] - piece.lasts_s[0]) for piece in pieces)
    assert lasts == pytest.approx(least + share * more)
    assert len({piece.key for piece in pieces}) == 1


def test_a_word_to_a_kind_holds_back_all_who_hear_it() -> None:
    """Two rollers told as `roller` wait together, and the words name both; told by name, each waits alone."""
    drive = Wish("drive", (1.0, 1.0))
    told = apart(Step("both", (1.0, 1.0), (drive, Wish("roller", (1.0, 1.0)))))
    assert list(told) == ["feeder and grabber start after drive, not with it"]
    named = apart(Step("both", (1.0, 1.0), (drive, Wish("grabber", (1.0, 1.0)))))
    assert list(named) == ["grabber starts after drive, not with it"]


def test_what_does_not_begin_hard_together_is_not_parted() -> None:
    """One alone, little asked of one, or two of one kind: no change."""
    drive = Wish("drive", (1.0, 1.0))
    assert apart(Step("a", (1, 1), (drive,)), Step("b", (1, 1), (Wish("lift", (1, 1)),))) == {}
    assert apart(Step("a", (1, 1), (drive, Wish("lift", (0.0, 0.3))))) == {}
    assert apart(Step("a", (1, 1), (Wish("grabber", (1, 1)), Wish("feeder", (1, 1))))) == {}
    # A name has the last word over its kind.
    assert apart(Step("a", (1, 1), (drive, Wish("roller", (0.1, 0.1)), Wish("shooter", (0.2, 0.2))))) == {}
