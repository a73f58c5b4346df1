"""The three examples checked by hand: sums, drops, heat, shorts, gauges, worked out from first facts.

Nothing of the program is imported. It is run as a person runs it, and its plan.json is compared with the arithmetic
below. Lengths of drawn ways are taken as planned here; `test_ways_by_hand` works them out.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, TypeAlias

import pytest

from tests.realistic.first_facts import (
    BOOK,
    HOLDS,
    INSULATION_C,
    alone_a,
    ampacity_a,
    area_mm2,
    loop_ohm,
    section_for_short_mm2,
    temperature_c,
)

PlanOf: TypeAlias = Callable[[str], dict[str, Any]]

#: The gauges of the usual stock, thinnest first (even numbers, common practice); Breakwater has a wire box of its own.
STOCK = {
    "tidepool": (22, 20, 18, 16, 14, 12, 10, 8, 6, 4),
    "breakwater": (22, 18, 16, 14, 12, 10, 4),
    "rockpool": (22, 20, 18, 16, 14, 12, 10, 8, 6, 4),
}
#: A dead short: 12.8 V of a charged battery over its own resistance (both common practice).
FAULT_A = {"tidepool": 12.8 / 0.011, "breakwater": 12.8 / 0.011, "rockpool": 12.8 / 0.025}
#: The main leads: gauge, plus and minus wires together [m], and what they carry for long [A]; see the battery paths.
MAIN = {
    "tidepool": (6, 0.92 + 0.57, 120),
    "breakwater": (4, 0.63 + 0.63, 120),
    "rockpool": (12, 0.60 + 0.60, 30),
}
LOOP_M = 0.15  # two service loops of 75 mm (common practice)
KINDS_WITH_POWER = ("main", "feeder", "branch", "output", "motor")


# ------------------------------------------------------------------ the circuits, worked out from the robot files
@dataclass(frozen=True)
class Hand:
    """One circuit: its current [A], what protects it, the gauges that its two ends take, leads that its load brings.

    `before` is what feeds it: the battery path, and then perhaps a circuit; None where the voltage starts anew.
    """

    robot: str
    circuit: str
    current_a: float
    kind: str
    rating_a: float
    takes: tuple[int, int]
    gauge: int
    share: float = 1.0
    supply_v: float = 12.0
    lead: tuple[int, float] = (12, 0.0)
    before: tuple[str, ...] | None = ("main",)
    one_way_m: float | None = None

    @property
    def sustained_a(self) -> float:
        """What heats the wire for long: a share of the current for what comes and goes (common practice)."""
        return self.share * self.current_a

    def length_m(self, plan: dict[str, Any]) -> float:
        """Return the length that is given, or that of the way that was planned."""
        return self.one_way_m or float(_circuit(plan, self.circuit)["length_m"])

    def drop_v(self, awg: int, plan: dict[str, Any]) -> float:
        """Return I (2 L rho / A + what the load's own leads add)."""
        return self.current_a * (loop_ohm(awg, self.length_m(plan)) + loop_ohm(*self.lead))

    def before_v(self, plan: dict[str, Any]) -> float | None:
        """Return what is lost before it begins, while the rest of the robot runs as it does for long."""
        if self.before is None:
            return None
        awg, both_m, current_a = MAIN[self.robot]
        lost_v = current_a * loop_ohm(awg, both_m / 2)
        for name in self.before[1:]:
            feed = next(hand for hand in HANDS if (hand.robot, hand.circuit) == (self.robot, name))
            lost_v += feed.sustained_a * loop_ohm(feed.gauge, feed.length_m(plan))
        return lost_v


#: Ports, thinnest and thickest AWG (makers' manuals of such parts, and common practice).
LARGE, SMALL, PUSH = (12, 6), (24, 10), (24, 16)
#: Leads that parts bring along: a controller in the line, a motor with its controller built in, a compressor, a strip.
INLINE, BUILT_IN, PUMP, STRIP = (12, 0.20), (10, 0.30), (14, 0.30), (20, 0.15)
HANDS = [
    # A drive runs at half of its 40 A for long.
    Hand("tidepool", "left front", 40, "snap", 40, LARGE, 12, share=0.5, lead=INLINE),
    # The arm's limit is 30 A behind 40 A.
    Hand("tidepool", "arm", 30, "snap", 40, LARGE, 12, share=0.5, lead=INLINE),
    # 30 A on a light slot and a screw clamp. Among more than six on the cross trunk 14 AWG carries 17.5 A, not 18 A.
    Hand("tidepool", "climber", 30, "snap", 30, SMALL, 12, share=0.6),
    Hand("tidepool", "intake", 25, "snap", 30, SMALL, 14, share=0.6, lead=INLINE),
    Hand("tidepool", "upper wheel", 30, "snap", 30, SMALL, 14, share=0.5, lead=INLINE),
    # Radio 1 A and lights 1.2 A hang on the regulator; its fuse is 20 A, which carries 22 A for ever.
    Hand("tidepool", "regulator", 1.0 + 1.2, "blade", 20, PUSH, 16),
    # The controller's own 1 A and the beacon's 0.2 A.
    Hand("tidepool", "robot controller", 1.0 + 0.2, "blade", 10, PUSH, 18),
    # The module's 0.1 A, the compressor's 9.4 A, three coils of 0.1 A.
    Hand("tidepool", "air module", 0.1 + 9.4 + 3 * 0.1, "snap", 20, SMALL, 18),
    # The compressor's output states no limit: the module's 20 A breaker is what opens.
    Hand("tidepool", "compressor", 9.4, "snap", 20, SMALL, 18, share=0.85, lead=PUMP, before=("main", "air module")),
    # Lights at 5 V, from an output that gives 3 A and holds its 5 V: their drop is a share of these.
    Hand("tidepool", "deck lights", 1.2, "limit", 3, PUSH, 22, supply_v=5.0, lead=STRIP, before=None),
    Hand("tidepool", "beacon", 0.2, "limit", 0.5, PUSH, 22, before=("main", "robot controller")),
    # Breakwater: a built-in controller with 10 AWG leads of its own, joined to the branch.
    Hand("breakwater", "front left drive", 40, "snap", 40, LARGE, 12, share=0.5, lead=BUILT_IN),
    Hand("breakwater", "rear right steer", 20, "snap", 40, LARGE, 12, share=0.5, lead=INLINE),
    # A lift's controller has clamps. The grabber's 20 A come over tower and arm, too far for the 14 AWG of 30 A.
    Hand("breakwater", "lift right", 40, "snap", 40, LARGE, 12, share=0.5),
    Hand("breakwater", "grabber", 20, "snap", 30, SMALL, 12, share=0.6, lead=INLINE),
    # 30 A written: a light slot takes the 14 AWG that 30 A ask for.
    Hand("breakwater", "feeder", 25, "snap", 30, SMALL, 14, share=0.6, lead=INLINE),
    # Switch and two cameras 0.5 A each, compass and four angle sensors 50 mA each.
    Hand("breakwater", "steady block", 3 * 0.5 + 5 * 0.05, "snap", 30, SMALL, 14),
    Hand("breakwater", "vision", 2.0, "snap", 10, SMALL, 18),
    # The steady block holds its 12 V.
    Hand("breakwater", "rear camera", 0.5, "blade", 5, PUSH, 22, before=None),
    Hand("breakwater", "status lights", 1.5, "limit", 3, PUSH, 22, supply_v=5.0, lead=STRIP, before=None),
    # Rockpool: a gearmotor's limit is 8 A behind 10 A, on its motor side 10 A. From L1 [193.3, 210] to the trunk along
    # [220, 220 to 310], over to the controller's supply [110, 370]: 28.5 + 90 + 125.3 = 244 mm and two loops.
    Hand("rockpool", "left wheel", 8, "snap", 10, SMALL, 18, share=0.6, one_way_m=0.244 + 0.15),
    Hand("rockpool", "left wheel: motor side", 10, "snap", 10, (22, 14), 18, share=0.6, before=None, one_way_m=0.30),
]
IDS = [f"{hand.robot} {hand.circuit}" for hand in HANDS]


def _circuit(plan: dict[str, Any], name: str) -> dict[str, Any]:
    return next(held for held in plan["circuits"] if held["circuit"] == name)


def _limits(circuit: dict[str, Any]) -> dict[str, dict[str, Any]]:
    return {held["name"]: held for held in circuit["sizing"]["constraints"]}


def together(plan: dict[str, Any], circuit: str) -> int:
    """Count the wires that carry current in the fullest bundle on a circuit's way; its own two at least."""
    power = {held["circuit"] for held in plan["circuits"] if held["kind"] in KINDS_WITH_POWER}
    wires = {run["run"]: len(run["wires"]) for run in plan["trunks"]["routes"] if run["circuit"] in power}
    bundles = [section["runs"] for section in plan["trunks"]["sections"] if circuit in section["runs"]]
    return max((sum(wires.get(run, 0) for run in runs) for runs in bundles), default=2)


@pytest.mark.parametrize("hand", HANDS, ids=IDS)
def test_currents_and_drops_are_those_of_the_hand(hand: Hand, plan_of: PlanOf) -> None:
    """Limits and sums of draws, I x 2 L x rho / A with the load's own leads, and what is lost before."""
    plan = plan_of(hand.robot)
    told = _circuit(plan, hand.circuit)
    assert told["current_a"] == pytest.approx(hand.current_a)
    assert told["sustained_a"] == pytest.approx(hand.sustained_a, abs=0.01)
    dropped = hand.drop_v(hand.gauge, plan)
    limits = _limits(told)
    assert limits["drop"]["actual"] == pytest.approx(dropped, rel=2e-3)
    assert limits["drop"]["limit"] == pytest.approx(0.05 * hand.supply_v)
    assert told["drop_pct"] == pytest.approx(100 * dropped / hand.supply_v, abs=0.01)
    before_v = hand.before_v(plan)
    assert ("drop from the battery" in limits) == (before_v is not None)
    if before_v is not None:
        assert limits["drop from the battery"]["actual"] == pytest.approx(before_v + dropped, rel=2e-3)
        assert limits["drop from the battery"]["limit"] == pytest.approx(0.10 * hand.supply_v)


@pytest.mark.parametrize("hand", HANDS, ids=IDS)
def test_heat_short_and_protection_are_those_of_the_hand(hand: Hand, plan_of: PlanOf) -> None:
    """Ampacity, the load's heat, the heat at what the protection holds for ever, the short, and 150 %."""
    plan = plan_of(hand.robot)
    told = _circuit(plan, hand.circuit)
    limits = _limits(told)
    carries_a = ampacity_a(hand.gauge, together(plan, hand.circuit))
    assert told["ampacity_a"] == pytest.approx(carries_a, abs=0.06)
    assert told["conductor_temperature_c"] == pytest.approx(
        temperature_c(hand.gauge, hand.sustained_a, carries_a), abs=0.1
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
    plan = plan_of(hand.robot)
    assert _circuit(plan, hand.circuit)["gauge"] == f"{hand.gauge} AWG"
    assert next(awg for awg in STOCK[hand.robot] if _does_everything(hand, awg, plan)) == hand.gauge


def _does_everything(hand: Hand, awg: int, plan: dict[str, Any]) -> bool:
    thinnest, thickest = hand.takes
    book = next(least for rating, least in sorted(BOOK[hand.kind].items()) if rating >= hand.rating_a)
    dropped_v, before_v = hand.drop_v(awg, plan), hand.before_v(plan)
    return (
        thinnest >= awg >= thickest
        and awg <= book
        and hand.sustained_a <= ampacity_a(awg, together(plan, hand.circuit))
        and dropped_v <= 0.05 * hand.supply_v
        and (before_v is None or before_v + dropped_v <= 0.10 * hand.supply_v)
        and temperature_c(awg, HOLDS[hand.kind] * hand.rating_a, alone_a(awg)) <= INSULATION_C + 1e-9
        and area_mm2(awg) >= section_for_short_mm2(hand.kind, hand.rating_a, FAULT_A[hand.robot])
        and hand.rating_a <= 1.5 * alone_a(awg)
    )


@pytest.mark.parametrize(
    ("robot", "awg", "current_a", "plus_m", "minus_m", "rating_a", "cut_m"),
    [
        # Battery to plug 25 cm, plug to breaker 20 cm, breaker [160, 70] to block [320, 230]; minus from the battery's
        # place [320, 60] to the block, since the plug hangs on the battery. What is not written is cut with 12.7 mm
        # for the lug and 20 mm for the block's clamp: 47 + 3.27 cm are 51 cm, 32 + 3.27 cm are 36 cm.
        ("tidepool", 6, 180, 0.25 + 0.20 + (0.16 + 0.16 + LOOP_M), 0.25 + (0.0 + 0.17 + LOOP_M), 120, (0.96, 0.61)),
        ("breakwater", 4, 180, 0.28 + 0.15 + 0.20, 0.28 + (0.15 + 0.20), 120, (0.63, 0.63)),
        # 10 A each for two wheels and 10 A for the controller are all that a trainer can ask.
        ("rockpool", 12, 30, 0.30 + 0.15 + 0.15, 0.30 + (0.15 + 0.15), 30, (0.60, 0.60)),
    ],
)
def test_the_battery_path_by_hand(
    robot: str,
    awg: int,
    current_a: float,
    plus_m: float,
    minus_m: float,
    rating_a: float,
    cut_m: tuple[float, float],
    plan_of: PlanOf,
) -> None:
    """The longer of both ways out counts; plus passes the breaker, and minus goes past it straight to the block."""
    plan = plan_of(robot)
    told = _circuit(plan, "main")
    assert (told["current_a"], told["gauge"]) == (current_a, f"{awg} AWG")
    assert told["length_m"] == pytest.approx(max(plus_m, minus_m), abs=1e-3)
    dropped = current_a * loop_ohm(awg, max(plus_m, minus_m))
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
    assert [sum(length for *_, length in runs[colour]) for colour in ("RD", "BK")] == pytest.approx(cut_m)
