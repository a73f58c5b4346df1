"""A fault as cases: what each kind changes in the plan's networks, how bad it may be, and nothing else."""

from __future__ import annotations

import math
from collections import Counter

import pytest

from loomwright.electrical.network_of import FRAME
from loomwright.hunting.robot.cases import Case, grades, opened
from loomwright.hunting.robot.faults import FaultKind, RobotFault
from loomwright.network.variants import Bridge, Change, Other
from loomwright.plan.result import Plan
from loomwright.sizing import wire_ohm_per_m
from tests.hunting.robot.traced import ROBOTS, circuit_of, planned, traced

# docs/hunting-model.md, "What may be wrong" [ohm].
RANGES = {"poor": (2.0, 50.0), "loose": (0.05, 0.5), "wet": (200.0, 5000.0), "weak": (0.05, 0.2)}
POWER = ("main", "feeder", "branch", "output")
#: The middles of the quarters of a range.
MIDDLES = (1 / 8, 3 / 8, 5 / 8, 7 / 8)
#: What is no wire in any network: it shows by what people see, feel and count.
BY_EYE = (
    *("shaky", "shaky wire", "reversed", "dead", "outputs off", "factory id", "double id"),
    *("terminator missing", "terminator extra", "software"),
)


def cases(name: str, kind: str, seat: str) -> list[Case]:
    """Return the cases of one fault."""
    number = numbers(name)[f"{kind} {seat}".strip()]
    return [case for case in traced(name).cases if case.number == number]


def numbers(name: str) -> dict[str, int]:
    """Return the numbers of all faults, as they stand; the healthy robot is 0."""
    return {key: number for number, key in enumerate(traced(name).faults, start=1)}


def changes(case: Case) -> dict[str, Change]:
    """Return what a case changes, by the network."""
    found = {"alive": case.alive, "dead": case.dead, "chain": case.chain}
    return {network: change for network, change in found.items() if change is not None}


def kind_of(plan: Plan, fault: RobotFault) -> str:
    """Return the kind of circuit that a fault is in."""
    wires = {wire.id: str(wire.kind) for wire in plan.wires}
    circuit = plan.circuit(fault.circuit)
    return wires.get(fault.wire, "" if circuit is None else str(circuit.circuit.kind))


def networks_of(fault: RobotFault, of: str) -> set[str]:
    """Return the networks that a fault may change by the document."""
    kind = str(fault.kind)
    if kind in ("open", "broken", "poor", "loose", "pair short") and of == "bus":
        return {"chain"}
    if kind in ("open", "broken", "poor", "loose", "wet", "out", "wrong slot", "pair short"):
        return set() if of in ("network", "motor") else {"alive", "dead"}
    return {
        "off": {"alive"},
        "weak": {"alive"},
        "flat": {"alive"},
        "frame short": {"dead"} if of != "motor" else set(),
    }.get(kind, set())


@pytest.mark.parametrize("name", ROBOTS)
def test_a_fault_changes_its_own_networks_and_no_other(name: str) -> None:
    """By kind of fault and of circuit; a flat battery alone has another voltage, a fault in a wire alone its ohms."""
    plan = planned(name)
    for case in traced(name).cases[1:]:
        assert case.fault is not None
        kind, of = str(case.fault.kind), kind_of(plan, case.fault)
        assert set(changes(case)) <= networks_of(case.fault, of), case
        assert (case.rest_v is not None) == (kind == "flat")
        assert (case.series_ohm > 0) == (kind in ("open", "broken", "poor", "loose"))
        assert (case.wire != "") == (case.fault.wire != "")
        assert (case.software != ("", "")) == (kind == "software")
        if kind in BY_EYE:
            assert changes(case) == {}


@pytest.mark.parametrize("name", ROBOTS)
def test_the_cases_of_a_fault_make_up_all_of_it(name: str) -> None:
    """Numbers go by the faults as they stand, the healthy robot first; the shares of each add up to 1."""
    robot = traced(name)
    shares: Counter[int] = Counter()
    for case in robot.cases:
        shares[case.number] += case.share  # type: ignore[assignment]  # a counter of shares
        assert case.number == (numbers(name)[case.fault.key] if case.fault else 0)
    assert set(shares) == set(range(len(robot.faults) + 1))
    assert list(shares.values()) == pytest.approx([1.0] * len(shares))
    assert robot.cases[0] == Case(number=0, fault=None)


@pytest.mark.parametrize("name", ["poor", "loose", "wet", "weak"])
def test_grades_lie_evenly_in_the_ranges_of_the_document(name: str) -> None:
    """Four, each in the middle of a quarter of the range by its logarithm: of 2 to 50 ohm 3.0, 6.7, 15 and 33."""
    low, high = RANGES[name]
    assert grades(name) == pytest.approx([low * (high / low) ** share for share in MIDDLES])
    if name == "poor":
        assert grades(name) == pytest.approx((2.99, 6.69, 14.95, 33.44), rel=1e-3)


def test_a_bad_end_is_in_line_with_its_copper() -> None:
    """Rockpool's wheel: 40 cm of 14 AWG and 0.05 to 0.5 ohm; an open end has no end of it, with and without battery."""
    wire = next(wire for wire in planned("rockpool").wires if wire.id == "W6")
    assert wire.gauge is not None
    assert wire.length_m is not None
    copper_ohm = (wire_ohm_per_m("copper", wire.gauge) or 0.0) * wire.length_m
    for kind in ("poor", "loose"):
        for case, ohm in zip(cases("rockpool", kind, "W6 B"), grades(kind), strict=True):
            change = Other(name=("wire", *wire.key), resistance_ohm=copper_ohm + ohm)
            assert changes(case) == {"alive": change, "dead": change}
            assert case.series_ohm == ohm
            assert case.share == pytest.approx(1 / 4)
    (gone,) = cases("rockpool", "open", "W6 A")
    assert changes(gone) == dict.fromkeys(("alive", "dead"), Other(name=("wire", *wire.key), resistance_ohm=math.inf))


def test_what_opens_in_front_of_a_short() -> None:
    """The slot of a block; a regulator's outlet, with the battery in alone; the main breaker where nothing else is."""
    slot = Other(name=("slot", "block", "L1"), resistance_ohm=math.inf)
    assert opened(planned("rockpool"), circuit_of("rockpool", "left wheel")) == (slot, slot)
    main = Other(name=("breaker", "main breaker"), resistance_ohm=math.inf)
    assert opened(planned("rockpool"), circuit_of("rockpool", "main")) == (main, None)
    strip = Other(name=("outlet", "regulator", "5 V"), resistance_ohm=math.inf)
    assert opened(planned("tidepool"), circuit_of("tidepool", "deck lights")) == (strip, None)
    steady = Other(name=("outlet", "steady block", "S5"), resistance_ohm=math.inf)
    assert opened(planned("breakwater"), circuit_of("breakwater", "compass")) == (steady, None)
    # A valve and a network cable stand in no network.
    assert opened(planned("tidepool"), circuit_of("tidepool", "gate")) == (None, None)
    assert opened(planned("tidepool"), circuit_of("tidepool", "radio")) == (None, None)


def test_a_pair_short_opens_what_guards_it_and_shows_its_ohms() -> None:
    """With the battery in, the breaker is open; without it there are 0.02 ohm across the load, on a chain as well."""
    (case,) = cases("rockpool", "pair short", "left wheel")
    ends = [("port", "left wheel controller", "supply", end) for end in ("plus", "minus")]
    assert changes(case) == {
        "alive": Other(name=("slot", "block", "L1"), resistance_ohm=math.inf),
        "dead": Bridge(a=ends[0], b=ends[1], resistance_ohm=0.02),
    }
    (chained,) = cases("breakwater", "pair short", "tool chain: arm to grabber")
    assert isinstance(chained.chain, Bridge)
    assert chained.chain.resistance_ohm == 0.02
    roles = {node[-2] for node in (chained.chain.a, chained.chain.b)}
    assert roles == {"bus high", "bus low"}
    (wound,) = cases("rockpool", "pair short", "left wheel: motor side")
    assert changes(wound) == {}


def test_a_frame_short_is_a_joint_with_the_frame() -> None:
    """1 ohm from its plus at the load to the frame, and the robot goes on running."""
    (case,) = cases("rockpool", "frame short", "left wheel")
    plus = ("port", "left wheel controller", "supply", "plus")
    assert changes(case) == {"dead": Bridge(a=plus, b=FRAME, resistance_ohm=1.0)}


def test_protections_open() -> None:
    """Out: its slot, with and without battery. Off: the main breaker. A wrong slot is as dead half of the time."""
    slot = Other(name=("slot", "block", "F1"), resistance_ohm=math.inf)
    (out,) = cases("rockpool", "out", "protection of robot controller")
    assert changes(out) == {"alive": slot, "dead": slot}
    (off,) = cases("rockpool", "off", "main breaker")
    assert changes(off) == {"alive": Other(name=("breaker", "main breaker"), resistance_ohm=math.inf)}
    without, with_one = cases("rockpool", "wrong slot", "left wheel")
    assert [(case.share, len(changes(case))) for case in (without, with_one)] == [(0.5, 2), (0.5, 0)]


def test_batteries_and_water() -> None:
    """Flat: evenly within 10.5 to 11.8 V. Weak: ohms inside of it. Wet: ohms from plus to minus of the device."""
    flat = cases("rockpool", "flat", "battery")
    assert [case.rest_v for case in flat] == pytest.approx([10.5 + 1.3 * share for share in MIDDLES])
    weak = [case.alive for case in cases("rockpool", "weak", "battery")]
    assert weak == [Other(name=("battery",), resistance_ohm=ohm) for ohm in grades("weak")]
    supply = next(iter(planned("rockpool").circuit("robot controller").wires)).b.socket  # type: ignore[union-attr]
    ends = [("port", "robot controller", supply, end) for end in ("plus", "minus")]
    wet = [Bridge(a=ends[0], b=ends[1], resistance_ohm=ohm) for ohm in grades("wet")]
    assert [changes(c) for c in cases("rockpool", "wet", "robot controller")] == [
        {"alive": one, "dead": one} for one in wet
    ]


def test_the_examples_offer_every_kind() -> None:
    """Between them they have every kind of fault, so that the tests here miss none."""
    assert {fault.kind for name in ROBOTS for fault in traced(name).faults.values()} == set(FaultKind)
