"""Stages of the first power that put no breaker in: signals before anything turns, air after everything else."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from loomwright.electrical.bus import chains
from loomwright.model.part import Polarity
from loomwright.proof.wake_up_result import PowerStage
from loomwright.rulebook.lookup import called, drives
from loomwright.wiring.result import CircuitKind
from loomwright.wording import listed, natural

if TYPE_CHECKING:
    from collections.abc import Iterator

    from loomwright.plan.result import Plan

_AIR_STOP: Final = (
    "The compressor does not stop, the gauge goes beyond what the rule book allows, something moves by itself: main "
    "breaker off, open the vent valve."
)
_AIR: Final = ("compressor", "pneumatics", "valve")


def signal_stage(plan: Plan) -> Iterator[PowerStage]:
    """Give the stage in which every signal, cable and listed device answers; none where the plan has none of them."""
    expect = (*_listed(plan), *_signals(plan), *_cables(plan))
    if expect:
        yield PowerStage(
            number=0,
            key="signals",
            title="Signals, before anything turns",
            adds=(),
            do=(
                "The main breaker stays on, the robot disabled. Wait until the program runs.",
                "One person looks at the program's values and its list of devices, another goes round the robot.",
                "Press, cover or turn each sensor by hand, fingers out of every gap. Look at both ends of each cable.",
            ),
            expect=expect,
            readings=(),
            stop=(
                "A value does not change, or a device is missing: main breaker off, look at both ends of its leads.",
            ),
        )


def air_stage(plan: Plan) -> Iterator[PowerStage]:
    """Give the stage of the air, where there is any: it stores energy, so it comes after all that is proved."""
    if not plan.robot.of_kind(*_AIR):
        return
    valves = sorted((device.id for device in plan.robot.of_kind("valve")), key=natural)
    each = f" ({listed(valves, 'and')})" if valves else ""
    fills = bool(plan.robot.of_kind("compressor"))
    yield PowerStage(
        number=0,
        key="air",
        title="Air, after everything else",
        adds=(),
        do=(
            "Main breaker off. Safety glasses on. Know who opens the vent valve, and keep a hand near it.",
            "What air moves stands in its rest position, blocked where it can fall; hands and faces out of its way.",
            "Close the vent valve. Say it aloud: main breaker on, enable.",
            "Let the compressor run until it stops by itself." if fills else "Fill it slowly from outside.",
            f"Disabled, listen for leaks. Then enable, and switch one valve at a time{each}, there and back.",
            "Main breaker off. Open the vent valve until every gauge reads zero.",
        ),
        expect=(
            *(("The gauge rises, and the compressor stops below what the rule book allows.",) if fills else ()),
            "Disabled, the gauge stays.",
            "Each valve moves what it should, and nothing else.",
        ),
        readings=(),
        stop=(_AIR_STOP,),
        motor=True,
    )


def _listed(plan: Plan) -> Iterator[str]:
    for chain in chains(plan):
        told = [called(plan, device.id) for device in chain.devices if not drives(device) and device.key.number.said]
        if told:
            yield f"On the program's list of {chain.bus.name}: {listed(told, 'and')}. Drives join it stage by stage."


def _signals(plan: Plan) -> Iterator[str]:
    found: dict[str, list[str]] = {}
    for circuit in plan.circuits:
        load = plan.robot.device(circuit.circuit.load)
        leads = [wire.id for wire in circuit.wires if wire.role != "jumper" and wire.a.polarity is not Polarity.CABLE]
        if circuit.circuit.kind is CircuitKind.SIGNAL and leads and load is not None and not drives(load):
            found.setdefault(called(plan, load.id), []).extend(leads)
    for name in sorted(found, key=natural):
        ids = listed(sorted(found[name], key=natural), "and")
        yield f"{name}: the program's value follows ({ids})."


def _cables(plan: Plan) -> Iterator[str]:
    kinds = (CircuitKind.NETWORK, CircuitKind.OUTPUT)
    found = [
        wire.id
        for circuit in plan.circuits
        for wire in circuit.wires
        if circuit.circuit.kind in kinds and wire.a.polarity is Polarity.CABLE
    ]
    if found:
        yield f"A light at both ends of each network cable: {listed(sorted(found, key=natural), 'and')}."
