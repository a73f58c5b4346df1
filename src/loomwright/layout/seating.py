"""From a robot to a slot problem: circuits as items, outlets as seats, what people asked for as wishes."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from loomwright.layout.places import side_of, slot_places
from loomwright.layout.prices import price, slot_prices
from loomwright.layout.seat_wishes import off_group_breaks, pairs_of, sides_of, wishes_of
from loomwright.layout.slot_problem import Item, Seat, SlotOption, SlotProblem
from loomwright.model.part import Role
from loomwright.wiring.feeds import fits
from loomwright.wiring.result import CircuitKind

if TYPE_CHECKING:
    from collections.abc import Collection, Iterator, Mapping, Sequence

    from loomwright.layout.places import SlotPlace
    from loomwright.layout.slot_problem import Spot
    from loomwright.layout.ways import Ways
    from loomwright.model.part import Socket
    from loomwright.model.robot import Robot
    from loomwright.wiring.result import Circuit

FED = (CircuitKind.FEEDER, CircuitKind.BRANCH, CircuitKind.OUTPUT)
#: Rework of moving a circuit whose ends are made, against one that is only on paper (a flag and a line in a list).
MADE, ON_PAPER = 100, 1
_MM_PER_M = 1000


@dataclass(frozen=True, slots=True)
class Before:
    """What the last plan decided: each circuit's spot, and which circuits are made by now.

    `paper` tells whether circuits that are not made should stay on their spots too, for the sake of their flags.
    """

    spots: Mapping[str, Spot] = field(default_factory=dict)
    made: Collection[str] = ()
    paper: bool = True


@dataclass(frozen=True, slots=True)
class Seating:
    """Builds the problem of one robot. `pinned` holds the spots of circuits that are not to be moved, by circuit."""

    robot: Robot
    ways: Ways
    before: Before
    pinned: Mapping[str, Spot]

    def problem(self, circuits: Sequence[Circuit]) -> SlotProblem:
        """Return the slot problem of these circuits: those that are pinned, and those that are open."""
        sources = dict.fromkeys(name for circuit in circuits for name in circuit.sources)
        sources |= dict.fromkeys(spot[0] for spot in self.pinned.values())
        blocks = [block for name in sorted(sources) if (block := self.robot.device(name)) is not None]
        places = {(b.id, name): place for b in blocks for name, place in slot_places(b).items()}
        groups = {(b.id, outlet.name): outlet.group for b in blocks for outlet in b.part.with_role(Role.OUTLET)}
        items = tuple(self._item(circuit, places) for circuit in circuits)
        return SlotProblem(
            items=items,
            seats=tuple(_seat(spot, place, groups[spot]) for spot, place in places.items()),
            prices=slot_prices(),
            pairs=tuple(pairs_of(self.robot, circuits)),
            sides=sides_of(self.robot, circuits),
            wishes=tuple(wishes_of(self.robot, self._open(items), {c.id: c for c in circuits}, groups)),
        )

    def _open(self, items: Sequence[Item]) -> list[Item]:
        return [item for item in items if item.name not in self.pinned]

    def _item(self, circuit: Circuit, places: Mapping[Spot, SlotPlace]) -> Item:
        pin = self.pinned.get(circuit.id)
        options = (SlotOption(pin, self._wire_mm(circuit, pin)),) if pin else tuple(self._options(circuit))
        return Item(circuit.id, options, tuple(self._headings(circuit, options, places)))

    def _options(self, circuit: Circuit) -> Iterator[SlotOption]:
        """Give the slots that suit a circuit, in the order of the parts."""
        load = self.robot.device(circuit.load)
        supply = load.part.socket(circuit.load_socket) if load is not None else None
        written = circuit.slot.values
        kept = self.before.spots.get(circuit.id)
        price_of_moving = MADE if circuit.id in self.before.made else ON_PAPER * self.before.paper
        taken = set(self.pinned.values())
        for step, name in enumerate(circuit.sources):
            device = self.robot.device(name)
            for outlet in device.part.with_role(Role.OUTLET) if device is not None and supply is not None else ():
                spot = (name, outlet.name)
                if not suits(circuit, outlet, supply) or (written and outlet.name not in written) or spot in taken:
                    continue
                off = bool(circuit.group) and load is not None and not _belongs(circuit, outlet)
                yield SlotOption(
                    spot,
                    wire_mm=self._wire_mm(circuit, spot)
                    + round(step * price("slot far source") + _ill_fit(circuit, outlet)),
                    breaks=off_group_breaks(self.robot, load) if off and load is not None else 0,
                    rework=0 if kept is None or spot == kept else price_of_moving,
                )

    def _wire_mm(self, circuit: Circuit, spot: Spot) -> int:
        """Return the wire from a slot to the load [mm], all wires of the circuit; 0 where a place is not known."""
        length_m = self.ways.length_m(spot, (circuit.load, circuit.load_socket))
        return 0 if length_m is None else round(length_m * _MM_PER_M) * max(1, len(circuit.wires))

    def _headings(
        self, circuit: Circuit, options: Sequence[SlotOption], places: Mapping[Spot, SlotPlace]
    ) -> Iterator[tuple[str, int]]:
        """Give, for each face that a circuit may stand on, where along it the load lies."""
        load = self.robot.device(circuit.load)
        at = load.spot.at.value if load is not None else None
        faces = {places[o.spot].face: o.spot for o in options if o.spot in places}
        for face, spot in sorted(faces.items()) if at is not None else ():
            block = self.robot.device(spot[0])
            outlet = block.part.socket(spot[1]) if block is not None else None
            side = side_of(self.robot, block, outlet.face) if block is not None and outlet is not None else None
            if side is not None and at is not None:
                yield face, round(side.measure(*at) * _MM_PER_M)


def suits(circuit: Circuit, outlet: Socket, supply: Socket | None) -> bool:
    """Tell whether an outlet can feed a circuit: use, voltage, and a protection that the circuit wants."""
    if supply is None or not fits(outlet, supply):
        return False
    return not outlet.ratings_a or rating_for(circuit, outlet) is not None


def rating_for(circuit: Circuit, outlet: Socket) -> float | None:
    """Return the protection to put there: the first wanted rating that the slot takes, else None.

    A circuit that wants nothing in particular gets the slot's smallest rating; a pinned slot that takes
    none of the wanted ratings keeps the wish, so that the rule book can speak of it.
    """
    if not outlet.ratings_a:
        return None
    for rating in circuit.wanted_a:
        if rating in outlet.ratings_a:
            return rating
    if not circuit.wanted_a:
        return min(outlet.ratings_a)
    return circuit.wanted_a[0] if circuit.slot.said else None


def _belongs(circuit: Circuit, outlet: Socket) -> bool:
    """Tell whether an outlet is of a circuit's group; with a smaller protection written, a light slot does for a heavy.

    A large clamp would ask for thicker wire than the protection does, and heavy slots are few.
    """
    lighter = circuit.exact_protection and (circuit.group, outlet.group) == ("heavy", "light")
    return outlet.group == circuit.group or lighter


def _ill_fit(circuit: Circuit, outlet: Socket) -> float:
    """Return the price [mm] of a slot made for a larger load, or one that takes only a second choice of protection."""
    rating = rating_for(circuit, outlet)
    if rating is None:
        return 0.0
    second = circuit.wanted_a.index(rating) if rating in circuit.wanted_a else 0
    return second * price("slot second rating") + (max(outlet.ratings_a) > rating) * price("slot too large")


def _seat(spot: Spot, place: SlotPlace, group: str) -> Seat:
    return Seat(spot, place.face, place.place, group, place.corner)
