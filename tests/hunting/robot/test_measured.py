"""What a meter would show in every case, held against the network changed by hand and solved anew."""

from __future__ import annotations

import math
import random
from dataclasses import replace

import numpy as np
import pytest

from loomwright.electrical.board import Board, Side, whole_board
from loomwright.electrical.bus import chains, line_node
from loomwright.electrical.network_of import FRAME, end_node, network_of
from loomwright.electrical.power import power_network
from loomwright.hunting.robot.cases import Case
from loomwright.hunting.robot.faults import FaultKind
from loomwright.hunting.robot.measured import Seen, _alive, alive_of
from loomwright.hunting.robot.robot_hunt import robot_hunt
from loomwright.model.device import Device
from loomwright.network import Draw, Element, Network, Node, Resistor, Source, ohms, solve
from loomwright.network.variants import Bridge, Change, Other
from loomwright.plan.result import Plan
from tests.hunting.robot.traced import ROBOTS, planned, traced
from tests.robots import plan_of

UNMEASURED = """
robot: Unmeasured
battery: {part: battery/agm-12v-18ah, leads: 6 AWG, lead length: 25 cm}
main breaker: {part: breaker/main-120a, lead length: 20 cm}
blocks: {block: {part: block/12-heavy-12-light-2-fused, lead length: 20 cm}}
mechanisms: {lift: {motors: {motor: {motor: motor/brushless-500w, controller: controller/inline-40a, id: 1}}}}
electronics: {robot controller: {part: computer/robot-controller, feed: fused}}
data: {chain: [robot controller, motor, block]}
"""
RATED_V = 12.0
#: What a leak of 1 gigohm at each node may do to an answer.
CLOSE = 2e-3
#: From here on a leak of 1 gigohm at each node counts: it is open in any case [ohm].
OPEN_OHM = 1e6


def sampled(name: str, network: str) -> list[int]:
    """Return the places of cases whose fault changes a network: two of every kind of fault, and the healthy one."""
    robot = traced(name)
    by_kind: dict[FaultKind, list[int]] = {}
    for place, case in enumerate(robot.cases):
        if case.fault is not None and (getattr(case, network) is not None or case.rest_v is not None):
            by_kind.setdefault(case.fault.kind, []).append(place)
    chance = random.Random(name)  # noqa: S311  a fixed choice
    return [0, *(place for held in by_kind.values() for place in chance.sample(held, min(2, len(held))))]


def by_hand(network: Network, change: Change) -> Network:
    """Return a network with one change made to it: an element with another resistance, or one more."""
    if change is None:
        return network
    if isinstance(change, Bridge):
        joint = Resistor(name=("by hand",), a=change.a, b=change.b, resistance_ohm=change.resistance_ohm)
        return network.along_with(joint)
    return network.changed(change.name, resistance_ohm=change.resistance_ohm)


def with_loads(element: Element) -> Element:
    """Return a load as the resistance that takes its current at 12 V."""
    if not isinstance(element, Draw):
        return element
    ohm = RATED_V / element.current_a if element.current_a else math.inf
    return Resistor(name=element.name, a=element.plus, b=element.minus, resistance_ohm=ohm)


def as_a_rule_a(device: Device) -> float | None:
    """Return what a device takes as a rule [A]: what the robot file says, its draw, else half of its peak."""
    peak_a = device.part.number("peak draw")
    said = (device.draw.value, device.part.number("draw"), None if peak_a is None else 0.5 * peak_a)
    return next((one for one in said if one is not None), None)


def powered(plan: Plan, case: Case) -> Network:
    """Return a robot with its battery in and one case in it; a flat battery is another source and nothing else."""
    power = power_network(plan, frozenset(circuit.id for circuit in plan.circuits), Side.LOW, takes=as_a_rule_a)
    assert power is not None
    network = Network(tuple(with_loads(element) for element in power.elements))
    if case.rest_v is not None:
        network = Network(tuple(_flat(element, case.rest_v) for element in network.elements))
    return by_hand(network, case.alive)


def _flat(element: Element, rest_v: float) -> Element:
    is_battery = isinstance(element, Source) and element.name == ("battery",)
    return replace(element, voltage_v=rest_v) if is_battery and isinstance(element, Source) else element


def pairs(name: str, *, cut: int = 6) -> list[tuple[Node, Node]]:
    """Return where a meter goes at some circuits."""
    found = [shown.probes for shown in traced(name).checks.values() if shown.kind == "volts" and shown.probes]
    return random.Random(name).sample(found, min(cut, len(found)))  # noqa: S311  a fixed choice


@pytest.mark.parametrize("name", ROBOTS)
def test_volts_are_those_of_the_network_changed_by_hand(name: str) -> None:
    """At some circuits of all robots, for every kind of fault; nothing where nothing ties the probes together."""
    robot, plan = traced(name), planned(name)
    assert robot.networks.alive is not None
    places, probes = sampled(name, "alive"), pairs(name)
    told = {pair: robot.networks.alive.volts(*pair) for pair in probes}
    for place in places:
        solution = solve(powered(plan, robot.cases[place]))
        for pair in probes:
            volts = solution.volts(red=pair[0], black=pair[1]).voltage_v
            if volts is not None:
                assert told[pair][place] == pytest.approx(volts, abs=CLOSE), (robot.cases[place], pair)


def test_every_kind_that_changes_a_network_is_held() -> None:
    """Between them the robots' samples have each kind that changes volts, and each that changes ohms."""
    alive, dead, chain = (
        {str(c.fault.kind) for n in ROBOTS for p in sampled(n, network) if (c := traced(n).cases[p]).fault}
        for network in ("alive", "dead", "chain")
    )
    ends = {"open", "poor", "loose", "broken"}
    assert alive == {*ends, "pair short", "out", "off", "weak", "flat", "wet", "wrong slot"}
    assert dead - {"flat"} == {*ends, "pair short", "frame short", "out", "wet", "wrong slot"}
    assert chain - {"flat"} == {"open", "poor", "broken", "pair short"} - ({"broken"} - chain)


@pytest.mark.parametrize("name", ["rockpool", "two plates"])
@pytest.mark.parametrize("which", ["dead", "pulled"])
def test_ohms_are_those_of_the_network_changed_by_hand(name: str, which: str) -> None:
    """Without a battery, all in or all pulled: what bounds it at its least and at its most; open is open."""
    robot, plan = traced(name), planned(name)
    board = whole_board(plan) if which == "dead" else Board()
    seen: Seen = getattr(robot.networks, which)
    for place in sampled(name, "dead"):
        case = robot.cases[place]
        changes_slot = case.dead is not None and getattr(case.dead, "name", ("",))[0] == "slot"
        change = None if which == "pulled" and changes_slot else case.dead
        low, high = (by_hand(network_of(plan, board, side, data=False), change) for side in Side)
        for red, black in [*pairs(name, cut=3), (pairs(name)[0][0], FRAME)]:
            least, most = (ohms(one, red=red, black=black).resistance_ohm for one in (low, high))
            shown = float(seen.ohms(red, black)[place])
            assert min(least, OPEN_OHM) * (1 - CLOSE) - CLOSE <= shown, (case, red)
            assert shown <= most * (1 + CLOSE) + CLOSE, (case, red)


@pytest.mark.parametrize("name", ["two plates", "breakwater"])
def test_chains_are_those_of_their_hops_changed_by_hand(name: str) -> None:
    """Ohms across the pair at the first device, within what terminators and receivers may have; 60 ohm when well."""
    robot, plan = traced(name), planned(name)
    for chain in chains(plan):
        high, low = (line_node(chain, chain.devices[0], line) for line in ("bus high", "bus low"))  # type: ignore[arg-type]
        shown = robot.networks.chains.ohms(high, low)
        assert 53 < shown[0] < 61
        for place in sampled(name, "chain"):
            bounds = [
                ohms(by_hand(network_of(plan, Board(), side), robot.cases[place].chain), red=high, black=low)
                for side in Side
            ]
            assert bounds[0].resistance_ohm * (1 - CLOSE) <= shown[place] <= bounds[1].resistance_ohm * (1 + CLOSE)


def small(*, steady: bool = False) -> Network:
    """Return 12.7 V, a joint, and a device of 1 A behind it; with `steady` a regulator's 5 V and a lamp of 1 A."""
    battery = Source(name=("battery",), plus=("plus",), minus=("minus",), voltage_v=12.7)
    joint = Resistor(name=("joint",), a=("plus",), b=("device",), resistance_ohm=0.0)
    network = Network((battery, joint, Draw(name=("draw",), plus=("device",), minus=("minus",), current_a=1.0)))
    if steady:
        source = Source(name=("outlet",), plus=("rail",), minus=("minus",), voltage_v=5.0)
        return network.along_with(source, Draw(name=("lamp",), plus=("rail",), minus=("minus",), current_a=1.0))
    return network


def test_a_worked_example() -> None:
    """12.7 V, a joint of 10 ohm, a device of 1 A, which is 12 ohm: 12.7 x 12 / 22 = 6.93 V at it. Open: nothing."""
    joint = Case(number=1, fault=None, alive=_other(10.0))
    gone = Case(number=2, fault=None, alive=_other(math.inf))
    flat = Case(number=3, fault=None, rest_v=11.0)
    found = _alive(small(), (Case(number=0, fault=None), joint, gone, flat)).volts(("device",), ("minus",))
    assert found == pytest.approx([12.7, 12.7 * 12 / 22, 0.0, 11.0], abs=1e-4)


def test_a_regulator_gives_the_same_on_a_flat_battery() -> None:
    """At 10.5 V its feed has 10.5 V and its outlet 5 V: nobody takes the outlet for low."""
    flat = Case(number=1, fault=None, rest_v=10.5)
    seen = _alive(small(steady=True), (Case(number=0, fault=None), flat))
    assert seen.volts(("rail",), ("minus",)) == pytest.approx([5.0, 5.0], abs=1e-4)
    assert seen.volts(("device",), ("minus",)) == pytest.approx([12.7, 10.5], abs=1e-4)


def test_a_wire_of_unknown_length_counts_for_nothing() -> None:
    """A robot that nobody has measured yet: a healthy motor runs, and a bad joint is all that its wire has."""
    plan = plan_of(UNMEASURED)
    robot = robot_hunt(plan)
    unknown = {("wire", *wire.key) for wire in plan.wires if wire.length_m is None}
    loose = [case for case in robot.cases if case.fault and case.fault.kind is FaultKind.LOOSE]
    found = [case for case in loose if isinstance(case.alive, Other) and case.alive.name in unknown]
    assert found
    assert all(isinstance(c.alive, Other) and c.alive.resistance_ohm == c.series_ohm > 0 for c in found)
    assert robot.hunt.chances[0, robot.numbers["run motor"], 0] > 0.99
    assert robot.networks.alive is not None
    for case, place in ((case, robot.cases.index(case)) for case in found):
        wire = next(wire for wire in plan.wires if wire.id == case.wire)
        at = end_node(wire, wire.a), end_node(wire, wire.b)
        assert robot.networks.dead.ohms(*at)[place] <= case.series_ohm * (1 + CLOSE)
        assert robot.networks.dead.ohms(*at)[0] < CLOSE
    # One terminator is planned, so that there are no two to read.
    assert "bus chain" not in robot.checks
    assert "end chain" in robot.checks


def test_what_takes_nothing_is_open() -> None:
    """A device without a draw has what its feed has, whatever joint is before it."""
    network = Network((*small().elements[:2], Draw(name=("no",), plus=("device",), minus=("minus",), current_a=0.0)))
    found = _alive(network, (Case(number=0, fault=None), Case(number=1, fault=None, alive=_other(50.0))))
    assert found.volts(("device",), ("minus",)) == pytest.approx([12.7, 12.7], abs=1e-4)


def test_each_change_is_solved_once() -> None:
    """Cases that change nothing, or the same, share an answer: a robot has far fewer networks than cases."""
    seen = alive_of(planned("rockpool"), traced("rockpool").cases)
    assert seen is not None
    assert len(set(seen.place)) < len(seen.place) == len(traced("rockpool").cases)
    nothing = [p for p, c in enumerate(traced("rockpool").cases) if c.alive is None]
    assert set(seen.place[nothing]) == {seen.place[0]}


def test_an_outlet_of_rockpools_controller_follows_its_feed() -> None:
    """The controller's signal output is its own plus: with 10 ohm in its feed the light gets as much less."""
    robot = traced("rockpool")
    assert robot.networks.alive is not None
    places = [p for p, c in enumerate(robot.cases) if c.wire == "W10" and c.series_ohm > 0]
    at, feed = (robot.checks[f"volts {name}"].probes for name in ("beacon A", "robot controller B"))
    assert at is not None
    assert feed is not None
    outlet, own = (robot.networks.alive.volts(*probes)[places] for probes in (at, feed))
    assert outlet == pytest.approx(own, abs=0.05)
    assert np.ptp(outlet) > 5


def _other(ohm: float) -> Change:

    return Other(name=("joint",), resistance_ohm=ohm)
