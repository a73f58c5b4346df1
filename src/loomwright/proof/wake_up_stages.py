"""The first power in stages: an empty board, then one feed at a time, motors last, slow and with limited current."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Final

from loomwright.electrical.parts import WINDING
from loomwright.proof.first_turn import FirstTurn, first_turn, turn_rank
from loomwright.proof.last_stages import air_stage, signal_stage
from loomwright.proof.wake_up_power import block_reading, feed_readings
from loomwright.proof.wake_up_result import PowerStage
from loomwright.rulebook.lookup import called, drives, feeds
from loomwright.units import Dimension, show
from loomwright.wiring.battery_path import top_blocks
from loomwright.wiring.result import CircuitKind
from loomwright.wording import natural

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from loomwright.model.device import Device
    from loomwright.plan.result import Plan, PlannedCircuit

STOP_ALWAYS: Final = (
    "Smoke, a smell, a hiss, a spark that goes on, a warm lead: main breaker off at once, then pull the plug.",
    "A breaker that clicks or a fuse that blows: main breaker off. Never put it in again before the cause is found.",
    "A reading with a minus sign: main breaker off. Something is the wrong way round.",
    "Anything that moves without being told to: main breaker off.",
    "A battery that swells, leaks or hisses: main breaker off, stand clear, fetch the mentor. Do not touch it.",
)
#: Feeds that others hang on come first, then what starts slowly, then what is small; drives come after all of them.
_RANK: Final = ("block", "regulator", "computer", "radio", "network", "camera", "sensor", "light", "pneumatics")
_ROBOT_CONTROLLER: Final = "computer/robot-controller"
_OFF: Final = "Main breaker off."
_ON: Final = "Say it aloud, hands clear: main breaker on."
_LAST: Final = "After this last one: set every current limit back to what the robot file says, and check it by reading."
_DARK: Final = "No light and no volts at its end: main breaker off, and back to its rows."
_MEASURE: Final = "Nothing told to move: measure. Then probes and hands away."


def stages(plan: Plan) -> Iterator[PowerStage]:
    """Give the stages in order, numbered; their readings are not numbered yet."""
    for number, stage in enumerate(_stages(plan), 1):
        yield replace(stage, number=number)


def _stages(plan: Plan) -> Iterator[PowerStage]:
    ordered = stage_order(plan)
    turning = [circuit for circuit in ordered if _moves(plan, circuit)]
    yield _empty(plan)
    for place, circuit in enumerate(ordered):
        if turning and circuit is turning[0]:
            yield from signal_stage(plan)
        yield from _of_circuit(plan, circuit, ordered[:place], last=bool(turning) and circuit is turning[-1])
    if not turning:
        yield from signal_stage(plan)
    yield from air_stage(plan)


def _moves(plan: Plan, circuit: PlannedCircuit) -> bool:
    load = plan.robot.device(circuit.circuit.load)
    return load is not None and drives(load)


def _of_circuit(
    plan: Plan, circuit: PlannedCircuit, before: Sequence[PlannedCircuit], *, last: bool
) -> Iterator[PowerStage]:
    """Give the stage of a circuit, after those `before` it."""
    load = plan.robot.device(circuit.circuit.load)
    if load is None:
        return
    turn = first_turn(plan, load, circuit, before) if drives(load) else FirstTurn((), (), ())
    fitted = frozenset({circuit.id, *(each.id for each in before)})
    readings = tuple(feed_readings(plan, circuit, fitted))
    yield PowerStage(
        number=0,
        key=circuit.id,
        title=f"{called(plan, load.id)}, at {circuit.source} {circuit.slot.value}",
        adds=(circuit.id, *(c.id for c in _hanging(plan, load))),
        do=(
            *_put_in(circuit),
            *((_MEASURE,) if readings else ()),
            *turn.do,
            *((_LAST,) if last else ()),
        ),
        expect=(*_lights(plan, load), *turn.expect),
        readings=readings,
        stop=(_DARK, *turn.stop),
        motor=drives(load),
    )


def stage_order(plan: Plan) -> list[PlannedCircuit]:
    """Return the protected circuits in the order in which they get power: each after what feeds it, drives last."""
    known = [
        circuit
        for circuit in plan.circuits
        if circuit.circuit.kind in (CircuitKind.FEEDER, CircuitKind.BRANCH) and circuit.source and circuit.slot.value
    ]
    waiting = sorted(known, key=lambda circuit: _rank(plan, circuit))
    on = {block.id for block in top_blocks(plan.robot)}
    ordered: list[PlannedCircuit] = []
    while ready := [circuit for circuit in waiting if circuit.source in on]:
        ordered.append(ready[0])
        waiting.remove(ready[0])
        on.add(ready[0].circuit.load)
    return ordered


def _rank(plan: Plan, circuit: PlannedCircuit) -> tuple[int, int, object]:
    load = plan.robot.device(circuit.circuit.load)
    if load is None or drives(load):
        return (len(_RANK) + 1, 0, turn_rank(plan, load) if load is not None else natural(circuit.id))
    rank = _RANK.index(load.kind) if load.kind in _RANK else len(_RANK)
    return (rank, int(load.part.id != _ROBOT_CONTROLLER), natural(circuit.id))


def _empty(plan: Plan) -> PowerStage:
    lights = [f"{b.id}: {word}." for b in top_blocks(plan.robot) if (word := b.part.word("power light"))]
    return PowerStage(
        number=1,
        key="empty board",
        title="Battery in, the board empty",
        adds=(),
        do=(
            "Look once more: every breaker and fuse out, main breaker off.",
            "Push the two halves of the battery plug together. They go in without a spark.",
            _ON,
            _MEASURE,
        ),
        expect=(*lights, "Nothing moves."),
        readings=tuple(block_reading(plan)),
        stop=(
            "A spark at the plug: something is across the main leads. Pull it apart, measure the empty board again.",
        ),
    )


def _hanging(plan: Plan, load: Device) -> list[PlannedCircuit]:
    """Return the circuits without protection of their own that come alive with a device."""
    found = [c for c in plan.circuits if c.source == load.id and c.circuit.kind is CircuitKind.OUTPUT]
    return sorted(found, key=lambda circuit: natural(circuit.id))


def _put_in(circuit: PlannedCircuit) -> tuple[str, ...]:
    rating_a = circuit.protection_a.value
    kind = circuit.protection.split("/", 1)[0] or "protection"
    what = f"the {show(rating_a, Dimension.CURRENT)} {kind}" if rating_a is not None else "its protection"
    return (_OFF, f"Put {what} into {circuit.source} {circuit.slot.value}, until it is seated.", _ON)


def _lights(plan: Plan, load: Device) -> Iterator[str]:
    hanging = [plan.robot.device(circuit.circuit.load) for circuit in _hanging(plan, load)]
    for device in dict.fromkeys(d.id for d in (load, *hanging) if d is not None):
        found = plan.robot.device(device)
        if found is not None:
            yield _light(found)
    for circuit in feeds(plan, load.id):
        if circuit.circuit.kind is CircuitKind.FEEDER:
            yield "Nothing that hangs on it lights yet: its own fuses are out."


def _light(device: Device) -> str:
    if device.part.word("plus to minus") == WINDING:
        return f"{device.id}: stays off until a program asks for it."
    word = device.part.word("power light")
    recovery_s = device.part.number("recovery time")
    after = f" It is up after about {show(recovery_s, Dimension.TIME)}." if recovery_s else ""
    return f"{device.id}: {word or 'look for a power light, if it has one'}.{after}"
