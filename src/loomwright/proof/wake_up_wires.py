"""Rows for wires: each from end to end, and plus against minus at every slot."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Final

from loomwright.electrical.board import Board
from loomwright.electrical.hand_meter import ohm_words
from loomwright.electrical.network_of import copper_ohm, end_node, wire_limit_ohm
from loomwright.electrical.parts import WINDING, input_span, passes_plus
from loomwright.electrical.practice import leads_ohm, practice, practice_source
from loomwright.model.part import Polarity
from loomwright.model.reason import Origin
from loomwright.proof.wake_up_reading import Readings, polar, reading, slow
from loomwright.proof.wake_up_result import Expected, Kind, Meaning, Measurement, Setting, Stop, Topic
from loomwright.proof.wake_up_second_way import second_way
from loomwright.proof.wake_up_words import at_end, ohms
from loomwright.rulebook.lookup import outlet_of
from loomwright.units import Dimension, show
from loomwright.wiring.result import CircuitKind
from loomwright.wording import natural

if TYPE_CHECKING:
    from collections.abc import Iterator

    from loomwright.model.device import Device
    from loomwright.plan.result import Plan, PlannedCircuit, PlannedWire

EMPTY: Final = Board()
ALL_OUT: Final = "every breaker and fuse out"
WAIT: Final = "The reading starts low and rises while capacitors charge. Wait until it stands still, up to a minute."
_FEEDS: Final = (CircuitKind.FEEDER, CircuitKind.BRANCH, CircuitKind.OUTPUT)


def branch_rows(readings: Readings) -> Iterator[Measurement]:
    """Give the rows of every feed, slot by slot: both wires from end to end, then plus against minus."""
    for circuit in feeds_in_order(readings.plan):
        if circuit.source and circuit.slot.value:
            for wire in circuit.wires:
                if wire.a.polarity is not Polarity.CABLE and not wire.captive:
                    yield wire_row(readings, wire, f"{wire.b.polarity} of {circuit.id}", topic=Topic.BRANCH)
            yield from _across(readings, circuit)


def feeds_in_order(plan: Plan) -> list[PlannedCircuit]:
    """Return every circuit that brings power from a slot or an output, in the order in which slots stand."""
    feeds = [circuit for circuit in plan.circuits if circuit.circuit.kind in _FEEDS]
    return sorted(feeds, key=lambda c: (natural(c.source), natural(c.slot.value or ""), natural(c.id)))


def wire_row(
    readings: Readings, wire: PlannedWire, whose: str, *, topic: Topic, setting: Setting | None = None
) -> Measurement:
    """Return the row that proves one wire from end to end."""
    stop_ohm = wire_limit_ohm(wire)
    return Measurement(
        number=0,
        key=f"{wire.circuit}: {wire.role}",
        topic=topic,
        about=wire.circuit,
        what=f"{wire.id}, {whose}, from end to end",
        why="A cut wire or a bad crimp shows here. Go by the marking of each terminal, not by the colour: then swapped "
        "wires show as well.",
        board=ALL_OUT,
        red=at_end(wire, wire.a),
        black=at_end(wire, wire.b),
        setting=setting or ohms(stop_ohm),
        expected=_sound(wire),
        stop=Stop(
            words=f"above {ohm_words(stop_ohm)}",
            then="Pull gently at both ends, look for strands outside and for insulation in the crimp. Make the bad end "
            "again; a kiloohm or more says that the two wires of the pair are swapped.",
            source=practice_source("contacts"),
            above=stop_ohm,
        ),
        first=second_way(readings, EMPTY, wire, hidden_ohm=stop_ohm - leads_ohm()[0]),
        wires=(wire.id,),
        through=(wire.id,),
    )


def _sound(wire: PlannedWire) -> Expected:
    """Return what a sound wire reads by itself: other ways are pulled first, or have far more than it."""
    copper = copper_ohm(wire)
    if copper is None:
        missing = "gauge" if wire.gauge is None else "length"
        return Expected(
            kind=Kind.UNKNOWN,
            words=f"hardly more than the leads alone; not computed, as the {missing} of {wire.id} is not known",
            reason=f"the {missing} of {wire.id} is not known",
            origin=Origin.UNKNOWN,
            unknown=(wire.id,),
        )
    length = show(wire.length_m or 0.0, Dimension.LENGTH)
    reason = f"{length} of {wire.gauge} copper has {show(copper, Dimension.RESISTANCE)}; the rest is the meter's leads"
    return reading(copper, copper, reason)


def _across(readings: Readings, circuit: PlannedCircuit) -> Iterator[Measurement]:
    """Give the row of plus against minus at a slot or an output whose protection is out."""
    plan = readings.plan
    wires = {wire.a.polarity: wire for wire in circuit.wires}
    plus, minus = wires.get(Polarity.PLUS), wires.get(Polarity.MINUS)
    if plus is None or minus is None:
        return
    red, black = end_node(plus, plus.a), end_node(minus, minus.a)
    source, outlet = plan.robot.device(circuit.source), outlet_of(plan, circuit)
    made = source is not None and outlet is not None and not passes_plus(source.part, outlet)
    own = f"the output {outlet.name} of {source.id}" if made and source is not None and outlet is not None else ""
    across = readings.attached(EMPTY, red, black)
    winding = any(_hides_a_short(device) for device in across)
    name = circuit.id
    reason = f"what lies across the wires of {name}"
    expected = readings.expected(EMPTY, red, black, reason, also_unknown=own)
    swapped = readings.expected(EMPTY, black, red, reason, swapped=True, also_unknown=own)
    yield Measurement(
        number=0,
        key=f"{circuit.id}: plus to minus",
        topic=Topic.BRANCH,
        about=circuit.id,
        what=f"No short on the wires of {name}, plus to minus",
        why="A pinched wire, a stray strand or swarf joins plus and minus. Find it before a battery does.",
        board=ALL_OUT,
        red=at_end(plus, plus.a),
        black=at_end(minus, minus.a),
        setting=ohms(expected.high if expected.high is not None else math.inf),
        expected=expected,
        swapped=swapped if own or polar(across) else None,
        stop=None if winding else _no_short(expected),
        notes=_notes(winding=winding, rises=slow(across)),
        meanings=tuple(_low(expected)),
        wires=(plus.id, minus.id),
    )


def _hides_a_short(device: Device) -> bool:
    """Tell whether a device's own winding reads about as little as a short."""
    span = input_span(device, swapped=False)
    return device.part.word("plus to minus") == WINDING and span is not None and span[0] < 2 * practice("short")


def _no_short(expected: Expected) -> Stop:
    limit = "good insulation" if expected.kind is Kind.OPEN else "short"
    return Stop(
        words=f"below {ohm_words(practice(limit))}, and it stays there",
        then="Take the device's end off and measure again. Gone: the device. Still there: the wires; follow them.",
        source=practice_source(limit),
        below=practice(limit),
    )


def _notes(*, winding: bool, rises: bool) -> tuple[str, ...]:
    told = [WAIT] if rises else []
    if winding:
        told.append("A winding lies across, so a short can't be told from it here: look along both wires instead.")
    return tuple(told)


def _low(expected: Expected) -> Iterator[Meaning]:
    """Tell of a reading between the limit and what was computed: no reason to stop, but to look."""
    if (expected.low or 0.0) > practice("short"):
        yield Meaning(
            "steady above stop, but below what it should read",
            "No dead short, but less than was computed. Compare it with the same kind of device elsewhere, and look.",
        )
