"""Rows of the frame: against plus, against minus, against every motor's windings."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Final

from loomwright.electrical.board import whole_board
from loomwright.electrical.hand_meter import ohm_words
from loomwright.electrical.network_of import FRAME, end_node
from loomwright.electrical.parts import minus_node, plus_node
from loomwright.electrical.practice import practice, practice_source
from loomwright.model.part import Polarity
from loomwright.model.reason import Origin
from loomwright.proof.wake_up_board import ALL_IN, blocks, main_port
from loomwright.proof.wake_up_motors import lead_probe
from loomwright.proof.wake_up_result import Expected, Kind, Measurement, Probe, Stop, Topic
from loomwright.proof.wake_up_words import ohms
from loomwright.rulebook import Isolation, chassis_isolation
from loomwright.rulebook.lookup import called
from loomwright.wiring.result import CircuitKind
from loomwright.wording import natural

if TYPE_CHECKING:
    from collections.abc import Iterator

    from loomwright.plan.result import Plan
    from loomwright.proof.wake_up_reading import Readings

_WIDE: Final = 10
"""The range is this much wider than what is good, so that a good reading can be told from a better one."""
_METAL: Final = (
    "Touch both probes to the frame first: they must read like the leads alone. Paint and coating insulate; a screw or "
    "a cut edge is bare."
)

_STEADY: Final = "Any steady reading that is not open is worth a search. Write it down, with the way round."
_WOOD: Final = (
    "On a board of wood or plastic the frame is whatever metal the wires come near: brackets, rails, motor cases, one "
    "after the other. With none at all, write open."
)


def frame_rows(readings: Readings) -> Iterator[Measurement]:
    """Give the rows of the frame against plus and against minus."""
    asked = _asked(readings.plan)
    board = whole_board(readings.plan)
    for block, supply in blocks(readings.plan)[:1]:
        for polarity, node in ((Polarity.PLUS, plus_node(block, supply)), (Polarity.MINUS, minus_node(block, supply))):
            low, _ = readings.span(board, FRAME, node)
            yield Measurement(
                number=0,
                key=f"chassis: {polarity}",
                topic=Topic.CHASSIS,
                about="chassis",
                what=f"The frame against {polarity}",
                why="Swarf or a pinched wire on the frame costs boards. The main breaker does not part minus, so only "
                "this row shows it.",
                board=ALL_IN,
                red=main_port(block, supply, polarity),
                black=Probe("bare metal of the frame"),
                setting=ohms(_WIDE * asked.good_from_ohm),
                expected=_insulated(low, asked.good_from_ohm),
                swapped=_insulated(low, asked.good_from_ohm),
                stop=Stop(
                    words=f"below {ohm_words(asked.at_least_ohm)}",
                    then="Take branches off one by one until it jumps; look where wires pass edges and at motor cases.",
                    source=asked.rule,
                    below=asked.at_least_ohm,
                ),
                first=(_METAL,),
                notes=(_STEADY, _WOOD),
            )


def motor_rows(readings: Readings) -> Iterator[Measurement]:
    """Give the row of each motor with its controller apart: a phase against the frame."""
    plan = readings.plan
    asked = _asked(plan)
    board = whole_board(plan)
    motors = [c for c in plan.circuits if c.circuit.kind is CircuitKind.MOTOR and c.wires]
    for circuit in sorted(motors, key=lambda c: natural(c.id)):
        wire = circuit.wires[0]
        low, _ = readings.span(board, end_node(wire, wire.a), FRAME)
        name = called(plan, circuit.circuit.load)
        yield Measurement(
            number=0,
            key=f"{circuit.id}: frame",
            topic=Topic.MOTOR,
            about=circuit.id,
            what=f"The windings of {name} against the frame",
            why="A worn winding or a screw that is too long joins a motor's lead to its case. One lead stands for all: "
            "the windings join them.",
            board=ALL_IN,
            red=lead_probe(wire),
            black=Probe("bare metal of the motor's case, or of the frame beside it"),
            setting=ohms(_WIDE * asked.good_from_ohm),
            expected=_insulated(low, asked.good_from_ohm),
            swapped=_insulated(low, asked.good_from_ohm),
            stop=Stop(
                words=f"below {ohm_words(asked.at_least_ohm)}",
                then="Take the motor's leads off its controller and measure again: motor or controller.",
                source=asked.rule,
                below=asked.at_least_ohm,
            ),
            wires=tuple(wire.id for wire in circuit.wires),
        )


def _asked(plan: Plan) -> Isolation:
    """Return what the rule book asks of the frame, or good practice where it asks nothing."""
    good_ohm = practice("good insulation")
    return chassis_isolation(plan.rules) or Isolation(good_ohm, good_ohm, practice_source("good insulation"))


def _insulated(low_ohm: float, good_ohm: float) -> Expected:
    """Return the expectation of two things that nothing in the plan joins [ohm]."""
    if math.isinf(low_ohm):
        return Expected(
            kind=Kind.AT_LEAST,
            words=f"open, or at least {ohm_words(good_ohm)}",
            reason="nothing in this plan joins the two",
            origin=Origin.COMPUTED,
            low=good_ohm,
        )
    return Expected(  # pragma: no cover  no part of a plan is joined to the frame
        kind=Kind.UNKNOWN, words="not known", reason="something joins the two", origin=Origin.UNKNOWN
    )
