"""What a lost wire takes down, found without any current: wires as edges of a graph, one of them deleted.

Plus flows from the battery outwards. Minus is one net: where the minus of a signal lead joins two devices that are fed
apart, it is a way back for both.
"""

from __future__ import annotations

from dataclasses import dataclass

import networkx as nx

from loomwright.model.device import Device
from loomwright.plan.result import Plan, PlannedCircuit, PlannedWire

_POWER = ("main", "feeder", "branch", "output")
_POLES = ("plus", "minus")


@dataclass(frozen=True)
class Lost:
    """What is down: no power; power but out of reach; motors that do not run."""

    dark: frozenset[str]
    missing: frozenset[str]
    motors: frozenset[str]


def lost_without(plan: Plan, gone: str) -> Lost:
    """Return what is down once a wire lets nothing through."""
    dark = _dark(plan, gone)
    missing = (_out_of_reach(plan, gone, dark) - _out_of_reach(plan, "", frozenset())) - dark
    return Lost(dark, frozenset(missing), frozenset(_stopped(plan, gone, dark, frozenset(missing))))


def dark_by_dominators(plan: Plan) -> dict[str, frozenset[str]]:
    """Return for each wire the devices to which every way of one pole from the battery goes through it."""
    found: dict[str, set[str]] = {wire.id: set() for wire in plan.wires}
    for pole in _POLES:
        graph: nx.DiGraph[str] = nx.DiGraph()
        for wire in _wires(plan, pole):
            way = [wire.a.device, f"wire {wire.id}", wire.b.device]
            nx.add_path(graph, way)
            if pole == "minus":
                nx.add_path(graph, way[::-1])
        above = nx.immediate_dominators(graph, "battery")
        for load in _loads(plan):
            node = load
            while node != "battery":
                node = above[node]
                if node.startswith("wire "):
                    found[node.removeprefix("wire ")].add(load)
    for load, wires in _coils(plan).items():
        for name in wires:
            found[name].add(load)
    return {wire: frozenset(loads) for wire, loads in found.items()}


def _wires(plan: Plan, pole: str) -> list[PlannedWire]:
    """Return the wires of one pole; a cable is of both, and minus of signal leads is minus like any other."""
    kinds = (*_POWER, "signal") if pole == "minus" else _POWER
    found = [wire for circuit in plan.circuits if str(circuit.circuit.kind) in kinds for wire in circuit.wires]
    return [wire for wire in found if str(wire.a.polarity) in (pole, "cable")]


def _loads(plan: Plan) -> set[str]:
    """Return what takes power, or hands it on to protected slots."""
    ends = {wire.b.device for wire in _wires(plan, "plus")}
    return {name for name in ends if _device(plan, name).kind not in ("plug", "breaker", "battery")}


def _dark(plan: Plan, gone: str) -> frozenset[str]:
    loads, lit = _loads(plan), {""}
    plus = nx.DiGraph([(w.a.device, w.b.device) for w in _wires(plan, "plus") if w.id != gone])
    minus = nx.Graph([(w.a.device, w.b.device) for w in _wires(plan, "minus") if w.id != gone])
    while True:
        now = loads & _from(plus, "battery") & _from(minus, "battery")
        if now == lit:
            return frozenset(loads - lit) | {load for load, wires in _coils(plan).items() if gone in wires}
        lit = now
        plus.remove_edges_from([edge for edge in plus.edges if edge[0] in loads - lit])


def _coils(plan: Plan) -> dict[str, set[str]]:
    """Return the wires of what a program switches on: a valve of two coils needs both, all of their wires."""
    fed = {load: _device(plan, load).kind for load in _loads(plan)}
    return {
        load: {
            wire.id
            for c in plan.circuits
            if c.circuit.load == load and str(c.circuit.kind) in _POWER
            for wire in c.wires
        }
        for load, kind in fed.items()
        if kind in ("valve", "compressor")
    }


def _from(graph: nx.Graph[str], start: str) -> set[str]:
    return set(nx.descendants(graph, start)) if start in graph else set()


def _out_of_reach(plan: Plan, gone: str, dark: frozenset[str]) -> set[str]:
    host = _host(plan)
    on_lists: set[str] = set()
    reached: set[str] = set()
    for path in {c.circuit.path for c in plan.circuits if str(c.circuit.kind) == "bus"}:
        hops = [c for c in plan.circuits if str(c.circuit.kind) == "bus" and c.circuit.path == path]
        found = [_reached(hops, line, gone, host) for line in ("bus high", "bus low")]
        members = {end.device for c in hops for w in c.wires for end in (w.a, w.b)}
        on_lists |= {name for name in members if _device(plan, name).kind != "terminator"}
        reached |= found[0] & found[1] & members
    cables = [c for c in plan.circuits if str(c.circuit.kind) == "network"]
    graph: nx.Graph[str] = nx.Graph([(w.a.device, w.b.device) for c in cables for w in c.wires if w.id != gone])
    graph.remove_nodes_from([name for name in dark if name in graph and _device(plan, name).kind != "regulator"])
    linked = nx.node_connected_component(graph, host) if host in graph else set()
    on_lists |= {end.device for c in cables for w in c.wires for end in (w.a, w.b)}
    reached |= linked
    for device in (d for d in plan.robot if d.kind == "radio" and d.id not in on_lists):
        if feeds := [w.a.device for w in _wires(plan, "cable") if w.b.device == device.id]:
            on_lists.add(device.id)
            reached |= {device.id} if feeds[0] in linked else set()
    for circuit in plan.circuits:
        ends = {end.device for wire in circuit.wires for end in (wire.a, wire.b)}
        sensor = str(circuit.circuit.kind) == "signal" and _device(plan, circuit.circuit.load).kind == "sensor"
        if sensor and host in ends:
            on_lists.add(circuit.circuit.load)
            whole = all(wire.id != gone for wire in circuit.wires) and host not in dark
            reached |= {circuit.circuit.load} if whole else set()
    return on_lists - (reached if host not in dark else set()) - {host}


def _reached(hops: list[PlannedCircuit], line: str, gone: str, host: str) -> set[str]:
    graph: nx.Graph[str] = nx.Graph()
    for wire in (wire for hop in hops for wire in hop.wires if str(wire.a.polarity) == line):
        graph.add_nodes_from([wire.a.device, wire.b.device])
        if wire.id != gone:
            graph.add_edge(wire.a.device, wire.b.device)
    return nx.node_connected_component(graph, host) if host in graph else set()


def _stopped(plan: Plan, gone: str, dark: frozenset[str], missing: frozenset[str]) -> set[str]:
    stopped = set()
    for motor in (device for device in plan.robot if device.kind == "motor"):
        driver = motor.driven_by or motor.id
        pulse = [c for c in plan.circuits if str(c.circuit.kind) == "signal" and c.circuit.load == driver]
        leads = [c for c in plan.circuits if str(c.circuit.kind) == "motor" and c.circuit.load == motor.id]
        cut = [w.id for c in leads for w in c.wires] + [w.id for c in pulse for w in c.wires if w.role == "signal"]
        if {driver, _host(plan)} & dark or driver in missing or gone in cut:
            stopped.add(motor.id)
    return stopped


def _host(plan: Plan) -> str:
    return next(device.id for device in plan.robot if device.part.id == "computer/robot-controller")


def _device(plan: Plan, name: str) -> Device:
    found = plan.robot.device(name)
    assert found is not None, name
    return found
