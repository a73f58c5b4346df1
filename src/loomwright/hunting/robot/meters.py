"""What a meter shows in every case: volts with the battery in, ohms without."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING, TypeAlias

import numpy as np

from loomwright.electrical.bus import chains, line_node
from loomwright.electrical.network_of import FRAME, end_node, wire_limit_ohm
from loomwright.electrical.parts import minus_node, plus_node
from loomwright.electrical.power import ON_COMMAND
from loomwright.hunting.robot.cases import at_feed, at_load, breaks_itself
from loomwright.hunting.robot.faults import FaultKind, has_protection, is_fuse, is_pair
from loomwright.hunting.robot.practice import practice
from loomwright.hunting.robot.shown import Scale, Shown, below_ohm, below_v, columns
from loomwright.model.part import Polarity
from loomwright.rulebook.lookup import is_fed, outlet_of
from loomwright.wiring.battery_path import top_blocks
from loomwright.wiring.result import CircuitKind

if TYPE_CHECKING:
    from collections.abc import Iterator

    import numpy.typing as npt

    from loomwright.hunting.robot.chain import Programs
    from loomwright.hunting.robot.measured import Networks
    from loomwright.model.device import Device
    from loomwright.network import Node
    from loomwright.plan.result import PlannedCircuit, PlannedWire

    Floats: TypeAlias = npt.NDArray[np.float64]

_LEADS_OHM = 0.3
#: So many terminators a chain has; one that is planned otherwise has nothing to read there.
_TERMINATORS = 2
#: The place of "none" among the outcomes of volts.
_NONE = 2
#: What the ohms across the pair of a chain tell: terminators side by side, each 120 ohm (source: common practice).
_BUS_BANDS = (
    ("shorted", 33.0),
    ("three terminators", 50.0),
    ("two terminators", 70.0),
    ("one terminator", 200.0),
    ("open", math.inf),
)
_BATTERY = "battery"
_MAIN_TO_FRAME = "Ohms, highest range. Everything in, main breaker off: red on {red}, black on bare metal of the frame."


def meter_checks(programs: Programs, networks: Networks) -> Iterator[Shown]:
    """Give every check that takes a meter on a robot at rest."""
    plan = programs.plan
    for circuit in plan.circuits:
        kind = circuit.circuit.kind
        if kind is CircuitKind.MAIN or (is_pair(circuit) and is_fed(circuit)):
            if not on_command(programs, circuit):
                yield from _volts(programs, circuit)
            if kind is CircuitKind.MAIN or has_protection(circuit):
                yield from _frame(networks, circuit)
            if has_protection(circuit):
                yield _across(networks, circuit)
    for wire in plan.wires:
        if probed(wire):
            yield _ohms(programs, networks, wire)
    for block in top_blocks(plan.robot):
        yield _rail(programs, networks, block)
    yield from _chain_checks(programs, networks)
    yield from _battery(programs)


def on_command(programs: Programs, circuit: PlannedCircuit) -> bool:
    """Tell whether a circuit has volts only while a program switches it on."""
    outlet = outlet_of(programs.plan, circuit)
    return outlet is not None and outlet.use in ON_COMMAND


def probed(wire: PlannedWire) -> bool:
    """Tell whether both ends of a wire can be reached with a probe."""
    ends = (wire.a, wire.b)
    if wire.kind is CircuitKind.MAIN:
        # The battery's own leads are alive whatever is off, and nothing protects them: no probe goes along them.
        return all(end.device and end.socket and end.device != _BATTERY for end in ends)
    return all(end.treatment is not None and end.polarity is not Polarity.CABLE for end in ends)


def _volts(programs: Programs, circuit: PlannedCircuit) -> Iterator[Shown]:
    """Give the volts of a circuit at both of its ends, and of its plus alone."""
    lit, table = programs.lit, programs.table
    fed = lit.fed(circuit)
    for letter, at in (("A", at_feed(circuit)), ("B", at_load(circuit))):
        red, black = at
        if red is None or black is None:
            continue
        volts = lit.alive.volts(red, black)
        if letter == "B":
            volts[table.of(FaultKind.REVERSED, circuit.id)] *= -1.0
        if circuit.circuit.kind is not CircuitKind.MAIN:
            volts[table.of(FaultKind.REVERSED, "main")] *= -1.0
        yield Shown(
            kind="volts",
            about=f"{circuit.id} {letter}",
            place=circuit.id,
            chances=_given(_as_volts(volts, reverse=True), fed),
            meter="alive",
            probes=(red, black),
            scale=_volt_scale(volts, reverse=True),
            red=where_of(circuit, Polarity.PLUS, letter),
            black=where_of(circuit, Polarity.MINUS, letter),
        )
    block = next(iter(top_blocks(programs.plan.robot)), None)
    feed = None if block is None else next(fed_or_main(block), None)
    plus, _ = at_load(circuit)
    if block is not None and feed is not None and plus is not None and circuit.circuit.kind is not CircuitKind.MAIN:
        volts = lit.alive.volts(plus, feed[1])
        # What is swapped at the load has the block's own minus on its plus.
        volts[table.of(FaultKind.REVERSED, circuit.id, "main")] = 0.0
        yield Shown(
            kind="plus",
            about=circuit.id,
            place=circuit.id,
            chances=_given(_as_volts(volts, reverse=False), fed),
            meter="alive",
            probes=(plus, feed[1]),
            scale=_volt_scale(volts, reverse=False),
            red=where_of(circuit, Polarity.PLUS, "B"),
            black=f"{block.id} supply minus",
        )


def where_of(circuit: PlannedCircuit, polarity: Polarity, letter: str) -> str:
    """Say where a conductor of a circuit begins (A) or ends (B)."""
    ends = [wire.a if letter == "A" else wire.b for wire in circuit.wires]
    found = [end.where for end in ends if end.polarity is polarity]
    return next(iter(found if letter == "A" else found[::-1]), circuit.id)


def fed_or_main(block: Device) -> Iterator[tuple[Node, Node]]:
    """Give the plus and minus nodes of the feeds of a block."""
    for socket in block.part.sockets:
        if socket.role == "supply" and socket.port(Polarity.PLUS) and socket.port(Polarity.MINUS):
            yield plus_node(block, socket), minus_node(block, socket)


def _as_volts(volts: Floats, *, reverse: bool) -> Floats:
    none_v, low_v = _volt_limits(volts)
    back = below_v(volts, -none_v)
    none = below_v(volts, none_v) - back
    low = below_v(volts, low_v) - none - back
    return columns(low, none, back) if reverse else columns(low, none + back)


def _given(chances: Floats, fed: Floats) -> Floats:
    """Let volts be none as often as what makes them gives nothing."""
    found = chances * fed[:, None]
    found[:, _NONE] += 1 - fed
    return found


def _volt_limits(volts: Floats) -> tuple[float, float]:
    """Return what counts as no voltage, and what as low, beside the healthy one [V]."""
    healthy_v = float(volts[0])
    none_v = min(practice("no volts"), healthy_v / 2)
    return none_v, healthy_v - min(practice("low volts"), healthy_v / 4)


def _volt_scale(volts: Floats, *, reverse: bool) -> Scale:
    none_v, low_v = _volt_limits(volts)
    bands = (("none", none_v), ("low", low_v), ("as expected", math.inf))
    return Scale(unit="V", healthy=float(volts[0]), bands=(("reversed", -none_v), *bands) if reverse else bands)


def _across(networks: Networks, circuit: PlannedCircuit) -> Shown:
    at = (end_node(circuit.wires[0], circuit.wires[0].b), end_node(circuit.wires[1], circuit.wires[1].b))
    least = networks.least_pulled.ohms(red=at[0], black=at[1]).resistance_ohm
    shown = _between("across", circuit.id, networks.pulled.ohms(*at), least, "pulled", at)
    return replace(shown, red=circuit.wires[0].b.where, black=circuit.wires[1].b.where)


def _rail(programs: Programs, networks: Networks, block: Device) -> Shown:
    """Return the ohms at a block's feed; a short behind what it blew or tripped does not show there."""
    at = next(fed_or_main(block))
    least = networks.least_dead.ohms(red=at[0], black=at[1]).resistance_ohm
    shown = _between("rail", block.id, networks.dead.ohms(*at), least, "dead", at)
    chances, acts = shown.chances.copy(), practice("breaker acts")
    for circuit in (circuit for circuit in programs.plan.circuits if has_protection(circuit)):
        for place in programs.table.of(FaultKind.PAIR_SHORT, circuit.id):
            share = acts if is_fuse(programs.plan, circuit) else acts / 2
            chances[place] = (1 - share) * chances[place] + share * chances[0]
    return replace(shown, chances=chances, red=f"{block.id} supply plus", black=f"{block.id} supply minus")


def _between(kind: str, about: str, ohm: Floats, least_ohm: float, meter: str, at: tuple[Node, Node]) -> Shown:
    """Return a check of the ohms from plus to minus, where a low reading is more than half below what is expected."""
    healthy_ohm = float(ohm[0])
    limit_ohm, low_ohm = min(practice("short ohms"), least_ohm / 2), min(least_ohm, healthy_ohm) / 2
    short = below_ohm(ohm, limit_ohm)
    low = below_ohm(ohm, low_ohm) - short
    low = np.maximum(low - float(low[0]), 0.0)
    return Shown(
        kind=kind,
        about=about,
        place=about,
        chances=columns(low, short - short[0]),
        meter=meter,
        probes=at,
        scale=Scale(
            unit="ohm",
            healthy=healthy_ohm,
            bands=(("short", limit_ohm), ("low", max(low_ohm, limit_ohm)), ("as expected", math.inf)),
        ),
    )


def _frame(networks: Networks, circuit: PlannedCircuit) -> Iterator[Shown]:
    plus, _ = at_load(circuit)
    if plus is None:
        return
    ohm = _to_frame(networks, circuit, plus)
    joined = below_ohm(ohm, practice("joined ohms"))
    leak = below_ohm(ohm, practice("leak ohms")) - joined
    yield Shown(
        kind="frame",
        how="" if has_protection(circuit) else _MAIN_TO_FRAME,
        about=circuit.id,
        place=circuit.id,
        chances=columns(leak, joined),
        meter="pulled",
        red=where_of(circuit, Polarity.PLUS, "B"),
        probes=(plus, FRAME),
        scale=Scale(
            unit="ohm",
            healthy=math.inf,
            bands=(("joined", practice("joined ohms")), ("leak", practice("leak ohms")), ("open", math.inf)),
        ),
    )


def _to_frame(networks: Networks, circuit: PlannedCircuit, plus: Node) -> Floats:
    """Return the ohms to the frame with this circuit's own breaker or fuse pulled, where it has one, and all others in.

    What is pulled hangs on the others by its minus alone.
    """
    _, minus = at_load(circuit)
    if minus is None or not has_protection(circuit):
        return networks.dead.ohms(plus, FRAME)
    round_about = networks.pulled.ohms(plus, minus) + networks.dead.ohms(minus, FRAME)
    return np.minimum(networks.pulled.ohms(plus, FRAME), round_about)


def _ohms(programs: Programs, networks: Networks, wire: PlannedWire) -> Shown:
    """Return the ohms along a wire: by the network where it stands in one, else by itself."""
    at = (end_node(wire, wire.a), end_node(wire, wire.b))
    meter = ""
    if wire.kind is CircuitKind.BUS:
        ohm, meter = networks.chains.ohms(*at), "chains"
    elif breaks_itself(wire):
        ohm, meter = networks.dead.ohms(*at), "dead"
    else:
        ohm = np.array([case.series_ohm if case.wire == wire.id else 0.0 for case in programs.table.cases])
    ohm = ohm + _LEADS_OHM
    high_ohm = wire_limit_ohm(wire)  # as on the Wake-up list
    opened = 1 - below_ohm(ohm, practice("open ohms"))
    high = 1 - below_ohm(ohm, high_ohm) - opened
    return Shown(
        kind="ohms",
        about=wire.id,
        place=wire_name_words(wire),
        red=wire.a.where,
        black=wire.b.where,
        chances=columns(high, opened),
        meter=meter,
        probes=at if meter else None,
        scale=Scale(
            unit="ohm",
            healthy=float(ohm[0]),
            bands=(("as expected", high_ohm), ("high", practice("open ohms")), ("open", math.inf)),
        ),
    )


def _chain_checks(programs: Programs, networks: Networks) -> Iterator[Shown]:
    """Give the ohms across the pair of every chain, and the count of its terminators."""
    table = programs.table
    for chain in chains(programs.plan):
        if not chain.devices or not chain.terminated:
            continue
        name = f"chain {chain.bus.name}"
        high, low = (line_node(chain, chain.devices[0], line) for line in (Polarity.BUS_HIGH, Polarity.BUS_LOW))
        ohm = networks.chains.ohms(high, low).copy()
        nominal_ohm = 120.0
        less, more = table.of(FaultKind.TERMINATOR_MISSING, name), table.of(FaultKind.TERMINATOR_EXTRA, name)
        ohm[less] = 1 / np.maximum(1 / ohm[less] - 1 / nominal_ohm, 1e-9)
        ohm[more] = 1 / (1 / ohm[more] + 1 / nominal_ohm)
        if len(chain.terminated) == _TERMINATORS:
            yield Shown(
                kind="bus",
                about=chain.bus.name,
                place=chain.bus.name,
                chances=_as_bus(ohm),
                meter="chains",
                probes=(high, low),
                scale=Scale(unit="ohm", healthy=float(ohm[0]), bands=_BUS_BANDS),
                red=chain.devices[0].id,
            )
        counted_less, counted_more = table.flat(), table.flat()
        counted_less[less] = 1.0
        counted_more[more] = 1.0
        yield Shown(
            kind="end",
            about=chain.bus.name,
            place=chain.bus.name,
            chances=columns(counted_less, counted_more),
        )


def _as_bus(ohm: Floats) -> Floats:
    """Return the chances of two, three and one terminators, open and shorted."""
    under33, under50, under70, under200 = (_sharp(ohm, limit) for _, limit in _BUS_BANDS[:-1])
    return columns(under50 - under33, under200 - under70, 1 - under200, under33)


def _sharp(ohm: Floats, limit: float) -> Floats:
    return np.asarray(1 / (1 + (np.maximum(ohm, 1e-3) / limit) ** 30), dtype=np.float64)


def _battery(programs: Programs) -> Iterator[Shown]:
    """Give the battery's rest voltage and its test under load."""
    battery = next((device for device in programs.plan.robot if device.kind == "battery"), None)
    if battery is None:
        return
    rest = programs.table.flat(float(battery.part.number("rested from") or 12.7))
    for place, case in enumerate(programs.table.cases):
        if case.rest_v is not None:
            rest[place] = case.rest_v
    own = [wire.id for wire in programs.plan.wires if battery.id in (wire.a.device, wire.b.device)]
    rest[programs.table.broken(*own)] = 0.0
    low_v, flat_v = practice("charged from"), practice("flat below")
    low, flat = below_v(rest, low_v - 0.1), below_v(rest, flat_v)
    yield Shown(
        kind="rest",
        about="",
        place="battery",
        chances=columns(low - flat, flat),
        scale=Scale(unit="V", healthy=float(rest[0]), bands=(("flat", flat_v), ("low", low_v), ("charged", math.inf))),
    )
    weak = programs.table.flat()
    weak[programs.table.of(FaultKind.WEAK, battery.id)] = 0.95
    weak[programs.table.of(FaultKind.FLAT, battery.id)] = 0.95
    yield Shown(kind="load", about="", place="battery", chances=columns(weak))


def wire_name_words(wire: PlannedWire) -> str:
    """Say which wire it is: "W12 (lift left plus)"."""
    return f"{wire.id} ({wire.circuit} {wire.role})"
