"""What people see, feel and remember on the twin; what has chance in it is drawn once for each check."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cached_property

from tests.hunting.robot.twin_asks import OUTCOMES, Ask
from tests.hunting.robot.twin_body import DARK, FLICKERS, LIT, Body
from tests.hunting.robot.twin_build import harm_of
from tests.hunting.robot.twin_chains import Chains
from tests.hunting.robot.twin_faults import Hurt, drawn, twins_of
from tests.hunting.robot.twin_match import brown_out, halt, warm
from tests.hunting.robot.twin_motors import Motors
from tests.hunting.robot.twin_program import NOTHING, every_way
from tests.hunting.robot.twin_robot import Chain, Motor

_HALF = 0.5
# How often what may show does show (assumed; the document names no numbers).
_PHASE_OHM = 0.3
_OFTEN, _SOMETIMES, _SELDOM = 0.7, 0.3, 0.1
_TUG = {"open": (0.7, 0.9), "poor": (0.2, 0.9), "loose": (0.05, 0.9), "shaky": (0.1, 0.9)}
_BY_WORK = ("reversed", "wrong slot", "factory id", "double id", "terminator missing", "terminator extra", "software")
_BY_HIT = ("open", "poor", "loose", "shaky", "broken", "shaky wire", "pair short", "frame short", "out", "off")
_BY_BATTERY = ("flat", "weak")


@dataclass(eq=False)
class Senses:
    """The eyes and hands of a team at one robot with its faults."""

    body: Body
    chains: Chains
    motors: Motors
    hurts: tuple[Hurt, ...]
    seed: int

    def outcome(self, ask: Ask) -> str:
        """Return what people find."""
        finder = getattr(self, f"_{ask.kind.split(' ')[0].replace('-', '_')}")
        return str(finder(ask))

    def run(self, motor: Motor) -> str:
        """Tell what a motor does under 10 A."""
        done = self._wired(motor)
        return self._by_program(motor) if done == "runs" else done

    def _wired(self, motor: Motor) -> str:
        """Tell what a motor does under 10 A, whatever the program says."""
        coin = drawn(self.seed, f"backward {motor.id}") < _HALF
        done = self.motors.ran(motor, match=False, backward=coin)
        return "dead" if done == "runs" and self._missing_by_id(motor.driver.id) else done

    def _has(self, *kinds: str, seat: str = "") -> Hurt | None:
        return next((h for h in self.hurts if h.trouble.kind in kinds and seat in {"", h.trouble.seat}), None)

    def _chance(self, key: str) -> float:
        return drawn(self.seed, key)

    # ---- lights and lists
    def _look(self, ask: Ask) -> str:
        lights = self.body.light(ask.about)
        dead, off = self._has("dead", seat=ask.about), self._has("outputs off", seat=ask.about)
        if lights == DARK or dead or (off and off.coin >= _OFTEN):
            return "dark"
        shaken = ask.about in self._dark_when_shaken and self._chance(ask.key) < _SOMETIMES
        if lights == FLICKERS or shaken:
            return "flickers"
        wet = self._has("wet", seat=ask.about)
        return "odd" if (wet and wet.coin < _HALF) or self.set == ("odd", ask.about) else "lit"

    def _seen(self, ask: Ask) -> str:
        chain = next(c for c in self.body.anatomy.chains if any(d.id == ask.about for d in c.devices[1:]))
        seen = self.chains.outcome(chain, ask.about)
        if seen == "missing" or self._missing_by_id(ask.about) or self.set == ("unseen", ask.about):
            return "missing"
        wet = self._has("wet", seat=ask.about)
        reasons = (
            self._doubled(ask.about),
            wet is not None and wet.coin < _HALF,
            ask.about in self._unseen_when_shaken and self._chance(ask.key) < _SOMETIMES,
            self._unsteady(chain, ask),
        )
        return "comes and goes" if any(reasons) else seen

    def _missing_by_id(self, device: str) -> bool:
        return self._has("factory id", seat=device) is not None

    def _doubled(self, device: str) -> bool:
        return any(device in (h.trouble.seat, self._other(h)) for h in self.hurts if h.trouble.kind == "double id")

    def _other(self, hurt: Hurt) -> str:
        others = twins_of(self.body.anatomy, hurt.trouble.seat)
        return others[int(hurt.coin * len(others))].id

    def _unsteady(self, chain: Chain, ask: Ask) -> bool:
        weak = self.chains.unsteady(chain) and self._chance(f"unsteady {chain.name}") < _HALF
        return weak and self._chance(f"unsteady {ask.key}") < _SOMETIMES

    def _id(self, ask: Ask) -> str:
        if self._has("factory id", seat=ask.about):
            return "factory"
        return "another's" if self._has("double id", seat=ask.about) else "as planned"

    def _end(self, ask: Ask) -> str:
        gone, more = (self._has(f"terminator {how}", seat=f"chain {ask.about}") for how in ("missing", "extra"))
        return "as planned" if bool(gone) == bool(more) else "one less" if gone else "one more"

    # ---- motors and the match
    def _run(self, ask: Ask) -> str:
        return self.run(self.body.anatomy.motors[ask.about])

    def _program(self, ask: Ask) -> str:
        return "found it" if self._has("software") and self._chance(ask.key) < _OFTEN else "nothing"

    def _direct(self, ask: Ask) -> str:
        return "runs" if self._wired(self.body.anatomy.motors[ask.about]) == "runs" else "does not"

    def _drove(self, ask: Ask) -> str:
        motor = self.body.anatomy.motors[ask.about]
        ran = self.run(motor)
        if ran not in ("runs", "weak"):
            return ran
        if any(self._dies(motor, seat) for seat in self._shaky) and self._chance(f"shaken {ask.key}") < _OFTEN:
            return "dead"
        coin = drawn(self.seed, f"backward {motor.id}") < _HALF
        driven = self.motors.ran(motor, match=True, backward=coin)
        return ran if driven == "runs" and ran == "weak" else "as ever" if driven == "runs" else driven

    def _dies(self, motor: Motor, seat: str) -> bool:
        other = self._shaken[seat]
        shaken = Motors(other, Chains(other), self.motors.healthy).ran(motor, match=True, backward=True)
        return shaken == "dead"

    def _by_program(self, motor: Motor) -> str:
        what, about = self.set
        return what if about == motor.id and what in ("dead", "backward", "weak", "always") else "runs"

    @cached_property
    def set(self) -> tuple[str, str]:
        """What the program or a setting does, and to what."""
        ways = list(every_way(self.body.anatomy))
        return ways[int(self._chance("software") * len(ways))] if self._has("software") else NOTHING

    def _halt(self, _: Ask) -> str:
        gaps = [self._shaken[seat] for seat in self._shaky if self._chance(f"gap {seat}") < _OFTEN]
        still = all(self.run(motor) == "dead" for motor in self.body.anatomy.motors.values())
        told = halt(self.body, gaps, still=still and bool(self.body.anatomy.motors))
        what, length = self.set
        return max(told, length, key=OUTCOMES["halt"].index) if what == "halt" else told

    def _brown_out(self, _: Ask) -> str:
        return "yes" if brown_out(self.body) or self.set[0] == "brown-out" else "no"

    def _load(self, _: Ask) -> str:
        return "weak" if self._has("weak", "flat") else "as expected"

    def _warm(self, ask: Ask) -> str:
        return "warm" if warm(self.body, f"{ask.about} {ask.letter}") else "cold"

    # ---- what happened before
    def _since(self, ask: Ask) -> str:
        likely = {"since hit": _BY_HIT, "since battery": _BY_BATTERY, "since work": _BY_WORK}[ask.kind]
        often = any(
            h.trouble.kind in likely or (ask.kind == "since battery" and self._at_battery(h)) for h in self.hurts
        )
        share = (0.5 if often else _SELDOM) if self.hurts else 0.0
        return "yes" if self._chance(ask.key) < share else "no"

    def _at_battery(self, hurt: Hurt) -> bool:
        near = (self.body.anatomy.battery.id, self.body.anatomy.plug.id if self.body.anatomy.plug else "")
        found = self.body.anatomy.ends.get(hurt.trouble.seat)
        return found is not None and found[1].device in near

    def _smell(self, ask: Ask) -> str:
        fed = {c.id for c in self.body.anatomy.plan.circuits if c.circuit.load == ask.about}
        swapped = any(self._has("reversed", seat=circuit) for circuit in fed)
        burnt = self._has("dead", seat=ask.about) is not None or swapped
        wet = self._has("wet", seat=ask.about) is not None
        return "burnt" if self._chance(ask.key) < (0.4 if burnt else _SELDOM if wet else 0.0) else "none"

    def _clean(self, ask: Ask) -> str:
        return "wet or swarf" if self._has("wet", seat=ask.about) else "clean"

    # ---- what guards a circuit
    def _breaker(self, ask: Ask) -> str:
        if ask.about == self.body.anatomy.main.id:
            return "open" if self.body.harm.main_off or ask.about in self.body.opened else "cold"
        if self._has("out", seat=f"protection of {ask.about}"):
            return "open"
        return ("open" if self._chance(ask.key) < _HALF else "warm") if ask.about in self.body.opened else "cold"

    def _fuse(self, ask: Ask) -> str:
        blown = ask.about in self.body.opened or self._has("out", seat=f"protection of {ask.about}")
        return "blown" if blown else "good"

    def _phases(self, ask: Ask) -> str:
        circuit = self.body.anatomy.plan.circuit(ask.about)
        ends = {f"{wire.id} {letter}" for wire in circuit.wires for letter in "AB"} if circuit else set()
        bad = [h for h in self.hurts if h.trouble.seat in ends or h.trouble.seat in {end.split(" ")[0] for end in ends}]
        kinds = ("open", "broken", "poor", "loose")
        shows = any(h.size > _PHASE_OHM and h.trouble.kind in kinds for h in bad)
        return "one differs" if shows else "alike"

    def _colours(self, ask: Ask) -> str:
        return "crossed" if self._has("reversed", seat=ask.about) else "as planned"

    def _slot(self, ask: Ask) -> str:
        return "another" if self._has("wrong slot", seat=ask.about) else "as planned"

    # ---- what hands find
    def _tug(self, ask: Ask) -> str:
        hurt = self._has(*_TUG, seat=f"{ask.about} {ask.letter}")
        if hurt is None:
            return "holds"
        off, moves = _TUG[hurt.trouble.kind]
        return "comes off" if hurt.coin < off else "moves" if hurt.coin < moves else "holds"

    def _wiggle(self, ask: Ask) -> str:
        seat = f"{ask.about} {ask.letter}"
        hurt = self._has("shaky", "poor", "loose", seat=seat)
        share = {"shaky": 1.0, "poor": _OFTEN, "loose": _SELDOM}.get(hurt.trouble.kind if hurt else "", 0.0)
        moves = self._chance(ask.key) < share
        return "changes" if moves and self._shows(self._opened(seat)) else "steady"

    def _flex(self, ask: Ask) -> str:
        return "changes" if any(self._bends(h, ask.about) for h in self.hurts) else "steady"

    def _bends(self, hurt: Hurt, trunk: str) -> bool:
        wire = hurt.trouble.seat.split(" ")[0]
        along = self.body.anatomy.moving.get(wire, ())
        if hurt.trouble.kind not in ("shaky wire", "broken", "shaky") or trunk not in along:
            return False
        at = along[int(hurt.second * len(along))]
        if hurt.trouble.kind == "broken":
            whole = tuple(h for h in self.hurts if h is not hurt)
            other = Body(self.body.frame, harm_of(whole), self.body.factors, self.body.drops)
            return at == trunk and hurt.coin < _SOMETIMES and self._shows(other)
        reached = at == trunk if hurt.trouble.kind == "shaky wire" else hurt.coin < _SOMETIMES
        return reached and self._shows(self._shaken[hurt.trouble.seat])

    # ---- what opens when it is shaken
    @cached_property
    def _shaky(self) -> tuple[str, ...]:
        return tuple(h.trouble.seat for h in self.hurts if h.trouble.kind in ("shaky", "shaky wire"))

    @cached_property
    def _shaken(self) -> dict[str, Body]:
        return {seat: self._opened(seat) for seat in self._shaky}

    @cached_property
    def _dark_when_shaken(self) -> frozenset[str]:
        ids = [device.id for device in self.body.anatomy.electronics]
        return frozenset(d for other in self._shaken.values() for d in ids if other.light(d) != LIT)

    @cached_property
    def _unseen_when_shaken(self) -> frozenset[str]:
        return frozenset(d for other in self._shaken.values() for d in _unseen(other))

    def _opened(self, seat: str) -> Body:
        return replace(self.body, harm=self.body.harm.opened(seat), _pulled={}, _least={})

    def _shows(self, other: Body) -> bool:
        """Tell whether lights or the program's list change between this robot and another."""
        ids = [device.id for device in self.body.anatomy.electronics]
        lights = any((self.body.light(d) == LIT) != (other.light(d) == LIT) for d in ids)
        return lights or set(_unseen(self.body)) != set(_unseen(other))


def _unseen(body: Body) -> Iterator[str]:
    chains = Chains(body)
    for chain in body.anatomy.chains:
        yield from (d.id for d in chain.devices[1:] if chains.outcome(chain, d.id) == "missing")
