"""Who has power in every case, worked by hand on Rockpool and Breakwater."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt
import pytest

from loomwright.hunting.robot.cases import CaseTable
from loomwright.hunting.robot.faults import FaultKind
from loomwright.hunting.robot.lit import Lit, feed_wires, works_from
from loomwright.hunting.robot.practice import practice
from loomwright.model.device import Device
from tests.hunting.robot.traced import HEALTHY, ROBOTS, circuit_of, likeliest, planned, shows, traced

LIGHTS = ("look robot controller", "look left wheel controller", "look right wheel controller", "look beacon")


def device(name: str, called: str) -> Device:
    """Return a device of a robot."""
    found = planned(name).robot.device(called)
    assert found is not None
    return found


def lit(name: str) -> Lit:
    """Return who is lit on a robot."""
    robot = traced(name)
    assert robot.networks.alive is not None
    return Lit(planned(name), CaseTable(robot.cases), robot.networks.alive)


@pytest.mark.parametrize(
    ("fault", "dark"),
    [
        # The controller's own feed: it is dark, and the beacon on its signal output with it.
        ("open W10 A", "ynny"),
        ("open W10 B", "ynny"),
        ("out protection of robot controller", "ynny"),
        ("pair short robot controller", "ynny"),
        ("reversed robot controller", "ynny"),
        # The beacon's own wires darken nothing else.
        ("open W12 A", "nnny"),
        ("open W13 B", "nnny"),
        ("reversed beacon", "nnny"),
        ("pair short beacon", "nnny"),
        # A wheel's feed takes down its own controller.
        ("open W6 A", "nynn"),
        ("open W8 B", "nnyn"),
        # A minus has another way back, by the leads that bring pulses.
        ("open W9 B", "nnnn"),
        ("open W11 A", "nnnn"),
        ("pair short left wheel", "nynn"),
        # All of it.
        ("off main breaker", "yyyy"),
        ("open W1 A", "yyyy"),
        ("pair short main", "yyyy"),
        ("reversed main", "yyyy"),
        # Nothing of it.
        ("flat battery", "nnnn"),
        ("weak battery", "nnnn"),
        ("frame short left wheel", "nnnn"),
        ("open W14 A", "nnnn"),
        ("open W19 A", "nnnn"),
    ],
)
def test_who_is_dark_on_rockpool(fault: str, dark: str) -> None:
    """Just those that stand behind the fault."""
    found = ["y" if shows("rockpool", fault, check)["dark"] > 0.9 else "n" for check in LIGHTS]
    assert "".join(found) == dark
    lights = [shows("rockpool", fault, check)["dark"] for check in LIGHTS]
    assert all(one > 0.9 or one < 0.01 for one in lights)


def test_a_wrong_slot_is_dark_half_of_the_time() -> None:
    """There is no breaker in the other slot half of the time."""
    assert shows("rockpool", "wrong slot left wheel", "look left wheel controller")["dark"] == pytest.approx(
        0.5, abs=1e-3
    )


def test_a_regulators_outputs_go_with_it() -> None:
    """Breakwater's radio hangs on it by a cable, its strip by wires: dark with its outputs, itself mostly lit."""
    checks = ("look regulator", "look radio", "look status lights")
    assert likeliest("breakwater", "outputs off regulator", *checks) == ("lit", "dark", "dark")
    assert shows("breakwater", "outputs off regulator", "look regulator")["dark"] == pytest.approx(0.3)
    assert likeliest("breakwater", "dead regulator", *checks) == ("dark", "dark", "dark")
    assert likeliest("breakwater", "open W48 A", *checks) == ("dark", "dark", "dark")
    assert likeliest("breakwater", "open W58 B", *checks) == ("lit", "dark", "lit")
    assert likeliest("breakwater", "open W60 A", *checks) == ("lit", "lit", "dark")


def test_a_sub_block_takes_down_what_it_feeds() -> None:
    """Breakwater's steady block without its feed: its cameras are dark, vision on the main block is lit."""
    checks = ("look front camera", "look switch", "look vision")
    for fault in ("open W6 B", "out protection of steady block", "outputs off steady block"):
        assert likeliest("breakwater", fault, *checks) == ("dark", "dark", "lit")


def test_a_wet_regulator_fails_now_and_then() -> None:
    """It behaves oddly half of the time, which costs its outputs half of that: a quarter dark, never in between."""
    shown = shows("breakwater", "wet regulator", "look radio")
    assert shown["dark"] == pytest.approx(0.25, abs=0.01)
    assert shown["flickers"] < 0.01
    volts = shows("breakwater", "wet regulator", "volts status lights B")
    assert (volts["none"], volts["low"]) == pytest.approx((0.25, 0.0), abs=0.05)


def test_a_regulator_may_not_hold_what_it_is_not_given() -> None:
    """The radio has its 12 V or not from half a volt below on, at 11.6 V still; the strip has its 5 V in any case."""
    robot = traced("breakwater")
    power, table = lit("breakwater"), CaseTable(robot.cases)
    flat = table.of(FaultKind.FLAT, "battery")
    # 10.7 to 11.6 V at rest, and some 8 A through its 0.05 ohm.
    assert power.of(device("breakwater", "regulator")).volts[flat] == pytest.approx([10.3, 10.6, 10.9, 11.2], abs=0.05)
    radio, strip = (power.of(device("breakwater", name)).works[flat] for name in ("radio", "status lights"))
    assert radio == pytest.approx([practice("holds below")] * 4)
    assert strip == pytest.approx([1.0] * 4, abs=1e-6)
    assert shows("breakwater", "flat battery", "look radio")["dark"] == pytest.approx(1 - practice("holds below"))
    circuit = circuit_of("breakwater", "radio")
    for volts, held in ((11.4, practice("holds below")), (11.6, 1.0), (12.6, 1.0)):
        read = _Fixed(volts, "breakwater")
        assert Lit(planned("breakwater"), table, read).fed(circuit)[0] == held  # type: ignore[arg-type]


def test_a_shaky_feed_flickers_and_is_well_else() -> None:
    """It is seen to flicker one time of ten, and what hangs on it has its volts."""
    for check in ("look regulator", "look radio", "look status lights"):
        assert shows("breakwater", "shaky W48 A", check)["flickers"] == pytest.approx(0.1)
        assert shows("breakwater", "shaky W48 A", check)["dark"] < 0.01
    volts = shows("breakwater", "shaky W48 A", "volts status lights B")
    assert volts["as expected"] > 0.9
    assert volts["low"] <= shows("breakwater", HEALTHY, "volts status lights B")["low"] + 0.01


def test_dim_before_dark() -> None:
    """Within 1 V below what it works from (4.5 V) it flickers, half a volt more or less.

    Rockpool takes 1.3 A, so 9.2 ohm: behind 3.0, 6.7, 15 and 33 ohm 9.6, 7.3, 4.8 and 2.7 V of 12.7 V are left.
    """
    robot, controller = traced("rockpool"), device("rockpool", "robot controller")
    assert works_from(controller) == 4.5
    power = lit("rockpool").of(controller)
    places = CaseTable(robot.cases).of(FaultKind.POOR, "W1 B")
    assert power.volts[places] == pytest.approx([9.56, 7.34, 4.84, 2.74], abs=0.02)
    assert power.has[places] == pytest.approx([1.0, 1.0, 0.84, 0.0], abs=0.02)
    assert power.flickers[places] == pytest.approx([0.0, 0.0, 0.16, 0.0], abs=0.02)
    dimmed = Lit(planned("rockpool"), CaseTable(robot.cases), _Fixed(4.0)).of(controller)  # type: ignore[arg-type]
    assert (dimmed.has[0], dimmed.flickers[0], dimmed.works[0]) == pytest.approx((0.0, 1.0, 0.5))


class _Fixed:
    """A meter that reads the same everywhere."""

    def __init__(self, volts: float, name: str = "rockpool") -> None:
        self._volts = volts
        self._cases = len(traced(name).cases)

    def volts(self, _red: object, _black: object) -> npt.NDArray[np.float64]:
        """Return it for every case."""
        return np.full(self._cases, self._volts)


def test_what_a_device_works_from() -> None:
    """As its part says; four fifths of a rail of its own: 9.6 V of 12; else 6 V."""
    assert works_from(device("breakwater", "status lights")) == pytest.approx(4.0)
    for one in planned("breakwater").robot:
        said = one.part.number("works from") or one.part.number("stops below")
        rail = next((s.volts for s in one.part.sockets if s.role == "supply" and s.volts is not None), None)
        assert works_from(one) == pytest.approx(0.8 * rail if rail else said or 6.0), one.id


def test_what_a_program_switches_on_has_no_power_yet() -> None:
    """Tidepool's valves and compressor, in every case; a floating meter must not find them lit."""
    power = lit("tidepool")
    for name in ("compressor", "gate", "hook"):
        assert power.of(device("tidepool", name)).works[0] == 0.0, name
        assert power.of(device("tidepool", name)).works.max() < 0.1, name
    assert power.of(device("tidepool", "air module")).works[0] == 1.0


def test_wires_between_the_battery_and_a_device() -> None:
    """The beacon's: its own two, the controller's, and the battery's five; no wheel's."""
    plan = planned("rockpool")
    found = set(feed_wires(plan, device("rockpool", "beacon")))
    main = {wire.id for wire in plan.wires if wire.circuit == "main"}
    assert found == {"W10", "W11", "W12", "W13", *main}


@pytest.mark.parametrize("name", ROBOTS)
def test_no_chance_is_more_than_one(name: str) -> None:
    """Of every device in every case: enough, flickering and working are chances; enough and flickering exclude."""
    power = lit(name)
    for one in planned(name).robot:
        found = power.of(one)
        for chance in (found.has, found.flickers, found.works, found.has + found.flickers):
            assert chance.min() >= 0
            assert chance.max() <= 1 + 1e-9, one.id
