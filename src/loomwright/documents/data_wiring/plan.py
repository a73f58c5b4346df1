"""Tell the Data drawing what a plan decided: chains in order, network cables, signal leads, the light's jumper."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING, Final

from loomwright.documents.data_wiring.drawing import draw, pages
from loomwright.documents.data_wiring.plan_chains import chains
from loomwright.documents.data_wiring.plan_wires import data_wire, is_cable, title_of
from loomwright.documents.data_wiring.sheet import DataHub, DataLead, DataSection, DataSheet
from loomwright.documents.plate.page import PAPERS, Paper
from loomwright.documents.svg import write
from loomwright.proof.on_paper import on_paper
from loomwright.units import Dimension, show
from loomwright.wiring.result import CircuitKind
from loomwright.wording import natural

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from loomwright.documents.scene import Scene
    from loomwright.plan.result import Plan, PlannedCircuit, PlannedEnd

_NETWORK_CODES: Final = ("no-network-socket",)
_SIGNAL_CODES: Final = ("signal-goes-nowhere", "no-such-port", "input-used-twice")
_JUMPER_CODES: Final = ("jumper",)


def data_svg(plan: Plan) -> bytes:
    """Draw the data wiring of a plan on one sheet as SVG."""
    return write(draw(data_sheet(plan))).encode("utf-8")


def data_scenes(plan: Plan, page: Paper = PAPERS[0], *, foot_mm: float = 0.0) -> tuple[Scene, ...]:
    """Draw the data wiring of a plan as scenes, each as large as what a page's margins and its foot [mm] leave free."""
    return pages(data_sheet(plan), page, foot_mm=foot_mm)


def data_sheet(plan: Plan) -> DataSheet:
    """Return what the Data drawing shows of a plan; every text is the plan's own."""
    return DataSheet(
        robot=plan.robot.name,
        build=plan.robot.build,
        revision=plan.revision,
        chains=tuple(chains(plan)),
        sections=tuple(section for section in _sections(plan) if section.hubs or section.notes),
    )


def _sections(plan: Plan) -> Iterator[DataSection]:
    cables = [c for c in plan.circuits if c.circuit.kind is CircuitKind.NETWORK or any(map(is_cable, _power(c)))]
    jumpers = [c for c in plan.circuits if _is_jumper(c)]
    signals = [c for c in plan.circuits if c.circuit.kind is CircuitKind.SIGNAL and c not in jumpers]
    yield DataSection("Network cables", tuple(_networks(plan, cables)), _told(plan, _NETWORK_CODES))
    yield DataSection("Signal leads", tuple(_signals(plan, signals)), _told(plan, _SIGNAL_CODES))
    told = (*_jumper_words(plan, jumpers), *_told(plan, _JUMPER_CODES))
    yield DataSection("Jumper of the signal light", tuple(_jumpers(plan, jumpers)), told)


def _power(circuit: PlannedCircuit) -> Iterable[PlannedEnd]:
    """Give the ends of a circuit that carries power; a network cable may be among them."""
    return (end for w in circuit.wires for end in (w.a, w.b)) if circuit.circuit.kind.carries_power else ()


def _is_jumper(circuit: PlannedCircuit) -> bool:
    return circuit.circuit.kind is CircuitKind.SIGNAL and circuit.circuit.sources == (circuit.circuit.load,)


def _told(plan: Plan, codes: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(f"{f.what} {f.fix}" for f in on_paper(plan.findings) if f.code in codes)


# ------------------------------------------------------------------ network cables
def _networks(plan: Plan, cables: list[PlannedCircuit]) -> Iterator[DataHub]:
    """Gather cables at the devices where most of them meet, so that one device is drawn as seldom as can be."""
    left = list(cables)
    while left:
        meeting = Counter(name for c in left for name in {c.wires[0].a.device, c.wires[0].b.device})
        senders = {c.wires[0].a.device for c in left}
        hub = min(meeting, key=lambda name: (-meeting[name], name not in senders, natural(_called(plan, name)), name))
        mine = [c for c in left if hub in (c.wires[0].a.device, c.wires[0].b.device)]
        left = [c for c in left if c not in mine]
        leads = (_cable(plan, circuit, hub) for circuit in mine)
        yield _hub(plan, hub, leads)


def _cable(plan: Plan, circuit: PlannedCircuit, hub: str) -> DataLead:
    wire = circuit.wires[0]
    here, there = (wire.a, wire.b) if wire.a.device == hub else (wire.b, wire.a)
    return DataLead(
        socket=here.socket,
        wires=tuple(data_wire(w, from_left=w.a.device == hub) for w in circuit.wires),
        far=_called(plan, there.device),
        far_detail=_far_detail(plan, there),
        power=_carries(plan, circuit),
    )


def _carries(plan: Plan, circuit: PlannedCircuit) -> str:
    """Say what a network cable carries besides data: "12 V"; "power" where nobody stated the voltage."""
    if not circuit.circuit.kind.carries_power:
        return ""
    source = plan.robot.device(circuit.source)
    outlet = source.part.socket(circuit.slot.value or "") if source is not None else None
    return show(outlet.volts, Dimension.VOLTAGE) if outlet is not None and outlet.volts is not None else "power"


# ------------------------------------------------------------------ signals
def _signals(plan: Plan, signals: list[PlannedCircuit]) -> Iterator[DataHub]:
    """Gather signal leads at the device whose ports they are plugged into."""
    hosts = sorted({c.wires[0].a.device for c in signals if c.wires}, key=lambda name: natural(_called(plan, name)))
    for host in sorted(hosts, key=lambda name: _kind(plan, name) != "computer"):
        leads = [
            DataLead(
                socket=circuit.wires[0].a.socket,
                wires=tuple(data_wire(wire) for wire in circuit.wires),
                far=_called(plan, circuit.wires[0].b.device),
                far_detail=_far_detail(plan, circuit.wires[0].b),
            )
            for circuit in signals
            if circuit.wires and circuit.wires[0].a.device == host
        ]
        yield _hub(plan, host, leads)


def _jumpers(plan: Plan, jumpers: list[PlannedCircuit]) -> Iterator[DataHub]:
    for circuit in jumpers:
        wire, name = circuit.wires[0], _called(plan, circuit.circuit.load)
        lead = DataLead(f"terminal {wire.a.socket}", (data_wire(wire),), name, f"terminal {wire.b.socket}")
        yield DataHub(circuit.circuit.load, name, "", (lead,))


def _jumper_words(plan: Plan, jumpers: list[PlannedCircuit]) -> Iterator[str]:
    """Say where each jumper belongs and what the file says of it; that it is so, somebody has to look."""
    for circuit in jumpers:
        device = plan.robot.device(circuit.circuit.load)
        if device is not None:
            said = device.checks["jumper"].value if "jumper" in device.checks else None
            state = {True: "The file says that it is set: look.", False: "The file says that it is not set."}
            told = (*device.part.notes, state[said] if said is not None else "Look whether it is set.")
            yield f"{device.called}: {' '.join(told)}"


def _hub(plan: Plan, name: str, leads: Iterable[DataLead]) -> DataHub:
    device = plan.robot.device(name)
    in_order = sorted(leads, key=lambda lead: (natural(lead.socket), natural(lead.far)))
    return DataHub(name, _called(plan, name), title_of(device), tuple(in_order))


def _called(plan: Plan, name: str) -> str:
    device = plan.robot.device(name)
    return (device.called or device.id) if device is not None else name or "not known yet"


def _kind(plan: Plan, name: str) -> str:
    device = plan.robot.device(name)
    return device.kind if device is not None else ""


def _far_detail(plan: Plan, end: PlannedEnd) -> str:
    """Name the socket at the far end, then what stands there: a long title may be cut, a socket not."""
    return ", ".join(word for word in (end.socket, title_of(plan.robot.device(end.device))) if word)
