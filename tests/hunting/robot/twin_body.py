"""A robot with its faults in each state of work: solved, with what trips and what stays dark."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property

from loomwright.rulebook.lookup import outlet_of, source_of
from loomwright.wiring.result import CircuitKind
from tests.hunting.robot.twin_build import FRAME, TERMINATOR_OHM, Frame, Harm
from tests.hunting.robot.twin_net import Given, Link, Node, Solved
from tests.hunting.robot.twin_robot import MINUS, PAIR, PLUS, Supply

# A protection opens for good above this multiple of its rating: every curve of the parts has opened by then.
_OPENS_AT = 1.35
_WORKS_FROM_V, _SHARE_OF_LOW_VOLTS = 6.0, 0.8
_FLICKER_V = 1.0
_LOW_V = 0.5
LIT, FLICKERS, DARK = 2, 1, 0


@dataclass(eq=False)
class Body:
    """One robot with one set of faults; every network is solved when somebody asks for it."""

    frame: Frame
    harm: Harm
    factors: Mapping[str, float] = field(default_factory=dict)
    # The regulators that don't hold an output whose voltage they are not given themselves.
    drops: frozenset[str] = frozenset()
    _pulled: dict[str, Solved] = field(default_factory=dict)
    _least: dict[str, Solved] = field(default_factory=dict)

    def __post_init__(self) -> None:
        """Note the robot."""
        self.anatomy = self.frame.anatomy

    @cached_property
    def settled(self) -> tuple[Solved, frozenset[str], frozenset[str]]:
        """The robot disabled under power: solved, the protections that opened, the givers and outputs that are out."""
        opened: frozenset[str] = frozenset()
        dark: frozenset[str] = frozenset()
        while True:
            solved = self._alive(opened, dark)
            worst = max(self._loaded(solved, opened), default=(0.0, ""))
            if worst[0] > _OPENS_AT:
                opened, dark = opened | {worst[1]}, frozenset()
                continue
            out = {d for d in self._givers if d not in dark and self._state(solved, d) == DARK}
            out |= {name for name in self._let_go(solved) if name not in dark}
            if not out:
                return solved, opened, dark
            dark |= out

    @property
    def alive(self) -> Solved:
        """The robot disabled under power."""
        return self.settled[0]

    @property
    def opened(self) -> frozenset[str]:
        """The circuits whose protection opened under power; "main" is the main breaker."""
        return self.settled[1]

    def light(self, device: str) -> int:
        """Tell how a device's lights are by its supply alone: lit, flickering, dark."""
        return self._state(self.alive, device)

    @cached_property
    def dead(self) -> Solved:
        """The robot with its battery plug apart and its main breaker off, every breaker and fuse in."""
        return self._dead("")

    def pulled(self, circuit: str) -> Solved:
        """Return the robot dead, with the breaker or fuse of one circuit pulled."""
        if circuit not in self._pulled:
            self._pulled[circuit] = self._dead(circuit)
        return self._pulled[circuit]

    @cached_property
    def least_dead(self) -> Solved:
        """The same with the least resistance that inputs may have, every breaker and fuse in."""
        return Solved(self._links(self.frame.least, self.opened | self._switched | {"main"}))

    @cached_property
    def battery_alone(self) -> Solved:
        """The battery and its own leads up to its plug, which is apart."""
        return Solved(self._links(self.frame.cold, self.opened | {"main"}, plug=False), [self._battery()])

    def least_across(self, circuit: str, plus: Node, minus: Node) -> float:
        """Return the least that a healthy circuit has across it with its breaker or fuse pulled [ohm]."""
        if circuit not in self._least:
            self._least[circuit] = Solved(self._links(self.frame.least, self._switched | {"main", circuit}))
        return self._least[circuit].ohms(plus, minus)

    def _dead(self, pulled: str) -> Solved:
        return Solved(self._links(self.frame.cold, self.opened | self._switched | {"main", pulled}, plug=False))

    @cached_property
    def _switched(self) -> frozenset[str]:
        return frozenset(c.id for c in self.anatomy.plan.circuits if self.anatomy.gives(c) == "switched")

    def _alive(self, opened: frozenset[str], dark: frozenset[str]) -> Solved:
        off = {c for c in self._switched if source_of(self.anatomy.circuits[c]) in dark | self.harm.silent}
        links = self._links(self.frame.idle, opened | off)
        return Solved(links, [self._battery(), *self._giving(dark)])

    def _giving(self, dark: frozenset[str]) -> list[Given]:
        out = dark | self.harm.silent
        given = {g.plus: g for device, g in self.frame.givens.values() if device not in out and _name(g) not in out}
        return list(given.values())

    def _let_go(self, solved: Solved) -> set[str]:
        """Return the outputs that are not held: what feeds them has less than they give."""
        low = ((d, g) for d, g in self.frame.givens.values() if solved.volts(g.feed, g.minus) < g.volts - _LOW_V)
        return {_name(given) for device, given in low if device in self.drops}

    def _battery(self) -> Given:
        plus, minus = (self._post(polarity.value) for polarity in (PLUS, MINUS))
        own = self.frame.battery_ohm if self.harm.battery_ohm is None else self.harm.battery_ohm
        return Given(minus, plus, minus, self.harm.rest_v, own)

    def _post(self, polarity: str) -> Node:
        battery = self.anatomy.battery
        return (battery.id, battery.part.sockets[0].name, polarity)

    @cached_property
    def _givers(self) -> tuple[str, ...]:
        feeding = {source_of(c) for c in self.anatomy.plan.circuits if self.anatomy.gives(c) in ("volts", "switched")}
        return tuple(d for d in feeding if d in self.anatomy.devices and self.anatomy.supplies[d])

    def _loaded(self, solved: Solved, opened: frozenset[str]) -> list[tuple[float, str]]:
        """Give how far above its rating each closed protection is, and whose it is."""
        found = []
        for name, rating_a in self._ratings.items():
            link = "main breaker" if name == "main" else f"slot {name}"
            if link in solved.links and name not in opened:
                found.append((abs(solved.amps(link)) / rating_a, name))
        return found

    @cached_property
    def _ratings(self) -> dict[str, float]:
        found = {}
        for circuit in self.anatomy.plan.circuits:
            outlet = outlet_of(self.anatomy.plan, circuit)
            limit = outlet.limit_a if outlet and circuit.circuit.kind is CircuitKind.OUTPUT else None
            rating = circuit.protection_a.value or limit
            if rating:
                found[circuit.id] = rating
        return found

    def _state(self, solved: Solved, device: str) -> int:
        supply = self.anatomy.supply(device)
        if supply is None:
            return LIT
        volts, least = solved.volts(supply.plus, supply.minus), works_from_v(supply)
        return LIT if volts > least else FLICKERS if volts > least - _FLICKER_V else DARK

    def _links(self, loads: Mapping[str, Link], opened: frozenset[str], *, plug: bool = True) -> dict[str, Link]:
        factor = self.factors.get
        links = {n: (a, b, ohm * factor(n, 1.0)) for n, (a, b, ohm) in [*self.frame.fixed.items(), *loads.items()]}
        self._add(links)
        self._swap(links)
        for name in [*(f"slot {c}" for c in opened | self.harm.unfed)]:
            if name in links:
                links[name] = (*links[name][:2], math.inf)
        if ("main" in opened or self.harm.main_off) and "main breaker" in links:
            links["main breaker"] = (*links["main breaker"][:2], math.inf)
        if not plug:
            for name in (f"plug {PLUS}", f"plug {MINUS}"):
                if name in links:
                    links[name] = (*links[name][:2], math.inf)
        return links | self._shorts() | self._ends_of_chains(links)

    def _add(self, links: dict[str, Link]) -> None:
        """Put open and poor joints into the wires; in a cable they stand in the plus, open ones in both."""
        for seat, ohm in self.harm.added.items():
            wire = seat.split(" ")[0]
            names = [wire] if wire in links else [f"{wire} {PLUS}", *([f"{wire} {MINUS}"] if math.isinf(ohm) else [])]
            for name in names:
                if name in links:
                    a, b, own = links[name]
                    links[name] = (a, b, own + ohm)

    def _swap(self, links: dict[str, Link]) -> None:
        for name in self.harm.reversed:
            circuit = self.anatomy.circuits[name]
            last = [w.id for w in circuit.wires if w.b.device == circuit.circuit.load and w.id in links]
            one, other = last[:2]
            links[one], links[other] = (
                (links[one][0], links[other][1], links[one][2]),
                (links[other][0], links[one][1], links[other][2]),
            )

    def _shorts(self) -> dict[str, Link]:
        found: dict[str, Link] = {}
        for name, ohm in self.harm.shorts.items():
            circuit = self.anatomy.circuits[name]
            lines = PAIR if circuit.circuit.kind is CircuitKind.BUS else (PLUS, MINUS)
            one, other = (self.anatomy.at(circuit, "B", line) for line in lines)
            if one and other:
                found[f"short {name}"] = (one, other, ohm)
        for name, ohm in self.harm.frames.items():
            if plus := self.anatomy.at(self.anatomy.circuits[name], "B", PLUS):
                found[f"frame {name}"] = (plus, FRAME, ohm)
        for device, ohm in self.harm.wet.items():
            if supply := self.anatomy.supply(device):
                found[f"wet {device}"] = (supply.plus, supply.minus, ohm)
        return found

    def _ends_of_chains(self, links: dict[str, Link]) -> dict[str, Link]:
        found: dict[str, Link] = {}
        for chain in self.anatomy.chains:
            if chain.name in self.harm.missing:
                gone = chain.ends[int(self.harm.missing[chain.name] * len(chain.ends))]
                name = f"terminator {chain.name} {gone}"
                found[name] = (*links[name][:2], math.inf)
            if chain.name in self.harm.extra:
                others = [d.id for d in chain.devices if d.id not in chain.ends] or [chain.devices[0].id]
                there = others[int(self.harm.extra[chain.name] * len(others))]
                high, low = ((there, chain.path, str(line)) for line in PAIR)
                found[f"extra {chain.name}"] = (high, low, TERMINATOR_OHM)
        return found


def _name(given: Given) -> str:
    return "output " + " ".join(given.plus)


def works_from_v(supply: Supply) -> float:
    """Return the supply that a device works from [V]: as its part says, else 6 V or what suits a lower rail."""
    part = supply.device.part
    stated = part.number("stops below") or part.number("works from")
    rail = supply.socket.volts
    usual = _WORKS_FROM_V if rail is None else min(_WORKS_FROM_V, _SHARE_OF_LOW_VOLTS * rail)
    return usual if stated is None else stated
