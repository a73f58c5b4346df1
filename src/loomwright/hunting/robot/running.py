"""What a meter shows while one motor runs: what the wires that it uses drop, and what it takes."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, TypeAlias

import numpy as np

from loomwright.hunting.robot.faults import FaultKind, is_pair
from loomwright.hunting.robot.meters import probed, wire_name_words
from loomwright.hunting.robot.motors import driven
from loomwright.hunting.robot.practice import practice
from loomwright.hunting.robot.shown import Scale, Shown, below_v, columns
from loomwright.hunting.robot.shows import motors
from loomwright.rulebook.lookup import feeds
from loomwright.wiring.result import CircuitKind

if TYPE_CHECKING:
    from collections.abc import Iterator

    import numpy.typing as npt

    from loomwright.hunting.robot.chain import Programs
    from loomwright.hunting.robot.motors import Driven
    from loomwright.model.device import Device
    from loomwright.plan.result import PlannedCircuit, PlannedWire

    Floats: TypeAlias = npt.NDArray[np.float64]

_HALF = 0.5
#: A joint this poor in a loaded wire lets its motor stall or its breaker cool: the drop is then all of it [ohm].
_LOADED_SHARE = 0.05
#: The place of "weak" among the outcomes of a motor that is tried.
_WEAK = 1


def running_checks(programs: Programs) -> Iterator[Shown]:
    """Give every check that takes a meter while one motor runs."""
    for motor, driver in motors(programs.plan):
        yield from _running(programs, motor, driver)
    yield from _main_drops(programs)


def _running(programs: Programs, motor: Device, driver: Device) -> Iterator[Shown]:
    """Give what is measured while one motor runs: the drop of the wires that only it uses, and its current."""
    does = driven(programs, motor, driver)
    runs = _takes(does)
    feed = [c for c in feeds(programs.plan, driver.id) if is_pair(c)][:1]
    leads = [c for c in programs.plan.circuits if c.circuit.load == motor.id and c.circuit.kind is CircuitKind.MOTOR]
    for circuit in [*feed, *(c for c in leads if is_pair(c))]:
        for wire in circuit.wires:
            if probed(wire):
                yield _drop(programs, wire, runs)
    for circuit in feed:
        yield Shown(
            kind="amps",
            about=circuit.id,
            place=circuit.id,
            chances=_as_amps(programs, circuit, does.tried),
            scale=Scale(
                unit="A",
                healthy=practice("driving current") / 2,
                bands=(("none", practice("no amps")), ("little", practice("little amps")), ("as expected", math.inf)),
            ),
        )


def _takes(does: Driven) -> Floats:
    """Return the chance that a motor takes current: also a weak one does."""
    return np.asarray(1 - does.tried[:, -1], dtype=np.float64)


def _main_drops(programs: Programs) -> Iterator[Shown]:
    """Give the drop of the battery's own leads while any motor runs."""
    anything = [_takes(driven(programs, motor, driver)) for motor, driver in motors(programs.plan)]
    if anything:
        runs = np.max(anything, axis=0)
        for wire in programs.plan.wires:
            if wire.kind is CircuitKind.MAIN and probed(wire):
                yield _drop(programs, wire, runs)


def _drop(programs: Programs, wire: PlannedWire, runs: Floats) -> Shown:
    """Return the volts along a wire that takes the current of one motor; none where the motor does not run."""
    cases = programs.table.cases
    series = np.array([case.series_ohm if case.wire == wire.id else 0.0 for case in cases])
    volts = np.minimum(practice("driving current") * np.minimum(series, 1e3), 12.0) * np.maximum(runs, _LOADED_SHARE)
    volts = np.where(runs > _LOADED_SHARE, volts, np.where(series > 1, 12.0, 0.0))
    some = 1 - below_v(volts, practice("some drop") + 0.05)
    much = 1 - below_v(volts, practice("much drop"))
    base = float(some[0])
    return Shown(
        kind="drop",
        about=wire.id,
        place=wire_name_words(wire),
        red=wire.a.where,
        black=wire.b.where,
        chances=columns(np.maximum(some - base, 0) / (1 - base) - much, much - much[0]),
        scale=Scale(
            unit="V",
            healthy=0.0,
            bands=(("little", practice("some drop")), ("some", practice("much drop")), ("much", math.inf)),
        ),
    )


def _as_amps(programs: Programs, circuit: PlannedCircuit, tried: Floats) -> Floats:
    """Return what a motor takes: nothing where it is dead, little now and then where it is weak."""
    # A clamp shows what the block's reading of the planned slot does not.
    elsewhere = programs.table.flat()
    elsewhere[programs.table.of(FaultKind.WRONG_SLOT, circuit.id)] = _HALF
    return columns(_HALF * tried[:, _WEAK], np.maximum(tried[:, -1], elsewhere))
