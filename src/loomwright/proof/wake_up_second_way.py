"""A second way round a wire: signal leads bring a minus of their own, and hide a break from the meter."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from loomwright.electrical.board import Side
from loomwright.electrical.network_of import end_node, network_of, wire_name, wire_ohm
from loomwright.model.part import Polarity
from loomwright.network import Meter, Source, solve
from loomwright.proof.wake_up_words import names
from loomwright.wiring.result import CircuitKind
from loomwright.wording import listed, natural

if TYPE_CHECKING:
    from loomwright.electrical.board import Board
    from loomwright.network import Network
    from loomwright.plan.result import Plan, PlannedWire
    from loomwright.proof.wake_up_reading import Readings

_SHARE = 1e-6
"""A lead that carries less than this share of the current is no way."""


def second_way(readings: Readings, board: Board, wire: PlannedWire, *, hidden_ohm: float) -> tuple[str, ...]:
    """Say which leads to pull before a wire is measured, so that no other way of less than this [ohm] hides a break."""
    plan = readings.plan
    if _beside_ohm(readings, board, wire) > hidden_ohm:
        return ()
    broken = _without(plan, board, wire)
    leads = _signal_minus(plan)
    near = [lead for lead in leads if wire.b.device in (lead.a.device, lead.b.device)]
    carrying = [lead for lead in leads if lead in near or _carries(broken, wire, lead)]
    pulled = near if _parted(broken, wire, near) else carrying
    if not pulled or not _parted(broken, wire, pulled):
        return ("Take one end off first: other ways lead round this wire and would hide a break.",)
    one = len({(lead.a.device, lead.a.socket) for lead in pulled}) == 1
    do = f"Unplug {names(_plugs(pulled))} first, and plug {'it' if one else 'them'} in again after"
    return (f"{do}: the minus there is a second way that would hide a break.",)


def _plugs(pulled: list[PlannedWire]) -> list[str]:
    """Say which plugs part these leads, device by device: a single contact is not pulled out of a housing."""
    held: dict[str, list[str]] = {}
    for lead in pulled:
        held.setdefault(lead.a.device, []).append(lead.a.socket)
    return [f"{listed(sorted(set(sockets), key=natural), 'and')} of {device}" for device, sockets in held.items()]


def _beside_ohm(readings: Readings, board: Board, wire: PlannedWire) -> float:
    """Return the least that lies beside a wire [ohm]: one over the reading, less one over the wire's own."""
    own_ohm = wire_ohm(wire)[0]
    red, black = end_node(wire, wire.a), end_node(wire, wire.b)
    if not own_ohm:
        return Meter(_without(readings.plan, board, wire)).ohms(red=red, black=black).resistance_ohm
    all_ohm = readings.meter(board, Side.LOW, inputs=False).ohms(red=red, black=black).resistance_ohm
    rest_s = 1 / all_ohm - 1 / own_ohm if all_ohm else math.inf
    return 1 / rest_s if rest_s > _SHARE else math.inf


def _without(plan: Plan, board: Board, wire: PlannedWire) -> Network:
    """Return the network with one wire cut; leads of unknown length count as nothing, as they may be short."""
    return network_of(plan, board, Side.LOW, inputs=False, data=False).opened([wire_name(wire)])


def _signal_minus(plan: Plan) -> list[PlannedWire]:
    signals = [circuit for circuit in plan.circuits if circuit.circuit.kind is CircuitKind.SIGNAL]
    found = [w for circuit in signals for w in circuit.wires if w.b.polarity is Polarity.MINUS]
    return sorted(found, key=lambda wire: natural(wire.id))


def _carries(broken: Network, wire: PlannedWire, lead: PlannedWire) -> bool:
    test = Source(name="test", plus=end_node(wire, wire.a), minus=end_node(wire, wire.b), voltage_v=1, resistance_ohm=1)
    current_a = solve(broken.along_with(test)).current_a
    return abs(current_a.get(wire_name(lead), 0.0)) > _SHARE * abs(current_a["test"])


def _parted(broken: Network, wire: PlannedWire, pulled: list[PlannedWire]) -> bool:
    meter = Meter(broken.opened([wire_name(lead) for lead in pulled]))
    return meter.ohms(red=end_node(wire, wire.a), black=end_node(wire, wire.b)).open
