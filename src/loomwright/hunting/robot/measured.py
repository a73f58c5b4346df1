"""The plan's networks with every case at once: with the battery in, without it, and each data chain."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, TypeAlias

import numpy as np

from loomwright.electrical.board import Board, Side, whole_board
from loomwright.electrical.bus import bus_elements
from loomwright.electrical.network_of import network_of
from loomwright.electrical.power import power_network, usual_a
from loomwright.hunting.robot.cases import Case
from loomwright.network import Draw, Meter, Network, Resistor, Source
from loomwright.network.variants import Other, Variants
from loomwright.wiring.result import CircuitKind

if TYPE_CHECKING:
    import numpy.typing as npt

    from loomwright.network import Element, Node
    from loomwright.network.variants import Change
    from loomwright.plan.result import Plan

    Floats: TypeAlias = npt.NDArray[np.float64]

_RATED_V = 12.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Seen:
    """What a meter would show, for every case: a network whose answers are spread over the cases.

    `less` is the share of its voltage that the battery lacks; `battery` is the network with nothing else that gives.
    """

    variants: Variants
    place: npt.NDArray[np.int64]
    less: Floats | None = None
    battery: Variants | None = None

    def volts(self, red: Node, black: Node) -> Floats:
        """Return volts from black to red [V], by case."""
        found = self.variants.volts(red, black)[self.place]
        if self.less is None or self.battery is None:
            return found
        return np.asarray(found - self.less * self.battery.volts(red, black)[0], dtype=np.float64)

    def ohms(self, red: Node, black: Node) -> Floats:
        """Return the resistance between two nodes [ohm], by case."""
        return np.asarray(self.variants.ohms(red, black)[self.place], dtype=np.float64)


@dataclass(frozen=True, slots=True, kw_only=True)
class Networks:
    """The robot alive, dead with everything in, and dead with every breaker and fuse pulled; and its chains.

    `alive` is None where the battery's part says too little. `least_dead` and `least_pulled` are of a healthy robot
    with every resistance at its least.
    """

    alive: Seen | None
    dead: Seen
    pulled: Seen
    chains: Seen
    least_dead: Meter
    least_pulled: Meter


def networks_of(plan: Plan, cases: tuple[Case, ...]) -> Networks:
    """Return what a meter would show of a plan in every case."""
    dead = [case.dead for case in cases]
    return Networks(
        alive=alive_of(plan, cases),
        dead=_seen(_middle(plan, whole_board(plan)), dead),
        pulled=_seen(_middle(plan, Board()), [_where_in(change) for change in dead]),
        chains=_seen(_chains(plan), [case.chain for case in cases]),
        least_dead=Meter(network_of(plan, whole_board(plan), Side.LOW, data=False)),
        least_pulled=Meter(network_of(plan, Board(), Side.LOW, data=False)),
    )


def alive_of(plan: Plan, cases: tuple[Case, ...]) -> Seen | None:
    """Return what a meter would show with the battery in, in every case; None where its part says too little."""
    board = replace(whole_board(plan), breaker_on=True, plugged=True)
    power = power_network(plan, board.fitted, Side.LOW, takes=usual_a)
    if power is None:
        return None
    # A wire of unknown length counts for nothing: the most that a sound one may have would leave no motor running.
    copper = {one.name: one for one in network_of(plan, board, Side.LOW, inputs=False, data=False).elements}
    return _alive(Network(tuple(copper.get(one.name, one) for one in power.elements)), cases)


def _alive(power: Network, cases: tuple[Case, ...]) -> Seen:
    """Return the network with its loads as resistances: what gets less voltage takes less."""
    network = Network(tuple(_as_resistance(element) for element in power.elements))
    seen = _seen(network, [case.alive for case in cases])
    battery = power.element(("battery",))
    full_v = getattr(battery, "voltage_v", _RATED_V)
    less = np.array([0.0 if case.rest_v is None else 1 - case.rest_v / full_v for case in cases])
    alone = Network(tuple(_silent(element) for element in network.elements))
    flat = next((case.alive for case in cases if case.rest_v is not None), None)
    return Seen(variants=seen.variants, place=seen.place, less=less, battery=Variants(alone, [flat]))


def _silent(element: Element) -> Element:
    """Return what is not the battery without a voltage of its own."""
    return replace(element, voltage_v=0.0) if isinstance(element, Source) and element.name != ("battery",) else element


def _as_resistance(element: Element) -> Element:
    if not isinstance(element, Draw):
        return element
    ohm = _RATED_V / element.current_a if element.current_a > 0 else math.inf
    return Resistor(name=element.name, a=element.plus, b=element.minus, resistance_ohm=ohm)


def _middle(plan: Plan, board: Board, *, data: bool = False) -> Network:
    """Return the network without its battery, every resistance in the middle of what it may be.

    A wire of unknown length counts for nothing.
    """
    low, high = (network_of(plan, board, side, data=data) for side in Side)
    return Network(
        tuple(
            Resistor(name=a.name, a=a.a, b=a.b, resistance_ohm=_between(a.resistance_ohm, b.resistance_ohm))
            for a, b in zip(low.elements, high.elements, strict=True)
            if isinstance(a, Resistor) and isinstance(b, Resistor)
        )
    )


def _between(low: float, high: float) -> float:
    return high if math.isinf(high) else math.sqrt(max(low, 0.0) * high)


def _chains(plan: Plan) -> Network:
    """Return every data chain alone, its wires and what lies inside of its devices."""
    network = _middle(plan, Board(), data=True)
    hops = {wire.key for wire in plan.wires if wire.kind is CircuitKind.BUS}
    inside = [element.name for element in bus_elements(plan, Side.LOW)]
    kept = [e for e in network.elements if e.name in inside or (e.name[0] in ("wire", "lead") and e.name[1:3] in hops)]
    return Network(tuple(kept))


def _where_in(change: Change) -> Change:
    """Leave out what opens a slot that is pulled already."""
    return None if isinstance(change, Other) and change.name[0] == "slot" else change


def _seen(network: Network, changes: list[Change]) -> Seen:
    """Solve every change once, however many cases it stands for."""
    once = list(dict.fromkeys(changes))
    numbers = {change: number for number, change in enumerate(once)}
    return Seen(variants=Variants(network, once), place=np.array([numbers[change] for change in changes]))
