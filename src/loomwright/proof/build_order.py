"""The order in which people build the wires: trunk by trunk, each group with what is done there and why now.

Main leads come first and the battery's own leads last, after what still waits for an answer. Between them power goes
before data, a feed before what hangs on it, the lower plate before the upper one, trunks before short runs, and what
crosses a moving joint after all that is fixed.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from enum import StrEnum
from functools import cached_property

from loomwright.catalogue.tables import table
from loomwright.plan.result import Plan, PlannedCircuit, PlannedWire
from loomwright.proof.steps import Step, steps_of
from loomwright.proof.trunk_walk import Turn, walk
from loomwright.rulebook.lookup import feeds
from loomwright.wiring.result import CircuitKind
from loomwright.wording import natural


class Stage(StrEnum):
    """What kind of work a group is, in the order in which it is done."""

    MAIN = "main leads"
    FEEDS = "sub-block feeds"
    POWER = "power"
    SMALL = "small power"
    MOTORS = "motor leads"
    DATA = "data"
    WAITING = "waiting"
    BATTERY = "battery leads"


@dataclass(frozen=True, slots=True)
class BuildGroup:
    """Steps that are done in one go: along `trunk` ("" off the trunks), with what to do and why it is its turn.

    `moving` is set where the wires cross a joint that bends while the robot works.
    """

    title: str
    stage: Stage
    trunk: str
    moving: bool
    do: str
    why: str
    steps: tuple[Step, ...]

    @property
    def wires(self) -> tuple[str, ...]:
        """The ids of its wires in the order in which they are made."""
        return tuple(wire for step in self.steps for wire in step.wires)


_STAGES = {
    CircuitKind.MAIN: Stage.MAIN,
    CircuitKind.FEEDER: Stage.FEEDS,
    CircuitKind.BRANCH: Stage.POWER,
    CircuitKind.OUTPUT: Stage.SMALL,
    CircuitKind.MOTOR: Stage.MOTORS,
}
_WITHOUT_TRUNK = (Stage.MAIN, Stage.FEEDS, Stage.BATTERY, Stage.WAITING)
_LAST = (Stage.WAITING, Stage.BATTERY)
_MOVES = "All that is fixed is in by now, so try the length at both ends of the travel before the second end is made."
_EDGE = "Fit the edge strip or grommet first."
_THINNEST = 99

_Spot = tuple[bool, bool, Stage, int, str]
"""The group of a step: whether it comes at the very end, crosses a joint; its stage, level of feeding and trunk."""


def build_order(plan: Plan) -> tuple[BuildGroup, ...]:
    """Return every wire of a plan once, in groups and steps in the order in which they are built.

    Where a step stands depends on its own wires, its feed and the trunks alone: one more circuit shifts nothing else.
    """
    return _Order(plan).groups


@dataclass(frozen=True)
class _Order:
    plan: Plan

    @property
    def groups(self) -> tuple[BuildGroup, ...]:
        found: dict[_Spot, list[tuple[tuple[object, ...], Step]]] = {}
        for circuit in self.plan.circuits:
            for number, (step, wires) in enumerate(steps_of(self.plan, circuit)):
                key = (step.at_battery, *_rank(step, wires), natural(circuit.id), circuit.id, number)
                found.setdefault(self._spot(circuit, step), []).append((key, step))
        spots = sorted(found, key=self._when)
        return tuple(self._group(spot, [step for _, step in sorted(found[spot], key=_key)]) for spot in spots)

    def _spot(self, circuit: PlannedCircuit, step: Step) -> _Spot:
        stage = _stage(circuit, step)
        joint = "" if stage in _WITHOUT_TRUNK else self._joint(circuit, frozenset())
        trunk = joint or next(iter(step.path), "")
        level = len(list(self._above(circuit))) if stage in (Stage.FEEDS, Stage.SMALL) else 0
        return stage in _LAST, bool(joint), stage, level, "" if stage in _WITHOUT_TRUNK else trunk

    def _joint(self, circuit: PlannedCircuit, seen: frozenset[str]) -> str:
        """Name the first moving trunk that a circuit crosses, or that its feed crosses; "" for none."""
        own = (trunk for wire in circuit.wires for trunk in wire.path if trunk in self._moving)
        crossed = next(own, "")
        if crossed or circuit.id in seen or circuit.circuit.kind not in _STAGES:
            return crossed
        above = (self._joint(one, seen | {circuit.id}) for one in feeds(self.plan, circuit.source or _source(circuit)))
        return next((joint for joint in above if joint), "")

    def _above(self, circuit: PlannedCircuit) -> Iterator[str]:
        """Give the circuits of the same kind that have to be there first, since they feed what feeds this one."""
        seen, waiting = {circuit.id}, [circuit]
        while waiting:
            one = waiting.pop()
            for feed in feeds(self.plan, one.source or _source(one)):
                if feed.id not in seen:
                    seen.add(feed.id)
                    waiting.append(feed)
                    if feed.circuit.kind is circuit.circuit.kind:
                        yield feed.id

    def _when(self, spot: _Spot) -> tuple[object, ...]:
        last, moving, stage, level, trunk = spot
        turn = self._turns.get(trunk)
        return last, moving, list(Stage).index(stage), level, turn is None, turn or trunk

    def _group(self, spot: _Spot, steps: list[Step]) -> BuildGroup:
        _, moving, stage, _, trunk = spot
        words = _words()[stage]
        title = words["title" if trunk else "title_off_trunks"].format(trunk=trunk)
        do = f"{words['do']} {_EDGE}" if trunk in self._sharp else words["do"]
        crosses = any(self._moving.intersection(step.path) for step in steps)
        told = words["why_unfed"] if words["why_unfed"] and any(map(self._unfed, steps)) else words["why"]
        why = f"{told} {_MOVES}" if moving and crosses else told
        return BuildGroup(title, stage, trunk, moving, do, why, tuple(steps))

    def _unfed(self, step: Step) -> bool:
        """Tell whether what a step's wires come from has no power wires yet, since those wait for an answer."""
        circuit = self.plan.circuit(step.circuit)
        above = feeds(self.plan, circuit.source or _source(circuit)) if circuit is not None else ()
        return any(feed.id in self._waiting for feed in above)

    @cached_property
    def _waiting(self) -> frozenset[str]:
        return frozenset(c.id for c in self.plan.circuits for step, _ in steps_of(self.plan, c) if step.missing)

    @cached_property
    def _turns(self) -> Mapping[str, Turn]:
        return walk(self.plan)

    @cached_property
    def _moving(self) -> frozenset[str]:
        return frozenset(trunk.name for trunk in self.plan.robot.trunks if trunk.moving)

    @cached_property
    def _sharp(self) -> frozenset[str]:
        return frozenset(trunk.name for trunk in self.plan.robot.trunks if "sharp edge" in trunk.flags)


def _stage(circuit: PlannedCircuit, step: Step) -> Stage:
    if step.missing:
        return Stage.WAITING
    stage = _STAGES.get(circuit.circuit.kind, Stage.DATA)
    return Stage.BATTERY if stage is Stage.MAIN and step.at_battery else stage


def _source(circuit: PlannedCircuit) -> str:
    """Return the only device that a circuit can hang on, "" where there is a choice."""
    return circuit.circuit.sources[0] if len(circuit.circuit.sources) == 1 else ""


def _rank(step: Step, wires: tuple[PlannedWire, ...]) -> tuple[int, int]:
    """Return what makes a step come early within its group: a long way along the trunks, then thick wire."""
    return -len(step.path), min((wire.gauge.number for wire in wires if wire.gauge is not None), default=_THINNEST)


def _key(item: tuple[tuple[object, ...], Step]) -> tuple[object, ...]:
    return item[0]


def _words() -> Mapping[str, Mapping[str, str]]:
    return {row["stage"]: row for row in table("build_stage")}
