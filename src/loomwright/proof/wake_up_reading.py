"""What a meter should read between two places of a sound robot, computed from what is connected there."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from loomwright.electrical.board import Board, Side, Span
from loomwright.electrical.hand_meter import ohm_range, ohm_words
from loomwright.electrical.network_of import network_of
from loomwright.electrical.parts import ELECTRONICS, fed_sockets, input_span, minus_node, plus_node
from loomwright.electrical.practice import leads_ohm
from loomwright.model.reason import Origin
from loomwright.network import Meter, Node
from loomwright.proof.wake_up_result import Expected, Kind
from loomwright.proof.wake_up_words import names
from loomwright.wording import natural

if TYPE_CHECKING:
    from loomwright.model.device import Device
    from loomwright.model.part import Part
    from loomwright.plan.result import Plan


class Readings:
    """The networks of one plan in every state that it is measured in; each is made when it is first asked for."""

    def __init__(self, plan: Plan) -> None:
        self.plan = plan
        self._meters: dict[tuple[Board, Side, bool, bool], Meter] = {}
        self._inputs = [
            (device, plus_node(device, socket), minus_node(device, socket))
            for device in sorted(plan.robot, key=lambda device: natural(device.id))
            for socket in fed_sockets(plan, device)
        ]

    def meter(self, board: Board, side: Side, *, swapped: bool = False, inputs: bool = True) -> Meter:
        """Return the meter at one state of the robot."""
        key = (board, side, swapped, inputs)
        if key not in self._meters:
            self._meters[key] = Meter(network_of(self.plan, board, side, swapped=swapped, inputs=inputs))
        return self._meters[key]

    def span(self, board: Board, red: Node, black: Node, *, swapped: bool = False) -> Span:
        """Return least and most that lies between two nodes [ohm], without the meter's leads; infinity is open."""
        low, high = (self.meter(board, side, swapped=swapped).ohms(red=red, black=black) for side in Side)
        return low.resistance_ohm, high.resistance_ohm

    def attached(self, board: Board, red: Node, black: Node) -> tuple[Device, ...]:
        """Return the devices whose plus and minus inputs lie across the probes, by name."""
        bare = self.meter(board, Side.HIGH, inputs=False)
        found = [device for device, plus, minus in self._inputs if bare.joined(red, plus) and bare.joined(black, minus)]
        return tuple({device.id: device for device in found}.values())

    def expected(
        self, board: Board, red: Node, black: Node, reason: str, *, swapped: bool = False, also_unknown: str = ""
    ) -> Expected:
        """Return what a meter with its leads should read; `swapped` has its red probe on minus.

        `also_unknown` names something else that lies across.
        """
        low, high = self.span(board, red, black, swapped=swapped)
        across = self.attached(board, *((black, red) if swapped else (red, black)))
        unknown = [device.id for device in across if input_span(device, swapped=swapped) is None]
        unknown += [also_unknown] if also_unknown else []
        assumed = {d.part.id: d.part for d in across if _is_assumed(d.part, swapped=swapped)}
        rests = tuple(_assumption(assumed[name], swapped=swapped) for name in sorted(assumed, key=natural))
        return reading(low, high, reason, rests_on=rests, unknown=tuple(unknown))


def reading(
    low: float, high: float, reason: str, *, rests_on: tuple[str, ...] = (), unknown: tuple[str, ...] = ()
) -> Expected:
    """Make the expectation of what lies between two bounds [ohm], the meter's leads added.

    With something unknown across there is no least; then the first good value is to be written down.
    """
    least, most = low + leads_ohm()[0], high + leads_ohm()[1]
    if unknown:
        return _unknown(most, reason, rests_on, unknown)
    if math.isinf(low):
        return Expected(kind=Kind.OPEN, words="open", reason=reason, origin=Origin.COMPUTED, rests_on=rests_on)
    return Expected(
        kind=Kind.RANGE,
        words=ohm_range(least, most),
        reason=reason,
        origin=Origin.COMPUTED,
        low=least,
        high=most,
        rests_on=rests_on,
    )


def polar(devices: tuple[Device, ...]) -> bool:
    """Tell whether any of these reads differently with the probes swapped."""
    return any(device.part.word("plus to minus") in ("", ELECTRONICS) for device in devices)


def slow(devices: tuple[Device, ...]) -> bool:
    """Tell whether any of these has capacitors that make a reading rise."""
    return any(device.part.word("input capacitors") for device in devices)


def _unknown(most: float, reason: str, rests_on: tuple[str, ...], unknown: tuple[str, ...]) -> Expected:
    bounded = not math.isinf(most)
    bound = f"at most {ohm_words(most)}; " if bounded else ""
    asked = f"what a meter sees at {names(unknown)} is not known: write down the first good value and compare later"
    return Expected(
        kind=Kind.AT_MOST if bounded else Kind.UNKNOWN,
        words=f"{bound}{asked}",
        reason=reason,
        origin=Origin.COMPUTED if bounded else Origin.UNKNOWN,
        high=most if bounded else None,
        rests_on=rests_on,
        unknown=unknown,
    )


def _ends(*, swapped: bool) -> tuple[str, str]:
    name = "reversed input" if swapped else "input resistance"
    return f"{name} from", f"{name} to"


def _is_assumed(part: Part, *, swapped: bool) -> bool:
    return any((held := part.values.get(name)) is not None and held.assumed for name in _ends(swapped=swapped))


def _assumption(part: Part, *, swapped: bool) -> str:
    low, high = (part.number(name) or 0.0 for name in _ends(swapped=swapped))
    source = next(held.source for name in _ends(swapped=swapped) if (held := part.values.get(name)) is not None)
    way = ", probes swapped," if swapped else ""
    return f"{ohm_range(low, high)} at the supply of {part.id}{way} is assumed ({source})"
