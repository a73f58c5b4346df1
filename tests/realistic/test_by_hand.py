"""The three examples checked by hand: lengths, sums, drops, heat, shorts, gauges and ends, worked out from first facts.

Nothing of the program is imported. It is run as a person runs it, and its plan.json is compared with the arithmetic
below, whose facts are typed from the sources named beside them.
"""

from __future__ import annotations

import json
import math
from collections.abc import Callable
from dataclasses import dataclass
from itertools import pairwise
from typing import Any, TypeAlias

import pytest

from tests.journeys.program import loomwright

PlanOf: TypeAlias = Callable[[str], dict[str, Any]]

# ------------------------------------------------------------------ first facts
#: Annealed copper: 1/58 ohm mm2/m at 20 C (IACS, IEC 60028).
RHO_OHM_MM2_PER_M = 1 / 58
#: 33 CFR 183.425 Table 5, insulation 105 C, outside engine spaces, air 30 C, up to three conductors together.
AMPACITY_A = {18: 20, 16: 25, 14: 35, 12: 45, 10: 60, 8: 80, 6: 120, 4: 160}
#: MIL-W-5088B, one wire in free air of 50 C, insulation 105 C; two in a bundle, fully loaded: 0.825 of it.
THIN_A = {22: 5.0 * 0.825, 20: 8.33 * 0.825}
THIN_ALONE_A = {22: 5.0, 20: 8.33}
#: The gauges of the usual stock, thinnest first (even numbers, common practice).
STOCK = (22, 20, 18, 16, 14, 12, 10, 8, 6, 4)
AIR_C, INSULATION_C, SHORT_C = 30.0, 105.0, 160.0
#: Opening times, at the latest [s], by multiple of the rating. Breakers: common practice, assumed. Fuses: ISO 8820-3.
SNAP = {1.35: 3600, 2: 30, 3: 8, 6: 0.35, 10: 0.12}
MAIN_120 = {1.33: 3600, 2: 60, 3: 15, 6: 2, 10: 0.6}
BLADE = {1.35: 600, 1.6: 50, 2: 5, 3.5: 0.5, 6: 0.1}
#: What each surely carries for ever: a breaker its rating, a blade fuse 110 % of it (ISO 8820-3).
HOLDS = {"snap": 1.0, "main": 1.0, "blade": 1.1, "limit": 1.0}
CURVES = {"snap": SNAP, "main": MAIN_120, "blade": BLADE, "limit": {}}
#: A dead short: 12.8 V of a charged battery over its own resistance (both common practice).
FAULT_A = {"tidepool": 12.8 / 0.011, "breakwater": 12.8 / 0.011, "rockpool": 12.8 / 0.025}
#: The book's least gauges (common practice): rating up to [A] -> AWG.
BOOK = {"snap": {20: 18, 30: 14, 40: 12}, "blade": {10: 22, 20: 18, 30: 14, 40: 12}}
BOOK["limit"] = BOOK["blade"]
LOOP_M = 0.15  # two service loops of 75 mm (common practice)


def area_mm2(awg: int) -> float:
    """Return the section of a gauge: ASTM B258, 0.127 mm x 92^((36 - n)/39) in diameter."""
    diameter_mm: float = 0.127 * 92 ** ((36 - awg) / 39)
    return math.pi / 4 * diameter_mm**2


def drop_v(awg: int, *, current_a: float, one_way_m: float) -> float:
    """Return the drop out and back."""
    return current_a * 2 * one_way_m * RHO_OHM_MM2_PER_M / area_mm2(awg)


def ampacity_a(awg: int) -> float:
    """Return what two wires side by side may carry; a thin wire never more than 18 AWG."""
    return AMPACITY_A.get(awg) or min(THIN_A[awg], AMPACITY_A[18])


def alone_a(awg: int) -> float:
    """Return what the wire may carry by itself, whatever lies beside it."""
    return AMPACITY_A.get(awg) or THIN_ALONE_A[awg]


def temperature_c(awg: int, current_a: float, carries_a: float) -> float:
    """Return the steady temperature: the rise goes with the current squared, and is full at the ampacity."""
    table_air_c = AIR_C if awg in AMPACITY_A else 50.0
    return AIR_C + (INSULATION_C - table_air_c) * (current_a / carries_a) ** 2


def section_for_short_mm2(kind: str, rating_a: float, fault_a: float) -> float:
    """Return the section that outlives every short that is cleared within 5 s: I sqrt(t)/k, IEC 60364-5-54.

    k = 226 sqrt(ln((234.5 + 160)/(234.5 + 105))) from the insulation's limit on. At the dead short itself the time
    lies on a straight line between the curve's points on logarithmic scales.
    """
    k = 226 * math.sqrt(math.log((234.5 + SHORT_C) / (234.5 + INSULATION_C)))
    points = sorted(CURVES[kind].items())
    needs = [m * rating_a * math.sqrt(t) / k for m, t in points if t <= 5 and m * rating_a <= fault_a]
    m = fault_a / rating_a
    for (low, at_low), (high, at_high) in pairwise(points):
        if low <= m <= high:
            time_s = at_low * (at_high / at_low) ** (math.log(m / low) / math.log(high / low))
            if time_s <= 5:
                needs.append(fault_a * math.sqrt(time_s) / k)
    return max(needs, default=0.0)


# ------------------------------------------------------------------ the circuits, worked out from the robot files
@dataclass(frozen=True)
class Hand:
    """One circuit: its current [A], its one-way length [m], what protects it, the gauges its two ends take."""

    robot: str
    circuit: str
    current_a: float
    one_way_m: float
    kind: str
    rating_a: float
    takes: tuple[int, int]
    gauge: int
    share: float = 1.0
    supply_v: float = 12.0

    @property
    def sustained_a(self) -> float:
        """What heats the wire for long: a share of the current for what comes and goes (common practice)."""
        return self.share * self.current_a


#: Ports, thinnest and thickest AWG (makers' manuals of such parts, and common practice).
LARGE, SMALL, PUSH, SCREW = (12, 6), (24, 10), (24, 16), (24, 10)
HANDS = [
    # Tidepool: |90 - 320| + |620 - 230| mm from block to controller; a drive at half of its 40 A for long.
    Hand("tidepool", "left front", 40, 0.23 + 0.39 + LOOP_M, "snap", 40, LARGE, 12, share=0.5),
    # 20 mm aside, 335 mm forward and 400 mm up; the arm's limit is 30 A behind 40 A.
    Hand("tidepool", "arm", 30, 0.02 + 0.335 + 0.40 + LOOP_M, "snap", 40, LARGE, 12, share=0.5),
    # 30 A on a light slot and a screw clamp.
    Hand("tidepool", "climber", 30, 0.07 + 0.21 + LOOP_M, "snap", 30, SMALL, 14, share=0.6),
    Hand("tidepool", "intake", 25, 0.067 + 0.39 + LOOP_M, "snap", 30, SMALL, 14, share=0.6),
    Hand("tidepool", "upper wheel", 30, 0.08 + 0.21 + 0.50 + LOOP_M, "snap", 30, SMALL, 14, share=0.5),
    # Radio 1 A and lights 1.2 A hang on the regulator; its fuse is 20 A, which carries 22 A for ever.
    Hand("tidepool", "regulator", 1.0 + 1.2, 0.22 + 0.17 + LOOP_M, "blade", 20, PUSH, 16),
    # The controller's own 1 A and the beacon's 0.2 A.
    Hand("tidepool", "robot controller", 1.0 + 0.2, 0.235 + 0.15 + LOOP_M, "blade", 10, PUSH, 18),
    # The module's 0.1 A, the compressor's 9.4 A, three coils of 0.1 A.
    Hand("tidepool", "air module", 0.1 + 9.4 + 3 * 0.1, 0.23 + 0.27 + LOOP_M, "snap", 20, SMALL, 18),
    # The compressor's output states no limit: the module's 20 A breaker is what opens.
    Hand("tidepool", "compressor", 9.4, 0.04 + 0.44 + LOOP_M, "snap", 20, SMALL, 18, share=0.85),
    # Lights at 5 V, from an output that gives 3 A: their drop is a share of 5 V.
    Hand("tidepool", "deck lights", 1.2, 0.22 + 0.29 + LOOP_M, "limit", 3, PUSH, 22, supply_v=5.0),
    Hand("tidepool", "beacon", 0.2, 0.005 + 0.118 + 0.70 + LOOP_M, "limit", 0.5, PUSH, 22),
    # Breakwater: a built-in controller with 10 AWG leads of its own, joined to the branch.
    Hand("breakwater", "front left drive", 40, 0.27 + 0.35 + LOOP_M, "snap", 40, LARGE, 12, share=0.5),
    Hand("breakwater", "rear right steer", 20, 0.20 + 0.12 + LOOP_M, "snap", 40, LARGE, 12, share=0.5),
    # 30 A written: a light slot takes the 14 AWG that 30 A ask for.
    Hand("breakwater", "feeder", 25, 0.20 + 0.028 + LOOP_M, "snap", 30, SMALL, 14, share=0.6),
    # Switch and two cameras 0.5 A each, compass and four angle sensors 50 mA each.
    Hand("breakwater", "steady block", 3 * 0.5 + 5 * 0.05, 0.175 + 0.02 + LOOP_M, "snap", 30, SMALL, 14),
    Hand("breakwater", "vision", 2.0, 0.21 + 0.04 + LOOP_M, "snap", 10, SMALL, 18),
    Hand("breakwater", "rear camera", 0.5, 0.045 + 0.22 + 0.45 + LOOP_M, "blade", 5, PUSH, 22),
    Hand("breakwater", "status lights", 1.5, 0.115 + 0.03 + LOOP_M, "limit", 3, PUSH, 22, supply_v=5.0),
    # Rockpool: lengths are given; a gearmotor's limit is 8 A behind 10 A, on its motor side 10 A.
    Hand("rockpool", "left wheel", 8, 0.40, "snap", 10, SMALL, 18, share=0.6),
    Hand("rockpool", "left wheel: motor side", 10, 0.30, "snap", 10, (22, 14), 18, share=0.6),
]
IDS = [f"{hand.robot} {hand.circuit}" for hand in HANDS]


@pytest.fixture(scope="module")
def plan_of(tmp_path_factory: pytest.TempPathFactory) -> PlanOf:
    """Return plans as the program writes them, each made once."""
    made: dict[str, dict[str, Any]] = {}

    def plan(name: str) -> dict[str, Any]:
        if name not in made:
            folder = tmp_path_factory.mktemp(name) / "robot"
            assert loomwright("demo", str(folder), "--robot", name).code == 0
            made[name] = json.loads((folder / "out" / "plan.json").read_text(encoding="utf-8"))
        return made[name]

    return plan


def _circuit(plan: dict[str, Any], name: str) -> dict[str, Any]:
    return next(held for held in plan["circuits"] if held["circuit"] == name)


def _limits(circuit: dict[str, Any]) -> dict[str, dict[str, Any]]:
    return {held["name"]: held for held in circuit["sizing"]["constraints"]}


@pytest.mark.parametrize("hand", HANDS, ids=IDS)
def test_currents_lengths_and_drops_are_those_of_the_hand(hand: Hand, plan_of: PlanOf) -> None:
    """Limits and sums of draws, places along the plate, I x 2 L x rho / A."""
    told = _circuit(plan_of(hand.robot), hand.circuit)
    assert told["current_a"] == pytest.approx(hand.current_a)
    assert told["sustained_a"] == pytest.approx(hand.sustained_a, abs=0.01)
    assert told["length_m"] == pytest.approx(hand.one_way_m, abs=1e-3)
    dropped = drop_v(hand.gauge, current_a=hand.current_a, one_way_m=hand.one_way_m)
    assert _limits(told)["drop"]["actual"] == pytest.approx(dropped, rel=2e-3)
    assert told["drop_pct"] == pytest.approx(100 * dropped / hand.supply_v, abs=0.01)


@pytest.mark.parametrize("hand", HANDS, ids=IDS)
def test_heat_short_and_protection_are_those_of_the_hand(hand: Hand, plan_of: PlanOf) -> None:
    """Ampacity, the load's heat, the heat at what the protection holds for ever, the short, and 150 %."""
    told = _circuit(plan_of(hand.robot), hand.circuit)
    limits = _limits(told)
    assert told["ampacity_a"] == pytest.approx(ampacity_a(hand.gauge), abs=0.06)
    assert told["conductor_temperature_c"] == pytest.approx(
        temperature_c(hand.gauge, hand.sustained_a, ampacity_a(hand.gauge)), abs=0.1
    )
    holds_a = HOLDS[hand.kind] * hand.rating_a
    held_c = temperature_c(hand.gauge, holds_a, alone_a(hand.gauge))  # its neighbours are not held at the same time
    assert limits["hold heat"]["actual"] == pytest.approx(held_c, rel=2e-2)
    assert limits["protection"]["limit"] == pytest.approx(1.5 * alone_a(hand.gauge))  # 33 CFR 183.455(c)(1)
    assert limits["protection"]["actual"] == hand.rating_a
    if hand.kind != "limit":
        needs_mm2 = section_for_short_mm2(hand.kind, hand.rating_a, FAULT_A[hand.robot])
        assert limits["short circuit"]["actual"] == pytest.approx(needs_mm2, rel=2e-3)
        assert limits["short circuit"]["limit"] == pytest.approx(area_mm2(hand.gauge), rel=1e-4)


@pytest.mark.parametrize("hand", HANDS, ids=IDS)
def test_the_gauge_is_the_thinnest_that_does_everything(hand: Hand, plan_of: PlanOf) -> None:
    """Searched again by hand, from thin to thick; never thicker than a physical reason asks for."""
    told = _circuit(plan_of(hand.robot), hand.circuit)
    assert told["gauge"] == f"{hand.gauge} AWG"
    assert next(awg for awg in STOCK if _does_everything(hand, awg)) == hand.gauge


def _does_everything(hand: Hand, awg: int) -> bool:
    thinnest, thickest = hand.takes
    book = next(least for rating, least in sorted(BOOK[hand.kind].items()) if rating >= hand.rating_a)
    return (
        thinnest >= awg >= thickest
        and awg <= book
        and hand.sustained_a <= ampacity_a(awg)
        and drop_v(awg, current_a=hand.current_a, one_way_m=hand.one_way_m) <= 0.05 * hand.supply_v
        and temperature_c(awg, HOLDS[hand.kind] * hand.rating_a, alone_a(awg)) <= INSULATION_C + 1e-9
        and area_mm2(awg) >= section_for_short_mm2(hand.kind, hand.rating_a, FAULT_A[hand.robot])
        and hand.rating_a <= 1.5 * alone_a(awg)
    )


@pytest.mark.parametrize(
    ("robot", "awg", "current_a", "plus_m", "minus_m", "rating_a"),
    [
        # Battery to plug 25 cm, plug to breaker 20 cm, breaker [160, 70] to block [320, 230]; minus from the battery's
        # place [320, 60] to the block, since the plug hangs on the battery.
        ("tidepool", 6, 180, 0.25 + 0.20 + (0.16 + 0.16 + LOOP_M), 0.25 + (0.0 + 0.17 + LOOP_M), 120),
        ("breakwater", 4, 180, 0.28 + 0.15 + 0.20, 0.28 + (0.15 + 0.20), 120),
        # 10 A each for two wheels and 10 A for the controller are all that a trainer can ask.
        ("rockpool", 12, 30, 0.30 + 0.15 + 0.15, 0.30 + (0.15 + 0.15), 30),
    ],
)
def test_the_battery_path_by_hand(
    robot: str, awg: int, current_a: float, plus_m: float, minus_m: float, rating_a: float, plan_of: PlanOf
) -> None:
    """The longer of both ways out counts; plus passes the breaker, and minus goes past it straight to the block."""
    plan = plan_of(robot)
    told = _circuit(plan, "main")
    assert (told["current_a"], told["gauge"]) == (current_a, f"{awg} AWG")
    assert told["length_m"] == pytest.approx(max(plus_m, minus_m), abs=1e-3)
    dropped = drop_v(awg, current_a=current_a, one_way_m=max(plus_m, minus_m))
    assert _limits(told)["drop"]["actual"] == pytest.approx(dropped, rel=2e-3)
    assert told["sustained_a"] == min(current_a, rating_a)
    assert told["conductor_temperature_c"] == pytest.approx(
        temperature_c(awg, min(current_a, rating_a), ampacity_a(awg)), abs=0.1
    )
    kind = "main" if rating_a > 100 else "snap"  # the trainer's small main breaker has the curve of those in slots
    needs_mm2 = section_for_short_mm2(kind, rating_a, FAULT_A[robot])
    assert _limits(told)["short circuit"]["actual"] == pytest.approx(needs_mm2, rel=2e-3)
    assert area_mm2(awg) >= needs_mm2
    leads = [wire for wire in plan["wires"] if wire["circuit"] == "main"]
    runs = {
        colour: [(w["a_device"], w["b_device"], w["length_m"]) for w in leads if w["colour"] == colour]
        for colour in ("RD", "BK")
    }
    assert [(a, b) for a, b, _ in runs["RD"]] == [
        ("battery", "battery plug"),
        ("battery plug", "main breaker"),
        ("main breaker", "block"),
    ]
    assert [(a, b) for a, b, _ in runs["BK"]] == [("battery", "battery plug"), ("battery plug", "block")]
    assert sum(length for *_, length in runs["RD"]) == pytest.approx(plus_m, abs=1e-3)
    assert sum(length for *_, length in runs["BK"]) == pytest.approx(minus_m, abs=1e-3)


# ------------------------------------------------------------------ ends
POWER_PAIR = "snap-in power contacts in a pair of housings"
THREE_IN_ROW = "three power contacts in one row, A to A, B to B, C to C"
#: Robot, circuit, colour, end: terminal, strip [mm], pull [lbf]. Crimps by UL 486A, clamps by UL 486E; strips of clamps
#: by their makers, of crimps 1/4 in, of folded ends 1/2 in (common practice). At a joint the thinner side is pulled.
ENDS = [
    ("tidepool", "main", "plus", "a", "tube lug, M5 bolt", 12.7, 100),
    ("tidepool", "main", "minus", "a", "tube lug, M5 bolt", 12.7, 100),
    ("tidepool", "left front", "plus", "a", "bare end", 12, 13.5),
    ("tidepool", "left front", "minus", "b", POWER_PAIR, 6.35, 70),
    ("tidepool", "climber", "plus", "a", "bare end", 11, 11.5),
    ("tidepool", "climber", "plus", "b", "ferrule with a collar", 8, 11.5),
    ("tidepool", "intake", "plus", "b", POWER_PAIR, 6.35, 50),
    ("tidepool", "regulator", "plus", "a", "bare end", 8, 9),
    ("tidepool", "air module", "plus", "a", "bare end, folded double", 12.7, 6.75),
    ("tidepool", "compressor", "plus", "b", POWER_PAIR, 6.35, 20),
    ("tidepool", "gate", "plus", "b", "small crimp contacts in a pair of locking housings", 3, 5),
    ("tidepool", "beacon", "minus", "b", "bare end, folded double", 12.7, 4.5),
    ("tidepool", "arm: motor side", "plus", "a", POWER_PAIR, 6.35, 50),
    (
        "tidepool",
        "lift motor: motor side",
        "phase a",
        "a",
        THREE_IN_ROW,
        6.35,
        70,
    ),
    ("tidepool", "lift low: on digital 0", "signal", "b", "quick-connect, red, 3/16 in, fully covered", 6.35, 8),
    ("breakwater", "front left drive", "plus", "b", POWER_PAIR, 6.35, 70),
    ("breakwater", "lift left: motor side", "phase b", "a", "bare end", 12, 13.5),
    ("rockpool", "main", "plus", "a", "quick-connect, yellow, 1/4 in, fully covered", 6.35, 70),
    ("rockpool", "left wheel", "plus", "b", "ferrule with a collar", 8, 6.75),
    ("rockpool", "left wheel: motor side", "minus", "b", "quick-connect, red, 3/16 in, fully covered", 6.35, 20),
]


@pytest.mark.parametrize(("robot", "circuit", "conductor", "end", "terminal", "strip_mm", "pull_lbf"), ENDS)
def test_ends_by_hand(
    robot: str, circuit: str, conductor: str, end: str, terminal: str, strip_mm: float, pull_lbf: float, plan_of: PlanOf
) -> None:
    """The port and the gauge pick terminal, strip and pull; 1 lbf is 4.448 N."""
    wires = [w for w in plan_of(robot)["wires"] if w["circuit"] == circuit and w["b_polarity"] == conductor]
    wire = wires[0]
    assert wire[f"{end}_terminal"] == terminal
    assert wire[f"{end}_strip_mm"] == pytest.approx(strip_mm)
    assert wire[f"{end}_pull_lbf"] == pytest.approx(pull_lbf)
    assert wire[f"{end}_pull_n"] == pytest.approx(4.448222 * pull_lbf, abs=0.06)


@pytest.mark.parametrize("robot", ["tidepool", "breakwater", "rockpool"])
def test_nobody_is_told_to_solder_a_clamp_or_to_pull_at_a_board_or_a_battery(robot: str, plan_of: PlanOf) -> None:
    """Copper in a clamp is bare or in a ferrule; a firm pull by hand is for ends that nothing fragile holds."""
    boards = ("robot controller", "regulator", "radio", "air module", "switch", "vision")
    for wire in plan_of(robot)["wires"]:
        for end in ("a", "b"):
            if "clamp" in (wire[f"{end}_port"] or "") and wire[f"{end}_terminal"]:
                assert wire[f"{end}_terminal"].startswith(("bare end", "ferrule"))
            if wire[f"{end}_device"] in ("battery", *boards):
                assert wire[f"{end}_hand_pull"] == "no", wire[f"{end}_where"]


@pytest.mark.parametrize(
    ("robot", "chain", "hops"), [("tidepool", "main chain", 11), ("breakwater", "drive chain", 14)]
)
def test_the_bus_runs_as_a_twisted_pair_from_end_to_end(robot: str, chain: str, hops: int, plan_of: PlanOf) -> None:
    """One hop less than devices; high is yellow, low is green, each twisted with the other, 22 AWG, high to high."""
    pairs = [w for w in plan_of(robot)["wires"] if w["circuit"].startswith(f"{chain}: ")]
    assert len(pairs) == 2 * hops
    for wire in pairs:
        assert wire["gauge"] == "22 AWG"
        assert wire["a_polarity"] == wire["b_polarity"] == wire["role"]
        assert {"bus high": "YE", "bus low": "GN"}[wire["role"]] == wire["colour"]
        assert wire["twisted_with"] is not None
    devices = [w["a_device"] for w in pairs] + [w["b_device"] for w in pairs]
    ends = {name for name in devices if devices.count(name) == 2}
    assert ends == {"robot controller", "block"}


@pytest.mark.parametrize("robot", ["tidepool", "breakwater", "rockpool"])
def test_the_signal_light_hangs_on_the_controller_with_its_jumper(robot: str, plan_of: PlanOf) -> None:
    """Two wires from the controller's own output, and a link from L1 to L2 on the light itself."""
    wires = plan_of(robot)["wires"]
    feed = [w for w in wires if w["circuit"] == "beacon"]
    assert [(w["a_where"], w["b_where"]) for w in feed] == [
        ("robot controller signal light plus", "beacon supply plus"),
        ("robot controller signal light minus", "beacon supply minus"),
    ]
    (jumper,) = [w for w in wires if w["circuit"] == "beacon: jumper"]
    assert (jumper["a_where"], jumper["b_where"]) == ("beacon L1 plus", "beacon L2 plus")


@pytest.mark.parametrize(("robot", "brushed", "brushless"), [("tidepool", 2, 8), ("breakwater", 0, 9)])
def test_motor_sides_by_hand(robot: str, brushed: int, brushless: int, plan_of: PlanOf) -> None:
    """Three phases A to A, B to B, C to C; a brushed motor uses two terminals; supply never meets a motor's leads."""
    plan = plan_of(robot)
    sides: dict[str, list[tuple[str, str]]] = {}
    for wire in plan["wires"]:
        if wire["kind"] == "motor":
            sides.setdefault(wire["circuit"], []).append((wire["a_polarity"], wire["b_polarity"]))
            assert " motor " in f" {wire['a_where']} "
            assert wire["gauge"] in ("12 AWG", "14 AWG", "16 AWG")  # the leads that the motors bring along
    three = [(f"phase {letter}", f"phase {letter}") for letter in "abc"]
    assert len([pairs for pairs in sides.values() if pairs == three]) == brushless
    two = [pairs for pairs in sides.values() if len(pairs) == 2]
    assert len(two) == brushed
    assert all([b for _, b in pairs] == ["plus", "minus"] for pairs in two)
    assert all([a for a, _ in pairs] in (["plus", "minus"], ["phase a", "phase c"]) for pairs in two)


@pytest.mark.parametrize(
    ("robot", "output", "loads", "limit_a"),
    [
        ("tidepool", "5 V", {"deck lights": 1.2}, 3),
        ("tidepool", "radio", {"radio": 1.0}, 3),
        ("breakwater", "5 V", {"status lights": 1.5}, 3),
    ],
)
def test_regulator_sums_by_hand(
    robot: str, output: str, loads: dict[str, float], limit_a: float, plan_of: PlanOf
) -> None:
    """What hangs on each output, against what it gives."""
    on_it = {
        c["circuit"]: c["current_a"]
        for c in plan_of(robot)["circuits"]
        if c["source"] == "regulator" and c["slot"] == output
    }
    assert on_it == loads
    assert sum(on_it.values()) <= limit_a
