"""Turn the plain content of a sound plan.yaml into what it remembers."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from loomwright.layout.slot_problem import Clash
from loomwright.plan.memory import KeptCut, KeptDevice, KeptEnd, KeptRoute, KeptWire, Memory
from loomwright.robotfile.plans.plan_form import amount_of, diameter_of, gauge_of, length_of, metres_of
from loomwright.search import Certificate

Held = Mapping[str, Any]


def memory_from(top: Held) -> Memory:
    """Build the memory; `top` is plain data of the form in `plan_form`, found sound."""
    circuits: list[Held] = top["circuits"]
    wires = {(circuit["circuit"], wire["role"]): wire for circuit in circuits for wire in circuit["wires"]}
    slots = {circuit["circuit"]: circuit["slot"] for circuit in circuits if circuit["slot"]["value"]}
    return Memory(
        format=int(top["format"]),
        robot=top["robot"],
        build=top["build"],
        revision=top["revision"],
        inputs=top["inputs"],
        next_wire=int(top["next wire"]),
        wires={key: wire["id"] for key, wire in wires.items()},
        slots={name: slot["value"] for name, slot in slots.items()},
        sources={circuit["circuit"]: circuit["source"] for circuit in circuits},
        slot_reasons={name: slot.get("reason", "") for name, slot in slots.items()},
        gauges={circuit["circuit"]: gauge_of(circuit["gauge"]["value"]) for circuit in circuits},
        kept_wires={key: _wire(wire) for key, wire in wires.items()},
        fitted=frozenset(key for key, wire in wires.items() if "fitted" in wire),
        made=frozenset(key for key, wire in wires.items() if "made" in wire),
        devices={held["device"]: _device(held) for held in top.get("devices", ())},
        routes={r["run"]: KeptRoute(tuple(r.get("along", ())), gauge_of(r["gauge"])) for r in top.get("runs", ())},
        shared=int(top.get("main leads", "0")),
        bundles={held["bundle"]: diameter_of(held["diameter"]) for held in top.get("bundles", ())},
        cuts=tuple(_cut(held) for held in top.get("cuts", ())),
        crossings=int(top.get("crossings", "0")),
        clashes=tuple(_clash(held) for held in top.get("clashes", ())),
        certificates={held["of"]: _certificate(held) for held in top.get("proofs", ())},
    )


def _wire(held: Held) -> KeptWire:
    return KeptWire(
        id=held["id"],
        gauge=gauge_of(held["gauge"]),
        colour=held["colour"],
        length_m=length_of(held["length"]),
        a=_end("A", held),
        b=_end("B", held),
        path=tuple(held.get("path", ())),
        captive="captive" in held,
    )


def _end(letter: str, held: Held) -> KeptEnd:
    return KeptEnd(*(held.get(f"{letter} {key}", "") for key in ("device", "socket", "polarity", "terminal")))


def _device(held: Held) -> KeptDevice:
    return KeptDevice(held.get("called", held["device"]), held["part"], held.get("at", ""))


def _cut(held: Held) -> KeptCut:
    pieces = tuple(tuple(piece.split(" ")) for piece in held.get("pieces", ()))
    return KeptCut(held["spool"], "bought" in held, pieces, metres_of(held["left"]), metres_of(held["length"]))


def _clash(held: Held) -> Clash:
    return Clash(
        items=tuple(held.get("items", ())),
        spots=tuple((spot["device"], spot["slot"]) for spot in held.get("spots", ())),
        wishes=tuple(held.get("wishes", ())),
        drops=tuple(held.get("drops", ())),
        counting="counting" in held,
    )


def _certificate(held: Held) -> Certificate:
    cost, unit = amount_of(held["cost"])
    return Certificate(
        cost=cost,
        bound=amount_of(held["bound"])[0],
        unit=unit,
        baseline=amount_of(held["baseline"])[0] if "baseline" in held else None,
        baseline_breaks=amount_of(held["baseline breaks"])[0] if "baseline breaks" in held else None,
        breaks=amount_of(held["breaks"])[0],
        least_breaks=amount_of(held["least breaks"])[0],
    )
