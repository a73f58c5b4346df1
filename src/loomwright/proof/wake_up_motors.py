"""Rows for motor leads: a winding joins them, so that one reading shows every lead of a motor."""

from __future__ import annotations

from typing import TYPE_CHECKING

from loomwright.electrical.hand_meter import as_shown, ohm_range, ohm_words
from loomwright.electrical.network_of import wire_ohm
from loomwright.electrical.practice import leads_ohm, practice, practice_source
from loomwright.model.reason import Origin
from loomwright.proof.wake_up_result import Expected, Kind, Measurement, Probe, Stop, Topic
from loomwright.proof.wake_up_wires import ALL_OUT
from loomwright.proof.wake_up_words import at_end, ohms
from loomwright.rulebook.lookup import called
from loomwright.wiring.result import CircuitKind
from loomwright.wording import listed, natural

if TYPE_CHECKING:
    from collections.abc import Iterator

    from loomwright.model.part import Part
    from loomwright.plan.result import Plan, PlannedCircuit, PlannedWire

_PAIR = 2
_ALIKE = "Measure each two of the three leads, one after the other. All three readings are alike; write the highest."
_BRUSHES = "Brushes make it jump: turn the shaft a little, and take the lowest."


def lead_rows(plan: Plan) -> Iterator[Measurement]:
    """Give the row of each motor whose leads people join: through its windings, from lead to lead."""
    motors = [c for c in plan.circuits if c.circuit.kind is CircuitKind.MOTOR and len(c.wires) >= _PAIR]
    for circuit in sorted(motors, key=lambda c: natural(c.id)):
        yield _through(plan, circuit)


def lead_probe(wire: PlannedWire) -> Probe:
    """Return a probe at the controller's end of a motor's lead."""
    joint = f"the joint of {wire.id}, in the half on the side of {wire.a.where}"
    return Probe(joint, wire=wire.id) if wire.captive else at_end(wire, wire.a)


def _through(plan: Plan, circuit: PlannedCircuit) -> Measurement:
    motor = plan.robot.device(circuit.circuit.load)
    expected = _winding(motor.part if motor is not None else None, circuit)
    one, *others = circuit.wires
    three = len(others) > 1
    in_turn = f"in turn {listed([wire.id for wire in others], 'and')}, at the same place as {one.id}"
    stop_ohm = max(practice("winding"), as_shown(2 * (expected.high or 0.0)))
    ids = tuple(wire.id for wire in circuit.wires)
    return Measurement(
        number=0,
        key=f"{circuit.id}: leads",
        topic=Topic.MOTOR,
        about=circuit.id,
        what=f"The leads of {called(plan, circuit.circuit.load)} ({listed(list(ids), 'and')}), through its windings",
        why="A lead that is cut, or a contact that is not seated, shows here and not at the first turn. Which lead is "
        "which it can't show: that the first turn tells.",
        board=ALL_OUT,
        red=lead_probe(one),
        black=Probe(in_turn, wire=others[0].id) if three else lead_probe(others[0]),
        setting=ohms(stop_ohm),
        expected=expected,
        stop=Stop(
            words=f"above {ohm_words(stop_ohm)}, or open",
            then="Look at both ends of each lead, pull gently, make the bad end again. All ends good: the motor.",
            source=practice_source("winding"),
            above=stop_ohm,
        ),
        notes=(_ALIKE,) if three else (_BRUSHES,),
        wires=ids,
        through=ids,
    )


def _winding(part: Part | None, circuit: PlannedCircuit) -> Expected:
    """Return what a winding reads with two of its leads [ohm]: its voltage over the current at standstill, and more."""
    stall_a, rated_v = (part.number(name) if part is not None else None for name in ("stall current", "rated voltage"))
    if not stall_a or not rated_v or part is None:
        name = part.id if part is not None else circuit.circuit.load
        return Expected(
            kind=Kind.UNKNOWN,
            words="a few ohm at most; not computed, as the current of the motor at standstill is not known",
            reason=f"{name} does not say its current at standstill",
            origin=Origin.UNKNOWN,
            unknown=(circuit.circuit.load,),
        )
    brushes_ohm = practice("brushes") if part.word("commutation") != "brushless" else 0.0
    leads = sorted(wire_ohm(wire)[1] for wire in circuit.wires)[-_PAIR:]
    most = rated_v / stall_a + sum(leads) + brushes_ohm + leads_ohm()[1] + practice("contacts")
    return Expected(
        kind=Kind.RANGE,
        words=ohm_range(0.0, most),
        reason="its voltage over its current at standstill, two leads with their joints, the meter's own leads",
        origin=Origin.COMPUTED,
        low=0.0,
        high=most,
    )
