"""Laws that hold for every network, and twins that solve the same one by another way."""

from __future__ import annotations

import math
import random
from fractions import Fraction
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loomwright.network import Draw, Meter, Network, Resistor, Source, ohms, solve
from tests.network.exact import exact_ohm
from tests.network.spice import deck_lines, operating_point, spice_ohm

NODES = tuple("abcdefg")
OHMS = st.sampled_from([1e-3, 0.02, 0.5, 3.0, 47.0, 120.0, 2e3, 1e5, 1e7])


@st.composite
def networks(draw: st.DrawFn, most: int = 14) -> Network:
    """Draw resistors between seven nodes, some side by side, some with both ends on one node."""
    pairs = draw(st.lists(st.tuples(st.sampled_from(NODES), st.sampled_from(NODES), OHMS), min_size=1, max_size=most))
    wires = [Resistor(name=f"r{n}", a=a, b=b, resistance_ohm=ohm) for n, (a, b, ohm) in enumerate(pairs)]
    # Every node is there, as in a robot whose plugs are pulled.
    pulled = [Resistor(name=f"open {n}", a=n, b="a", resistance_ohm=math.inf) for n in NODES]
    return Network((*wires, *pulled))


def there(network: Network) -> Network:
    """Give the network without its breaks, for twins that know none."""
    kept = [e for e in network.elements if isinstance(e, Resistor) and not math.isinf(e.resistance_ohm)]
    return Network(tuple(kept))


@given(networks())
def test_the_engine_agrees_with_exact_fractions(network: Network) -> None:
    """Star by star in floats, or Gauss and Jordan in fractions: the same to thirteen digits, from 1 mohm to 10 Mohm."""
    meter = Meter(network)
    for black in NODES[1:]:
        exact = exact_ohm(there(network), "a", black)
        found = meter.ohms(red="a", black=black)
        if exact is None:
            assert found.open
        else:
            assert found.resistance_ohm == pytest.approx(float(exact), rel=1e-13)


@given(networks(), st.data())
def test_swapping_the_probes_changes_nothing(network: Network, data: st.DataObject) -> None:
    """Resistors look the same from both sides."""
    red, black = data.draw(st.sampled_from(NODES)), data.draw(st.sampled_from(NODES))
    one, other = ohms(network, red=red, black=black), ohms(network, red=black, black=red)
    assert one.open == other.open
    assert one.open or one.resistance_ohm == pytest.approx(other.resistance_ohm, rel=1e-12)


@given(networks(), st.randoms(use_true_random=False))
def test_the_order_of_elements_changes_no_digit(network: Network, shaker: random.Random) -> None:
    """The same elements in another order give the very same numbers."""
    elements = list(network.elements)
    shaker.shuffle(elements)
    one, other = Meter(network), Meter(Network(tuple(elements)))
    for black in NODES:
        assert one.ohms(red="a", black=black) == other.ohms(red="a", black=black)


@given(networks(), st.sampled_from(NODES), st.sampled_from(NODES), OHMS, st.data())
def test_one_more_resistor_never_raises_a_reading(
    network: Network, one: str, other: str, ohm: float, data: st.DataObject
) -> None:
    """Rayleigh's law: more ways can only make it easier; so can less resistance on one of them."""
    black = data.draw(st.sampled_from(NODES[1:]))
    before = ohms(network, red="a", black=black).resistance_ohm
    more = network.along_with(Resistor(name="more", a=one, b=other, resistance_ohm=ohm))
    after = ohms(more, red="a", black=black).resistance_ohm
    eased = ohms(more.changed("more", resistance_ohm=ohm / 2), red="a", black=black).resistance_ohm
    assert eased <= after * (1 + 1e-12)
    assert after <= before * (1 + 1e-12)


@given(st.lists(OHMS, min_size=1, max_size=8))
def test_a_row_adds_up(row: list[float]) -> None:
    """However long the row, end to end is the sum."""
    wires = [Resistor(name=f"r{n}", a=f"n{n}", b=f"n{n + 1}", resistance_ohm=ohm) for n, ohm in enumerate(row)]
    found = ohms(Network(tuple(wires)), red="n0", black=f"n{len(row)}")
    assert found.resistance_ohm == pytest.approx(float(sum(map(Fraction, row))), rel=1e-13)


@st.composite
def powered(draw: st.DrawFn) -> Network:
    """Draw a network with a real source and some draws."""
    network = draw(networks())
    volts_v, inside_ohm = draw(st.sampled_from([5.0, 12.7])), draw(st.sampled_from([0.011, 1.0]))
    source = Source(name="battery", plus="a", minus="b", voltage_v=volts_v, resistance_ohm=inside_ohm)
    ends = st.sampled_from(NODES)
    drawn = draw(st.lists(st.tuples(ends, ends, st.sampled_from([0.05, 1.0])), max_size=3))
    draws = [Draw(name=f"load {n}", plus=p, minus=m, current_a=a) for n, (p, m, a) in enumerate(drawn)]
    return network.along_with(source, *draws)


@given(powered())
def test_what_comes_into_a_node_leaves_it(network: Network) -> None:
    """Kirchhoff's current law at every node, and Ohm's at every resistor."""
    solved = solve(network)
    left = dict.fromkeys(network.nodes, 0.0)
    size = dict.fromkeys(network.nodes, 1.0)
    for element in network.elements:
        current_a = solved.current_a[element.name]
        one, other = (element.a, element.b) if isinstance(element, Resistor) else (element.plus, element.minus)
        sign = -1.0 if isinstance(element, Source) else 1.0
        left[one] += sign * current_a
        left[other] -= sign * current_a
        size[one] += abs(current_a)
        size[other] += abs(current_a)
        if isinstance(element, Resistor):
            size[one] += abs(solved.potential_v[one]) * 1e-3 / element.resistance_ohm
            size[other] += abs(solved.potential_v[other]) * 1e-3 / element.resistance_ohm
    assert all(abs(left[node]) <= 1e-9 * size[node] for node in network.nodes)


@given(powered())
@settings(max_examples=50)
def test_numpys_dense_equations_have_the_same_voltages(network: Network) -> None:
    """The textbook's matrix, solved by numpy on the source's own island, within what its digits can hold."""
    solved = solve(network)
    [island] = [island for island in solved.islands if "a" in island]
    at = {node: row for row, node in enumerate(node for node in island if node != "b")}
    matrix, right = np.zeros((len(at), len(at))), np.zeros(len(at))
    for element in network.elements:
        one, other = (element.a, element.b) if isinstance(element, Resistor) else (element.plus, element.minus)
        if element.name in solved.starved or not {one, other} <= set(island):
            continue
        siemens = 0.0 if isinstance(element, Draw) else 1 / element.resistance_ohm
        pushed = siemens * element.voltage_v if isinstance(element, Source) else 0.0
        pushed -= element.current_a if isinstance(element, Draw) else 0.0
        for node, twin, sign in ((one, other, 1), (other, one, -1)):
            if node in at:
                matrix[at[node], at[node]] += siemens
                right[at[node]] += sign * pushed
                if twin in at:
                    matrix[at[node], at[twin]] -= siemens
    dense = np.linalg.solve(matrix, right)
    for node, row in at.items():
        across_v = solved.volts(red=node, black="b").voltage_v
        assert across_v is not None
        assert across_v == pytest.approx(dense[row], rel=1e-4, abs=1e-4 * max(1.0, float(np.abs(dense).max())))


def test_a_simulator_reads_the_same(needs_ngspice: Path) -> None:
    """In ngspice: a bridge behind a source with two draws, and on the bare bridge with a meter's ampere."""
    arms = [("p", "l", 1.5), ("p", "r", 220.0), ("l", "m", 33.0), ("r", "m", 0.47), ("l", "r", 10.0)]
    bridge = Network(tuple(Resistor(name=f"{a}{b}", a=a, b=b, resistance_ohm=ohm) for a, b, ohm in arms))
    assert spice_ohm(needs_ngspice, bridge, "p", "m") == pytest.approx(
        ohms(bridge, red="p", black="m").resistance_ohm, rel=1e-9
    )
    powered_bridge = bridge.along_with(
        Source(name="battery", plus="p", minus="m", voltage_v=12.7, resistance_ohm=0.011),
        Draw(name="one", plus="l", minus="m", current_a=0.3),
        Draw(name="two", plus="p", minus="r", current_a=1.2),
    )
    number: dict[object, int] = {node: count for count, node in enumerate(["m", "p", "l", "r"])}
    found = operating_point(needs_ngspice, deck_lines(powered_bridge, number), [1, 2, 3])
    solved = solve(powered_bridge)
    for node in ("p", "l", "r"):
        assert found[number[node]] == pytest.approx(solved.volts(red=node, black="m").voltage_v, rel=1e-9)


def test_a_meshed_network_is_quick_enough_to_ask_often() -> None:
    """A hundred places, each joined to each: the largest mesh a robot never has, and still right.

    Between two of n places that are all joined by 1 ohm lie 2/n ohm (worked by hand: the others sit in the middle).
    """
    places = range(100)
    wires = [Resistor(name=(str(a), str(b)), a=str(a), b=str(b), resistance_ohm=1) for a in places for b in range(a)]
    assert ohms(Network(tuple(wires)), red="3", black="77").resistance_ohm == pytest.approx(2 / 100, rel=1e-12)
