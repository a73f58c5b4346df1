"""Volts to read during the first power: at the block, and at the end of each feed, with the drop at idle."""

from __future__ import annotations

from typing import TYPE_CHECKING

from loomwright.electrical.board import Side
from loomwright.electrical.network_of import end_node
from loomwright.electrical.parts import minus_node, plus_node
from loomwright.electrical.power import ON_COMMAND, alive, idle_a, power_network
from loomwright.electrical.practice import practice, practice_source
from loomwright.model.part import Polarity
from loomwright.model.reason import Origin
from loomwright.network import Node, volts
from loomwright.proof.wake_up_battery import rested
from loomwright.proof.wake_up_board import blocks, main_port
from loomwright.proof.wake_up_result import Expected, Kind, Measurement, Stop, Topic
from loomwright.proof.wake_up_words import at_end, dc_volts, names, volt_range, volt_words
from loomwright.rulebook.lookup import called, outlet_of
from loomwright.wiring.result import CircuitKind
from loomwright.wording import natural

if TYPE_CHECKING:
    from collections.abc import Iterator

    from loomwright.plan.result import Plan, PlannedCircuit

LIVE = "battery in, main breaker on"


def block_reading(plan: Plan) -> Iterator[Measurement]:
    """Give the reading at each block with nothing in it."""
    for block, supply in blocks(plan):
        least_v = practice("battery not below")
        yield Measurement(
            number=0,
            key=f"{block.id}: volts, empty",
            topic=Topic.POWER,
            about=block.id,
            what=f"Volts at the main terminals of {block.id}",
            why="The battery's own voltage has to come through plug, breaker and leads; nothing draws yet.",
            board=LIVE,
            red=main_port(block, supply, Polarity.PLUS),
            black=main_port(block, supply, Polarity.MINUS),
            setting=dc_volts(),
            expected=_volts(plan, frozenset(), plus_node(block, supply), minus_node(block, supply), regulated=False),
            stop=Stop(
                words=f"a minus sign, or below {volt_words(least_v)}",
                then="Main breaker off, plug apart. A minus sign: leads swapped. Nothing: breaker, plug or a lug.",
                source=practice_source("battery not below"),
                below=least_v,
            ),
        )


def feed_readings(plan: Plan, circuit: PlannedCircuit, fitted: frozenset[str]) -> Iterator[Measurement]:
    """Give the readings at the end of a feed that was put in last, and at the ends of outputs that come with it."""
    hanging = [c for c in plan.circuits if c.source == circuit.circuit.load and c.circuit.kind is CircuitKind.OUTPUT]
    for found in (circuit, *sorted(hanging, key=lambda c: natural(c.id))):
        outlet = outlet_of(plan, found)
        if outlet is not None and outlet.use not in (*ON_COMMAND, "signal light"):
            yield from _at_end(plan, found, fitted, nominal_v=outlet.volts)


def _at_end(
    plan: Plan, circuit: PlannedCircuit, fitted: frozenset[str], *, nominal_v: float | None
) -> Iterator[Measurement]:
    ends = {wire.b.polarity: wire for wire in circuit.wires if not wire.captive}
    plus, minus = ends.get(Polarity.PLUS), ends.get(Polarity.MINUS)
    if plus is None or minus is None:
        return
    name = called(plan, circuit.circuit.load)
    nodes = end_node(plus, plus.b), end_node(minus, minus.b)
    expected = _volts(plan, fitted, *nodes, regulated=nominal_v is not None)
    below_v = None if expected.low is None else expected.low - practice("lost at most")
    yield Measurement(
        number=0,
        key=f"{circuit.id}: volts",
        topic=Topic.POWER,
        about=circuit.id,
        what=f"Volts at {name}, with its sign",
        why="Polarity and drop of this feed, at the device itself.",
        board=LIVE,
        red=at_end(plus, plus.b),
        black=at_end(minus, minus.b),
        setting=dc_volts(),
        expected=expected,
        stop=Stop(
            words="a minus sign" + ("" if below_v is None else f", or below {volt_words(below_v)}"),
            then="Main breaker off. A minus sign: the pair is swapped. Too little: a bad joint in this feed; feel for "
            "warmth, measure its wires again.",
            source=practice_source("lost at most"),
            below=below_v if below_v is not None else 0.0,
        ),
        wires=(plus.id, minus.id),
    )


def _volts(plan: Plan, fitted: frozenset[str], red: Node, black: Node, *, regulated: bool) -> Expected:
    """Return what should stand between two nodes, with the drop of what is on at idle."""
    battery = plan.robot.device("battery")
    networks = [power_network(plan, fitted, side) for side in Side]
    found = [volts(network, red=red, black=black).voltage_v for network in networks if network is not None]
    low, high = (found[0], found[1]) if len(found) == len(Side) else (None, None)
    if low is None or high is None:
        if battery is not None:
            return rested(battery) if not networks[0] else _not_fed()
        return _not_fed()
    silent = [device.id for device in alive(plan, fitted) if idle_a(device) is None and device.kind != "block"]
    rests = [f"what {names(sorted(silent, key=natural))} takes at idle is not known and left out"] if silent else []
    if regulated:
        rests.append("how far the output may be from its voltage is from memory")
    return Expected(
        kind=Kind.RANGE,
        words=volt_range(low, high),
        reason="a rested battery less what is lost at idle" if not regulated else "the output less its wires",
        origin=Origin.COMPUTED,
        low=low,
        high=high,
        rests_on=tuple(rests),
    )


def _not_fed() -> Expected:
    return Expected(
        kind=Kind.UNKNOWN,
        words="a plus sign; how much is not known",
        reason="the way from the battery is not known",
        origin=Origin.UNKNOWN,
    )
