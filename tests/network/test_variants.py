"""Many changes of one network at once show what each changed network shows when it is solved alone."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loomwright.network import Network, NetworkError, Resistor, Source, ohms, solve
from loomwright.network.variants import Bridge, Change, Other, Variants

NODES = tuple("abcdef")
_OHMS = st.sampled_from([0.0, 2e-4, 0.01, 0.5, 10.0, 1e3, 1e5])
#: Where nothing but the leak ties two nodes together, an ohmmeter here reads more than this [ohm].
_OPEN_OHM = 1e8


@st.composite
def cases(draw: st.DrawFn) -> tuple[Network, list[Change]]:
    """Draw a battery with resistors, and changes of it: breaks, other values, shorts."""
    pairs = draw(st.lists(st.tuples(st.sampled_from(NODES), st.sampled_from(NODES), _OHMS), min_size=2, max_size=10))
    wires = [Resistor(name=f"r{n}", a=a, b=b, resistance_ohm=ohm) for n, (a, b, ohm) in enumerate(pairs) if a != b]
    battery = Source(name="battery", plus="a", minus="b", voltage_v=12.6, resistance_ohm=0.011)
    # Two joints side by side without any resistance share a current as nobody can tell.
    there = [Resistor(name=f"there {n}", a=n, b="far", resistance_ohm=math.inf) for n in NODES]
    others = [
        Other(name=draw(st.sampled_from([w.name for w in wires] + ["battery"])), resistance_ohm=draw(_CHANGED_OHM))
        for _ in range(2)
    ]
    bridge = Bridge(a=draw(st.sampled_from(NODES[:3])), b=draw(st.sampled_from(NODES[3:])), resistance_ohm=0.02)
    return Network((battery, *wires, *there)), [None, *others, bridge]


_CHANGED_OHM = st.sampled_from([0.05, 20.0, math.inf])


def changed(network: Network, change: Change) -> Network:
    """Change a network the plain way."""
    if isinstance(change, Bridge):
        return network.along_with(Resistor(name="x", a=change.a, b=change.b, resistance_ohm=change.resistance_ohm))
    return network if change is None else network.changed(change.name, resistance_ohm=change.resistance_ohm)


@settings(deadline=None)
@given(cases())
def test_volts_are_those_of_the_network_solved_alone(case: tuple[Network, list[Change]]) -> None:
    """Every node against minus, for every change."""
    network, changes = case
    many = Variants(network, changes)
    for place, change in enumerate(changes):
        alone = solve(changed(network, change))
        for node in NODES[:1] + NODES[2:]:
            told_v = alone.volts(red=node, black="b").voltage_v
            if told_v is not None:
                assert many.volts(node, "b")[place] == pytest.approx(told_v, rel=0.05, abs=2e-3)


@settings(deadline=None)
@given(cases())
def test_ohms_are_those_of_the_network_with_its_battery_as_a_resistance(case: tuple[Network, list[Change]]) -> None:
    """An ohmmeter between every node and minus; open is more than 100 megohm."""
    network, changes = case
    dead = [
        Resistor(name=e.name, a=e.plus, b=e.minus, resistance_ohm=e.resistance_ohm) if isinstance(e, Source) else e
        for e in network.elements
    ]
    many = Variants(network, changes)
    for place, change in enumerate(changes):
        alone = changed(Network(tuple(dead)), change)
        for node in NODES[2:]:
            told = ohms(alone, red=node, black="b")
            found_ohm = float(many.ohms(node, "b")[place])
            if told.open:
                assert found_ohm > _OPEN_OHM
            else:
                assert found_ohm == pytest.approx(told.resistance_ohm, rel=1e-3, abs=1e-5)


def test_a_poor_joint_before_a_lamp_by_hand() -> None:
    """12 V, 1 ohm in line, a lamp of 11 ohm: 1 A and 11 V; with 12 ohm more in line half of it, open none."""
    network = Network(
        (
            Source(name="battery", plus="plus", minus="minus", voltage_v=12.0),
            Resistor(name="joint", a="plus", b="lamp", resistance_ohm=1.0),
            Resistor(name="lamp", a="lamp", b="minus", resistance_ohm=11.0),
        )
    )
    changes = [
        None,
        Other(name="joint", resistance_ohm=13.0),
        Other(name="joint", resistance_ohm=math.inf),
        Bridge(a="lamp", b="minus", resistance_ohm=11.0),
    ]
    many = Variants(network, changes)
    assert many.volts("lamp", "minus") == pytest.approx([11.0, 5.5, 0.0, 12 * 5.5 / 6.5], abs=1e-4)


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (Other(name="lump", resistance_ohm=1.0), "No resistor and no source is called `lump`"),
        (Other(name="pulled", resistance_ohm=1.0), "open already"),
        (Bridge(a="plus", b="moon", resistance_ohm=1.0), "no node `moon`"),
        (Bridge(a="plus", b="minus", resistance_ohm=0.0), "no resistance"),
    ],
)
def test_a_change_that_can_not_be_is_refused(change: Change, words: str) -> None:
    """It says what is wrong with it."""
    network = Network(
        (
            Source(name="battery", plus="plus", minus="minus", voltage_v=12.0),
            Resistor(name="lamp", a="plus", b="minus", resistance_ohm=11.0),
            Resistor(name="pulled", a="plus", b="minus", resistance_ohm=math.inf),
        )
    )
    with pytest.raises(NetworkError, match=words):
        Variants(network, [change])
