"""What if: each value alters what it names, in any unit; what can't be meant is told, all of it at once."""

from __future__ import annotations

from dataclasses import fields, replace
from typing import TYPE_CHECKING

import pytest

from loomwright.findings import Severity, UnreadableInputError
from loomwright.jobs.what_if import what_if
from loomwright.match.of_battery import measured_ohm
from loomwright.match.rank import compared
from loomwright.match.study import play_study
from tests.match.studies import MATCHES, outcomes, study

if TYPE_CHECKING:
    from loomwright.match.machine import Machine


def changed(*sets: str) -> Machine:
    """Return the machine with values set; nothing but the machine may differ."""
    after = what_if(study(), sets)
    assert replace(after, machine=study().machine) == study()
    return after.machine


def altered(machine: Machine) -> set[str]:
    """Return which fields of the machine differ from what they were."""
    before = study().machine
    return {field.name for field in fields(before) if getattr(before, field.name) != getattr(machine, field.name)}


def refused(*sets: str) -> list[tuple[str, str, str]]:
    """Return where, what and how to fix it, of each fault."""
    with pytest.raises(UnreadableInputError) as caught:
        what_if(study(), sets)
    assert all((fault.code, fault.severity) == ("what-if", Severity.MUST) for fault in caught.value.faults)
    return [(fault.place.thing, fault.what, fault.fix) for fault in caught.value.faults]


@pytest.mark.parametrize(
    ("said", "names"),
    [
        ("lift", {"lift"}),
        ("left rear", {"left rear"}),
        ("left_rear", {"left rear"}),
        ("left drive", {"left front", "left rear"}),
        ("drive", {"left front", "left rear", "right front", "right rear"}),
        ("roller", {"grabber", "feeder"}),
    ],
)
@pytest.mark.parametrize(
    ("key", "field"),
    [("supply_limit", "supply_limit_a"), ("motor limit", "motor_limit_a")],
)
def test_a_limit_of_a_motor_a_mechanism_or_a_kind(said: str, names: set[str], key: str, field: str) -> None:
    """Exactly those motors get it, written with a space or with a line below."""
    machine = changed(f"{said}.{key}=23A")
    assert altered(machine) == {"motors"}
    for before, after in zip(study().machine.motors, machine.motors, strict=True):
        other = "motor_limit_a" if field == "supply_limit_a" else "supply_limit_a"
        assert getattr(after, field) == (23.0 if before.name in names else getattr(before, field))
        assert getattr(after, other) == getattr(before, other)
        assert replace(after, supply_limit_a=before.supply_limit_a, motor_limit_a=before.motor_limit_a) == before


def test_a_ramp_is_that_of_the_whole_mechanism() -> None:
    """Said of one motor, its mechanism ramps: its motors turn one shaft."""
    for said, names in (("left front", {"left drive"}), ("drive", {"left drive", "right drive"}), ("lift", {"lift"})):
        machine = changed(f"{said}.ramp = 250 ms")
        assert altered(machine) == {"mechanisms"}
        for before, after in zip(study().machine.mechanisms, machine.mechanisms, strict=True):
            assert after == (replace(before, ramp_s=0.25) if before.name in names else before)


def test_main_leads_battery_and_thresholds() -> None:
    """Each is one value of the machine, in SI."""
    leads = changed("main leads.resistance=5 mohm")
    assert (altered(leads), leads.main_ohm) == ({"main_ohm"}, 0.005)
    assert changed("main_leads.resistance=0.005ohm") == leads
    holds = changed("battery.capacity=12 Ah")
    assert (altered(holds), holds.battery) == ({"battery"}, replace(study().machine.battery, capacity_ah=12.0))
    off = changed("outputs off below=6.3 V")
    assert (altered(off), off.thresholds) == ({"thresholds"}, replace(study().machine.thresholds, off_v=6.3))
    assert changed("outputs_off_below=6.3V") == off


def test_a_batterys_resistance_is_what_a_tester_reads() -> None:
    """Quick, slow and activation parts all grow alike, so that 1 and 18 A see the value that is set."""
    before, after = study().machine.battery, changed("battery.resistance=20 mohm").battery
    assert measured_ohm(after) == pytest.approx(0.020)
    share = after.ohm / before.ohm
    assert [ohm for ohm, _ in after.pairs] == pytest.approx([ohm * share for ohm, _ in before.pairs])
    assert [tau for _, tau in after.pairs] == [tau for _, tau in before.pairs]
    assert after.activation_v == pytest.approx(before.activation_v * share)
    # The class says 11 milliohm; a fresh one is played in the middle of 0.95 to 1.15 of it.
    assert measured_ohm(before) == pytest.approx(0.011 * (0.95 * 1.15) ** 0.5)


@pytest.mark.parametrize("said", ["30 A", "30A", "30000 mA", " 30  A "])
def test_units_are_read_as_everywhere(said: str) -> None:
    """The same current in four ways."""
    assert changed(f"lift.supply_limit={said}") == changed("lift.supply_limit=30 A")


def test_several_at_once_in_their_order() -> None:
    """Each stands, and the last word counts."""
    machine = changed("drive.supply_limit=30A", "left front.supply_limit=20A", "lift.ramp=0.5s", "battery.capacity=9Ah")
    assert [motor.supply_limit_a for motor in machine.motors[:4]] == [20.0, 30.0, 30.0, 30.0]
    assert altered(machine) == {"motors", "mechanisms", "battery"}


@pytest.mark.parametrize(
    ("said", "what", "fix"),
    [
        ("lift", "Nothing is set to anything.", "--set lift.supply_limit=30A"),
        ("lift.colour=red", "`lift.colour` can't be set in a match.", "THING.supply_limit"),
        ("battery.colour=5 V", "`battery.colour` can't be set in a match.", "battery.resistance"),
        ("=5 V", "can't be set in a match.", "outputs off below"),
        ("lifft.supply_limit=30A", "Nothing that is played is called `lifft`.", "Did you mean lift?"),
        ("qqqqqq.ramp=1s", "Nothing that is played is called `qqqqqq`.", "Take one of: left front, left rear,"),
        ("lift.supply_limit=30", "30", "Write a number with its unit"),
        ("lift.supply_limit=30 V", "30 V", "Write a number with its unit"),
        ("lift.supply_limit=", "", "Write a number with its unit"),
        ("lift.supply_limit=nan A", "nan A", "Write a number with its unit"),
        ("lift.supply_limit=inf A", "inf A", "Write a number with its unit"),
        ("lift.supply_limit=0 A", "`0 A` is not above zero.", "Write an amount above zero."),
        ("lift.supply_limit=-5 A", "-5 A", "Write"),
        ("battery.resistance=0 ohm", "`0 ohm` is not above zero.", "above zero"),
        ("main leads.resistance=5 A", "5 A", "Write a number with its unit"),
        ("outputs off below=8 V", "they come on again above 7.5 V", "Write less than 7.5 V."),
    ],
)
def test_what_can_not_be_meant_is_told(said: str, what: str, fix: str) -> None:
    """Where, what, and how to fix it."""
    ((thing, told, mended),) = refused(said)
    assert thing == said
    assert what in told
    assert fix in mended


def test_all_faults_are_told_at_once() -> None:
    """Three wrong ones beside a right one: three faults, in their order."""
    told = refused("lift.supply_limit=30A", "lift", "nobody.ramp=1s", "lift.colour=1A")
    assert [where for where, _, _ in told] == ["lift", "nobody.ramp=1s", "lift.colour=1A"]


def test_setting_what_is_there_does_nothing() -> None:
    """To the last bit: the same drivers, batteries and joints on both sides."""
    same = what_if(study(), ("drive.supply_limit=40A", "shooter.motor_limit=60 A"))
    effect = compared("", "what-if", outcomes(), play_study(same, MATCHES))
    assert (effect.lowest_v, effect.lowest_5_v, effect.metres, effect.late_s, effect.wins, effect.loses) == (0,) * 6
