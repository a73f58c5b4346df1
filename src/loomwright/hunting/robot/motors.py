"""What each motor does in every case: tried alone at a small current, and in a match at its own."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, TypeAlias

import numpy as np

from loomwright.electrical.parts import fed_sockets, minus_node, plus_node
from loomwright.hunting.robot.faults import FaultKind, is_brushless
from loomwright.hunting.robot.lit import feed_wires, works_from
from loomwright.hunting.robot.practice import practice
from loomwright.hunting.robot.shown import columns
from loomwright.rulebook.lookup import feeds
from loomwright.wiring.result import CircuitKind

if TYPE_CHECKING:
    import numpy.typing as npt

    from loomwright.hunting.robot.chain import Programs
    from loomwright.model.device import Device
    from loomwright.plan.result import Plan, PlannedCircuit

    Floats: TypeAlias = npt.NDArray[np.float64]

_SPREAD, _HALF = 0.1, 0.5
_DEFAULT_A = 20.0
_RATED_V = 12.0


@dataclass(frozen=True, slots=True, eq=False)
class Driven:
    """What a motor does, `[case, outcome]`: tried alone, and in the match; `works` is the chance that it runs well.

    `direct` is what it does under a plain test program.
    """

    tried: Floats
    match: Floats
    works: Floats
    direct: Floats


def driven(programs: Programs, motor: Device, driver: Device) -> Driven:
    """Return what a motor does in every case."""
    table, lit, plan = programs.table, programs.lit, programs.plan
    command = _commanded(programs, driver)
    sound = lit.of(driver).works * command
    tried_v, match_v = _under_load(programs, motor, driver)
    from_v = works_from(driver)
    tried = _turns(tried_v, from_v) * sound
    matched = _turns(match_v, from_v) * sound
    # Slowly and without its load, a motor that lacks volts is seen to be weak half of the time.
    dead, turned, feeble = 1 - tried, table.flat(), _HALF * _weak(tried_v) * tried
    lost, late, tired = 1 - matched, table.flat(), _weak(match_v) * matched
    gone = table.of(FaultKind.DEAD, motor.id) if motor.id != driver.id else []
    dead[gone], lost[gone] = 1.0, 1.0
    for circuit in _leads(plan, motor):
        _phases(programs, circuit, (dead, turned, feeble))
        _phases(programs, circuit, (lost, late, tired))
    shaky = table.shaky(*feed_wires(plan, driver), *_own_wires(plan, motor, driver), *programs.data_wires(driver))
    lost[shaky] = practice("shaky shows") / 2
    tired[shaky] = practice("shaky shows") / 2
    _confused(dead, feeble)
    _confused(lost, tired)
    alone = np.maximum(dead, np.maximum(turned, feeble))
    _software(programs, motor, (dead, turned, feeble))
    _software(programs, motor, (lost, late, tired))
    always = table.flat()
    always[table.software("always", motor.id)] = 1.0
    return Driven(
        tried=columns(feeble, turned, always, dead),
        match=columns(tired, late, always, lost),
        works=1 - np.clip(dead + feeble, 0, 1),
        direct=columns(alone),
    )


def _commanded(programs: Programs, driver: Device) -> Floats:
    """Return the chance that a controller is told to run: seen on its chain, or its pulse lead whole."""
    table, host = programs.table, programs.host
    listed = programs.listed(driver)
    if listed is not None:
        return listed.there + listed.unsteady / 2
    command = table.flat(1.0) if host is None else programs.lit.of(host).works.copy()
    for circuit in pulse_leads(programs.plan, driver):
        for wire in circuit.wires:
            matters = 1.0 if wire.role == "signal" else practice("minus lead matters")
            command[table.broken(wire.id)] *= 1 - matters
    return command


def pulse_leads(plan: Plan, driver: Device) -> list[PlannedCircuit]:
    """Return the signal circuits that bring a controller its command."""
    return [c for c in plan.circuits if c.circuit.kind is CircuitKind.SIGNAL and c.circuit.load == driver.id]


def _leads(plan: Plan, motor: Device) -> list[PlannedCircuit]:
    return [c for c in plan.circuits if c.circuit.kind is CircuitKind.MOTOR and c.circuit.load == motor.id]


def _own_wires(plan: Plan, motor: Device, driver: Device) -> list[str]:
    return [wire.id for c in (*_leads(plan, motor), *pulse_leads(plan, driver)) for wire in c.wires]


def _under_load(programs: Programs, motor: Device, driver: Device) -> tuple[Floats, ...]:
    """Return the voltage at a controller while its motor takes what it takes when tried, and in a match [V]."""
    alive = programs.lit.alive
    socket = fed_sockets(programs.plan, driver)[0]
    nodes = plus_node(driver, socket), minus_node(driver, socket)
    open_v, inside_ohm = programs.lit.of(driver).volts, alive.ohms(*nodes)
    told = [c.current.value for c in feeds(programs.plan, driver.id) if c.current.value]
    most_a = motor.part.number("stall current") or math.inf
    tried_a, match_a = practice("driving current"), told[0] if told else _DEFAULT_A
    return tuple(_shared(open_v, inside_ohm, min(one, most_a)) for one in (tried_a, match_a))


def _shared(open_v: Floats, inside_ohm: Floats, rated_a: float) -> Floats:
    """Return what a load keeps of a voltage that it shares with the resistance before it [V]."""
    load_ohm = _RATED_V / rated_a
    return np.asarray(open_v * load_ohm / (load_ohm + inside_ohm), dtype=np.float64)


def _weak(volts: Floats) -> Floats:
    """Return the chance that a motor is weak for what its voltage lacks of a healthy robot's."""
    healthy_v = float(volts[0])
    if healthy_v <= 0:
        return np.zeros_like(volts)  # nothing feeds it: it is dead, not weak
    lost = 1 - volts / healthy_v
    return np.asarray(np.clip((lost - practice("weak from")) / _SPREAD + _HALF, 0.0, 1.0), dtype=np.float64)


def _turns(volts: Floats, from_v: float) -> Floats:
    return np.asarray(np.clip(volts - from_v + practice("flickers below") / 2, 0.0, 1.0), dtype=np.float64)


def _phases(programs: Programs, circuit: PlannedCircuit, told: tuple[Floats, Floats, Floats]) -> None:
    """Add what broken or swapped motor leads do."""
    dead, turned, feeble = told
    table, wires = programs.table, [wire.id for wire in circuit.wires]
    dies = practice("phase open is dead") if is_brushless(circuit) else 1.0
    for place in [*table.broken(*wires), *table.at_ends(FaultKind.POOR, *wires)]:
        dead[place], feeble[place] = max(dead[place], dies), 1 - dies
    for place in table.at_ends(FaultKind.LOOSE, *wires):
        feeble[place] = max(feeble[place], 0.5)
    back = practice("swapped phases turn back") if is_brushless(circuit) else 1.0
    for place in table.of(FaultKind.PAIR_SHORT, circuit.id):
        dead[place] = 1.0
    for place in table.of(FaultKind.REVERSED, circuit.id):
        turned[place], feeble[place] = back, 1 - back


def _confused(dead: Floats, feeble: Floats) -> None:
    """Let some of what is dead be called weak, and the other way round: a weak motor may not move its load."""
    share = practice("dead or weak")
    dead[:], feeble[:] = dead * (1 - share) + feeble * share, feeble * (1 - share) + dead * share


def _software(programs: Programs, motor: Device, told: tuple[Floats, Floats, Floats]) -> None:
    """Add what settings and programs do."""
    for array, what in zip(told, ("dead", "backward", "weak"), strict=True):
        array[programs.table.software(what, motor.id)] = 1.0
