"""The ends of the three examples checked by hand: terminals, strips, pulls, colours, chains and sums of loads.

Nothing of the program is imported. It is run as a person runs it, and its plan.json is compared with what is typed
here.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, TypeAlias

import pytest

PlanOf: TypeAlias = Callable[[str], dict[str, Any]]

POWER_PAIR = "snap-in power contacts in a pair of housings"
THREE_IN_ROW = "three power contacts in one row, A to A, B to B, C to C"
#: Robot, circuit, colour, end: terminal, strip [mm], pull [lbf]. Crimps by UL 486A, clamps by UL 486E; strips of clamps
#: by their makers, of crimps 1/4 in, of folded ends twice what the clamp asks (common practice). At a joint the thinner
#: side is pulled.
ENDS = [
    ("tidepool", "main", "plus", "a", "tube lug, M5 bolt", 12.7, 100),
    ("tidepool", "main", "minus", "a", "tube lug, M5 bolt", 12.7, 100),
    ("tidepool", "left front", "plus", "a", "bare end", 12, 13.5),
    ("tidepool", "left front", "minus", "b", POWER_PAIR, 6.35, 70),
    ("tidepool", "climber", "plus", "a", "bare end", 11, 13.5),
    ("tidepool", "climber", "plus", "b", "ferrule with a collar", 8, 13.5),
    ("tidepool", "intake", "plus", "b", POWER_PAIR, 6.35, 50),
    ("tidepool", "regulator", "plus", "a", "bare end", 8, 9),
    ("tidepool", "air module", "plus", "a", "bare end, folded double", 22, 6.75),
    ("tidepool", "compressor", "plus", "b", POWER_PAIR, 6.35, 20),
    ("tidepool", "gate", "plus", "b", "small crimp contacts in a pair of locking housings", 3, 5),
    ("tidepool", "beacon", "minus", "b", "bare end, folded double", 16, 4.5),
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
