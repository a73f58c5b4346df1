"""Rows for data chains and the signal light's jumper."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from loomwright.electrical.board import Side
from loomwright.electrical.bus import Chain, chains, line_node, terminator_ohm
from loomwright.electrical.hand_meter import as_shown, ohm_range, ohm_words
from loomwright.electrical.network_of import network_of
from loomwright.electrical.practice import leads_ohm, practice, practice_source
from loomwright.model.part import Polarity
from loomwright.model.reason import Origin
from loomwright.network import Meter, Node
from loomwright.proof.wake_up_reading import reading
from loomwright.proof.wake_up_result import Expected, Kind, Meaning, Measurement, Probe, Stop, Topic
from loomwright.proof.wake_up_wires import ALL_OUT, EMPTY, wire_row
from loomwright.proof.wake_up_words import at_end, continuity, ohms
from loomwright.rulebook.lookup import called
from loomwright.wiring.result import CircuitKind
from loomwright.wording import natural

if TYPE_CHECKING:
    from collections.abc import Iterator

    from loomwright.proof.wake_up_reading import Readings

_ENDS = 2
_TWO_SWAPPED = (
    "Two joints with high and low swapped hide each other here. The devices between them are then missing on the "
    "program's list at the first power."
)
_LINES = (Polarity.BUS_HIGH, Polarity.BUS_LOW)
_TOUCHING_OHM = 10.0


def data_rows(readings: Readings) -> Iterator[Measurement]:
    """Give the rows of each data chain: across its pair at one end, and along a line from its first device to its last.

    The first is the same where high and low change places at a joint; the second is not. Where terminators stand at
    both ends, the way across shows a break in either line, so that one of them is enough.
    """
    for chain in chains(readings.plan):
        if chain.devices:
            yield _pair(readings, chain)
            if len(chain.devices) > 1 and chain.hops:
                lines = _LINES[:1] if _ends_with_terminators(chain) else _LINES
                yield from (_along(readings, chain, line) for line in lines)


def light_rows(readings: Readings) -> Iterator[Measurement]:
    """Give the row of each signal light's jumper."""
    for circuit in sorted(readings.plan.circuits, key=lambda c: natural(c.id)):
        for wire in circuit.wires:
            if circuit.circuit.kind is CircuitKind.SIGNAL and wire.role == "jumper":
                whose = f"the jumper of {called(readings.plan, circuit.circuit.load)}"
                yield wire_row(readings, wire, whose, topic=Topic.LIGHT, setting=continuity())


def _pair(readings: Readings, chain: Chain) -> Measurement:
    first = chain.devices[0]
    high, low = (line_node(chain, first, line) for line in (Polarity.BUS_HIGH, Polarity.BUS_LOW))
    from_ohm, to_ohm = practice("bus from"), practice("bus to")
    hop = next((hop for hop in chain.hops if first.id in (hop.source, hop.circuit.load)), None)
    return Measurement(
        number=0,
        key=f"{chain.bus.name}: across",
        topic=Topic.DATA,
        about=chain.bus.name,
        what=f"{chain.bus.name}: high against low at {first.id}",
        why="Two terminators side by side: one reading tells whether the whole chain hangs together.",
        board=ALL_OUT,
        red=_line_probe(chain, Polarity.BUS_HIGH, first.id),
        black=_line_probe(chain, Polarity.BUS_LOW, first.id),
        setting=ohms(to_ohm),
        expected=_across(readings, chain, high, low),
        stop=Stop(
            words=f"below {ohm_words(from_ohm)} or above {ohm_words(to_ohm)}",
            then="Read the meaning beside. To find a break, measure again at each device along the chain.",
            source=practice_source("bus from"),
            below=from_ohm,
            above=to_ohm,
        ),
        meanings=tuple(_meanings(readings, chain)) if hop is not None else (),
        wires=tuple(wire.id for hop in chain.hops for wire in hop.wires),
        through=tuple(w.id for hop in chain.hops for w in hop.wires) if _ends_with_terminators(chain) else (),
    )


def _ends_with_terminators(chain: Chain) -> bool:
    """Tell whether current across the pair runs through every joint."""
    ends = {chain.devices[0].id, chain.devices[-1].id}
    return len(ends) == _ENDS and ends == {device.id for device in chain.terminated}


def _along(readings: Readings, chain: Chain, line: Polarity) -> Measurement:
    """Return the row along one line of a chain."""
    first, last = chain.devices[0], chain.devices[-1]
    wires = [w for hop in chain.hops for w in hop.wires if line in (w.a.polarity, w.b.polarity)]
    low, high = readings.span(EMPTY, line_node(chain, first, line), line_node(chain, last, line))
    crossed_ohm = practice("bus from") / 2
    stop_ohm = as_shown(min(high + leads_ohm()[1] + len(wires) * practice("contacts"), crossed_ohm))
    name = "high" if line is Polarity.BUS_HIGH else "low"
    return Measurement(
        number=0,
        key=f"{chain.bus.name}: {name} along",
        topic=Topic.DATA,
        about=chain.bus.name,
        what=f"{chain.bus.name}: {name} at {first.id} against {name} at {last.id}",
        why="Across the pair nobody sees that high and low changed places at a joint. Along one line it shows: the way "
        "then leads through a terminator.",
        board=ALL_OUT,
        red=_line_probe(chain, line, first.id),
        black=_line_probe(chain, line, last.id),
        setting=ohms(stop_ohm),
        expected=reading(low, high, f"{len(wires)} wires in a row; the rest is the meter's leads"),
        stop=Stop(
            words=f"above {ohm_words(stop_ohm)}",
            then=f"Leave one probe on {name} at {first.id}, go with the other from device to device: the fault is in "
            "the joint before the first one that reads too much.",
            source=practice_source("contacts"),
            above=stop_ohm,
        ),
        notes=(_TWO_SWAPPED,),
        meanings=(
            Meaning("tens of ohm", "High and low are swapped at a joint."),
            Meaning("open", "A wire is broken, or a contact is not seated."),
        ),
        wires=tuple(wire.id for wire in wires),
        through=tuple(wire.id for wire in wires),
    )


def _line_probe(chain: Chain, line: Polarity, device: str) -> Probe:
    for hop in chain.hops:
        for wire in hop.wires:
            for end in (wire.a, wire.b):
                if end.device == device and end.polarity is line:
                    return at_end(wire, end)
    return Probe(f"{line} of {device}", device, "", str(line))


def _across(readings: Readings, chain: Chain, high: Node, low: Node) -> Expected:
    """Return what the pair should read, unknown where order or terminators are not known."""
    reason = f"{len(chain.terminated)} terminators, {len(chain.devices)} receivers and the wires between them"
    stated = [terminator_ohm(device) for device in chain.terminated]
    if None in stated or len(stated) != _ENDS or not chain.hops:
        missing = "order" if not chain.hops else "terminators"
        return Expected(
            kind=Kind.UNKNOWN,
            words=f"about 60 Ω if both ends are terminated; not computed, as the {missing} of {chain.bus.name} are not "
            "known",
            reason=f"the file does not say two terminators and the order of {chain.bus.name}",
            origin=Origin.UNKNOWN,
            unknown=(chain.bus.name,),
        )
    rests = (f"{ohm_range(practice('bus input from'), practice('bus input to'))} at each receiver (from memory)",)
    return reading(*readings.span(EMPTY, high, low), reason, rests_on=rests)


def _meanings(readings: Readings, chain: Chain) -> Iterator[Meaning]:
    """Tell what other readings would mean, worked out by breaking the healthy network."""
    if len(chain.terminated) != _ENDS:
        return
    first = chain.devices[0]
    healthy = [network_of(readings.plan, EMPTY, side) for side in Side]
    red, black = (line_node(chain, first, line) for line in (Polarity.BUS_HIGH, Polarity.BUS_LOW))

    def read(opened: list[Node]) -> tuple[float, float]:
        meters = [Meter(network.opened(opened)) for network in healthy]
        low, high = (meter.ohms(red=red, black=black).resistance_ohm for meter in meters)
        return low + leads_ohm()[0], high + leads_ohm()[1]

    terminators: list[Node] = [("terminator", chain.bus.name, device.id) for device in chain.terminated]
    away = [name for name, device in zip(terminators, chain.terminated, strict=True) if device is not first]
    one = read(away[:1])
    yield Meaning(ohm_range(*one), "One terminator is off, or a wire is broken somewhere along the chain.")
    third_ohm = sum(1 / (terminator_ohm(d) or math.inf) for d in (*chain.terminated, first))
    yield Meaning(f"about {ohm_words(1 / third_ohm)}", "A third terminator is on, in the middle of the chain.")
    none = read(terminators)
    yield Meaning(f"{ohm_range(*none)}, or open", "No terminator is reached: both are off, or the first joint is open.")
    yield Meaning(f"below {ohm_words(_TOUCHING_OHM)}", "High and low touch.")
