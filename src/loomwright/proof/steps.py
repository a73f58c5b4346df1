"""Steps of the building: wires that are made together, what has to be on them in time, and what is still missing."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from loomwright.model.part import Polarity, PortKind
from loomwright.plan.result import Plan, PlannedCircuit, PlannedEnd, PlannedWire
from loomwright.proof.ends import ends_of
from loomwright.wording import listed

#: Holds for every wire that is made again.
REWIRED: Final = "An end that is cut off and made again gets a new flag if the old one is cut, torn or can't be read."
#: What an insulation's words call for and that has to be on the wire before its end is closed.
_SLID_ON: Final = ("heat-shrink", "boot")
CLAMPS: Final = frozenset({PortKind.LEVER, PortKind.PUSH, PortKind.SCREW})


class Work(StrEnum):
    """What is done with a wire."""

    CUT = "cut and make"
    LEAD = "end the part's own lead"
    PLUG = "plug in"


@dataclass(frozen=True, slots=True)
class Step:
    """Wires that are made together: a bonded pair, three phases, a data pair, a cable, a single lead.

    `second` is the letter of the end that is made last, "" where nobody makes one; what `waits_for` names has to be on
    the wire before. `to_cover` are leads that come out beside these wires and that no wire goes to. `missing` says
    what has to be known before it can be made. `at_battery` marks a lead of the battery itself, `made` wires that are
    on the robot already.
    """

    circuit: str
    wires: tuple[str, ...]
    work: Work
    path: tuple[str, ...]
    first: str
    second: str
    waits_for: tuple[str, ...]
    to_cover: tuple[str, ...]
    missing: tuple[str, ...]
    at_battery: bool
    made: bool

    @property
    def reminder(self) -> str:
        """What to put on the wire, and when, and what to cover, in sentences."""
        things = listed(self.waits_for, "and")
        on = f"Before end {self.second} is made, put on {things}." if self.second else f"Put on {things}."
        return f"{on} {cover(self.to_cover)}".rstrip()


def cover(leads: Sequence[str]) -> str:
    """Return what is done with leads that no wire goes to, in a sentence; "" where there are none."""
    return f"Insulate the bare end of {listed(leads, 'and')}: no wire goes there." if leads else ""


def steps_of(plan: Plan, circuit: PlannedCircuit) -> Iterator[tuple[Step, tuple[PlannedWire, ...]]]:
    """Give the steps of one circuit with their wires: what leads from one device to another is made together."""
    together: dict[tuple[str, ...], list[PlannedWire]] = {}
    for wire in circuit.wires:
        together.setdefault((wire.a.device, wire.a.socket, wire.b.device, wire.b.socket), []).append(wire)
    for wires in together.values():
        yield _step(plan, circuit, wires), tuple(wires)


def _step(plan: Plan, circuit: PlannedCircuit, wires: list[PlannedWire]) -> Step:
    work = _work(wires)
    at_battery = any(_is_battery(plan, end.device) for wire in wires for end in (wire.a, wire.b))
    made = all(wire.key in plan.made for wire in wires)
    first, second = _ends_in_turn(wires, work, at_battery=at_battery)
    return Step(
        circuit=circuit.id,
        wires=tuple(wire.id for wire in wires),
        work=work,
        path=max((wire.path for wire in wires), key=len),
        first=first,
        second=second,
        waits_for=("flag A", "flag B", *_slid_on(wires)),
        to_cover=() if work is Work.PLUG else tuple(_left_bare(plan, circuit, wires)),
        at_battery=at_battery,
        missing=() if made else tuple(dict.fromkeys(word for wire in wires for word in _missing(wire, work))),
        made=made,
    )


def _is_battery(plan: Plan, device_id: str) -> bool:
    device = plan.robot.device(device_id)
    return device is not None and device.kind == "battery"


def _work(wires: list[PlannedWire]) -> Work:
    """Tell what is done: nothing is stripped on a cable that is bought or fitted with both of its plugs."""
    treated = [end.treatment for wire in wires for end in ends_of(wire) if end.treatment is not None]
    cable = all(wire.a.polarity is Polarity.CABLE for wire in wires)
    if cable or (treated and all(treatment.strip_m is None for treatment in treated)):
        return Work.PLUG
    return Work.LEAD if all(wire.captive for wire in wires) else Work.CUT


def _ends_in_turn(wires: list[PlannedWire], work: Work, *, at_battery: bool) -> tuple[str, str]:
    """Return which end is made first and which second.

    An end that a clamp holds bare is closed in place, after one that is made on the bench; of two alike the one nearer
    to the battery comes second, and the one at the battery itself always.
    """
    letters = sorted({end.letter for wire in wires for end in ends_of(wire)})
    if work is Work.PLUG or not letters:
        return "", ""
    if len(letters) == 1:
        return "", letters[0]
    at_a, at_b = (
        {end.port.kind for end in ends if end.port} for ends in zip(*((w.a, w.b) for w in wires), strict=True)
    )
    in_place = bool(at_b & CLAMPS) and not at_a & CLAMPS and not at_battery
    return ("A", "B") if in_place else ("B", "A")


def _slid_on(wires: list[PlannedWire]) -> Iterator[str]:
    found = {
        f"{thing} for end {end.letter}"
        for wire in wires
        for end in ends_of(wire)
        for thing in _SLID_ON
        if end.treatment is not None and thing in end.treatment.insulation
    }
    yield from sorted(found, key=lambda words: (words[-1], words))


def _left_bare(plan: Plan, circuit: PlannedCircuit, wires: list[PlannedWire]) -> Iterator[str]:
    """Give the leads of the sockets of these wires that nothing is joined to: the third phase of a brushed motor."""
    joined = {(end.device, end.socket, end.polarity) for wire in circuit.wires for end in (wire.a, wire.b)}
    for device_id, socket_name in dict.fromkeys((end.device, end.socket) for w in wires for end in (w.a, w.b)):
        device = plan.robot.device(device_id)
        socket = device.part.socket(socket_name) if device is not None else None
        for port in socket.ports if socket is not None else ():
            if port.kind is PortKind.LEAD and (device_id, socket_name, port.polarity) not in joined:
                yield f"{device_id} {socket_name} {port.polarity}"


def _missing(wire: PlannedWire, work: Work) -> Iterator[str]:
    if work is Work.PLUG:
        if not wire.captive and wire.length_m is None:
            yield "its length, so that the right cable is bought"
    else:
        if wire.gauge is None:
            yield "its gauge"
        if wire.length_m is None and not wire.captive:
            yield "its length"
    for end in ends_of(wire):
        yield from _missing_at(wire, end)


def _missing_at(wire: PlannedWire, end: PlannedEnd) -> Iterator[str]:
    """Tell what is not known of an end; a terminal that only waits for the gauge is not asked twice."""
    if not end.device or not end.socket:
        yield f"where end {end.letter} goes"
    elif end.treatment is None and (wire.gauge is not None or wire.a.polarity is Polarity.CABLE):
        yield f"a terminal for end {end.letter}"
