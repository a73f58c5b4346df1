"""Every single fault of docs/hunting-model.md at every place of a robot, and how bad one turns out to be."""

from __future__ import annotations

import math
import random
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, TypeAlias

import numpy as np

from loomwright.model.device import Device
from loomwright.plan.result import PlannedCircuit
from loomwright.rulebook.lookup import fed_from_slot, source_of
from loomwright.wiring.result import CircuitKind
from tests.hunting.robot.twin_robot import CABLE, FED, MINUS, PLUS, Anatomy, Chain

Chance: TypeAlias = "random.Random | np.random.Generator"

_ENDS = ("open", "poor", "loose", "shaky")
_OHM = {"poor": (2.0, 50.0), "loose": (0.05, 0.5), "wet": (200.0, 5000.0), "weak": (0.05, 0.2)}
_FIXED_OHM = {"pair short": 0.02, "frame short": 1.0}
_FLAT_V = (10.5, 11.8)


@dataclass(frozen=True, slots=True, order=True)
class Trouble:
    """One fault: its kind and its seat, what would be mended."""

    kind: str
    seat: str

    @property
    def key(self) -> str:
        """Kind and seat; the kind alone where there is no seat."""
        return f"{self.kind} {self.seat}".strip()


@dataclass(frozen=True, slots=True)
class Hurt:
    """A fault as it turned out: its size ([ohm], or [V] of a flat battery) and two coins from 0 to 1."""

    trouble: Trouble
    size: float
    coin: float
    second: float


def hurt(trouble: Trouble, chance: Chance) -> Hurt:
    """Draw how bad a fault is: log-uniform in the document's range, whatever kind of generator is handed in."""
    share = float(chance.random())
    low, high = _OHM.get(trouble.kind, (1.0, 1.0))
    size = _FIXED_OHM.get(trouble.kind, low * (high / low) ** share)
    if trouble.kind == "flat":
        size = _FLAT_V[0] + (_FLAT_V[1] - _FLAT_V[0]) * share
    if trouble.kind in ("open", "broken"):
        size = math.inf
    return Hurt(trouble, size, float(chance.random()), float(chance.random()))


def every_trouble(anatomy: Anatomy) -> Iterator[Trouble]:
    """Give every single fault of the catalogue, place by place."""
    yield from (Trouble(kind, seat) for seat in anatomy.ends for kind in _ENDS)
    yield from (Trouble(kind, wire) for wire in anatomy.moving for kind in ("broken", "shaky wire"))
    for circuit in anatomy.plan.circuits:
        yield from (Trouble(kind, circuit.id) for kind in _of_circuit(anatomy, circuit))
        if fed_from_slot(circuit) and circuit.protection_a.value is not None:
            yield Trouble("out", f"protection of {circuit.id}")
    if anatomy.breaker is not None:
        yield Trouble("off", anatomy.breaker.id)
    yield from (Trouble(kind, anatomy.battery.id) for kind in ("flat", "weak"))
    yield from _of_devices(anatomy)
    yield from (Trouble(f"terminator {how}", f"chain {c.name}") for c in anatomy.chains for how in _ways(c))
    yield Trouble("software", "")


def twins_of(anatomy: Anatomy, device: str) -> tuple[Device, ...]:
    """Return the devices whose number this one could have: of its type and maker, on its chain."""
    one, chain = anatomy.devices[device], anatomy.numbered[device]
    kind, maker = one.part.word("bus type"), one.key.maker.value
    like = (d for d in chain.devices if d.id in anatomy.numbered and d.part.word("bus type") == kind)
    return tuple(d for d in like if d.id != device and d.key.maker.value == maker)


def slots_beside(anatomy: Anatomy, circuit: PlannedCircuit) -> bool:
    """Tell whether the block of a circuit has another slot that it could stand on."""
    outlets = anatomy.devices[source_of(circuit)].part.sockets
    return fed_from_slot(circuit) and sum(socket.role.value == "outlet" for socket in outlets) > 1


def can_cross(anatomy: Anatomy, circuit: PlannedCircuit) -> bool:
    """Tell whether a circuit's wires can be swapped."""
    return "reversed" in set(_of_circuit(anatomy, circuit))


def _of_circuit(anatomy: Anatomy, circuit: PlannedCircuit) -> Iterator[str]:
    kind, polarities = circuit.circuit.kind, {wire.b.polarity for wire in circuit.wires}
    if CABLE in polarities or kind in (CircuitKind.NETWORK, CircuitKind.SIGNAL):
        return
    if {PLUS, MINUS} <= polarities:
        yield from ("pair short", "frame short")
    if kind is CircuitKind.BUS:
        yield "pair short"
    # A terminator does not mind which line is which.
    if anatomy.devices[circuit.circuit.load].kind != "terminator":
        yield "reversed"
    if kind in FED and slots_beside(anatomy, circuit):
        yield "wrong slot"


def _of_devices(anatomy: Anatomy) -> Iterator[Trouble]:
    ids = [device.id for device in anatomy.electronics]
    yield from (Trouble("dead", one) for one in dict.fromkeys([*ids, *anatomy.motors]))
    yield from (Trouble("wet", one) for one in ids)
    yield from (Trouble("outputs off", device.id) for device in anatomy.regulators)
    for one in anatomy.numbered:
        yield Trouble("factory id", one)
        if twins_of(anatomy, one):
            yield Trouble("double id", one)


def _ways(chain: Chain) -> tuple[str, ...]:
    return ("missing", "extra") if chain.ends else ("extra",)


def drawn(seed: int, key: str) -> float:
    """Return a number from 0 to 1 that is drawn once for a key and the same ever after."""
    return random.Random(f"{seed} {key}").random()  # noqa: S311  a test's own chance


def spread(seed: int, names: Iterator[str], share: float) -> dict[str, float]:
    """Return a factor for each name, up to a share more or less than 1."""
    if not share:
        return {}
    chance: Any = random.Random(f"{seed} spread")  # noqa: S311  a test's own chance
    return {name: 1.0 + share * (2.0 * chance.random() - 1.0) for name in names}
