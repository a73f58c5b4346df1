"""plan.yaml, the tool's memory: written after every planning run, read back before the next one.

One fact a line and a stable order, so that a change on the robot is a small change in the file.
"""

from __future__ import annotations

import re
from typing import Any, Final

from loomwright.plan.memory import PLAN_FORMAT, Memory
from loomwright.plan.remembering import remembered, shortened
from loomwright.plan.result import Plan, PlannedCircuit, PlannedEnd, PlannedWire, Reasoned
from loomwright.robotfile.marked.plain_yaml import Content, lines
from loomwright.robotfile.plans.memory_reader import memory_of
from loomwright.robotfile.plans.plan_form import YES
from loomwright.robotfile.plans.plan_sections import sections, shown_gauge, shown_length
from loomwright.robotfile.plans.quick_memory import quick_memory
from loomwright.units import Dimension, show

_HEAD: Final = """\
# loomwright writes this file. To change the plan, edit robot.yaml and plan again; what is edited here is lost.
# Keep it, in git if you like: it holds the wire ids that are on the flags.
"""
_ALL_FIGURES: Final = 6
_LINE_AND_COLUMN: Final = re.compile(r":\d+:\d+$")


def write_plan(plan: Plan) -> bytes:
    """Write a plan's decisions, each with its reason, as UTF-8 YAML."""
    kept = remembered(plan)
    top: dict[str, Content] = {
        "format": PLAN_FORMAT,
        "robot": plan.robot.name,
        "build": plan.robot.build,
        "revision": plan.revision,
        "inputs": plan.inputs,
        "next wire": plan.next_wire,
        "circuits": [_circuit(circuit, kept) for circuit in sorted(plan.circuits, key=lambda held: held.id)],
    }
    return (_HEAD + "".join(f"{line}\n" for line in lines(top | sections(kept)))).encode("utf-8")


def read_memory(data: bytes, file: str) -> Memory:
    """Read what binds the next plan; `file` is the name used in faults.

    Raises
    ------
    UnreadableInputError
        For broken YAML, a newer format, a merge that git left open, or decisions that contradict each other:
        one id on two wires, a next wire that was there before.
    """
    return quick_memory(data) or memory_of(data, file=file)


def _circuit(circuit: PlannedCircuit, kept: Memory) -> dict[str, Content]:
    rating = circuit.protection_a.value
    return {
        "circuit": circuit.id,
        "source": circuit.source,
        "slot": {"value": circuit.slot.value, **_because(circuit.slot)},
        "protected by": circuit.protection,
        "protection": {
            "value": "" if rating is None else show(rating, Dimension.CURRENT, digits=_ALL_FIGURES),
            **_because(circuit.protection_a),
        },
        "gauge": {"value": shown_gauge(circuit.gauge.value), **_because(circuit.gauge)},
        "length": {"value": shown_length(circuit.length.value), **_because(circuit.length)},
        "wires": [_wire(wire, kept) for wire in sorted(circuit.wires, key=lambda held: held.role)],
    }


def _because(held: Reasoned[Any]) -> dict[str, Content]:
    """Give reason, origin and source; where nothing was decided and nobody says why, there is nothing to tell."""
    if not held.reason and not held.source and held.value in (None, ""):
        return {}
    told: dict[str, Content] = {
        "reason": shortened(held.reason),
        "origin": str(held.origin),
        "source": _steady(held.source),
    }
    return {key: value for key, value in told.items() if value != ""}


def _steady(source: str) -> str:
    """Leave line and column out of a place in the robot file: a line put in above would change half the plan."""
    return _LINE_AND_COLUMN.sub("", source)


def _wire(wire: PlannedWire, kept: Memory) -> dict[str, Content]:
    told: dict[str, Content] = {
        "role": wire.role,
        "id": wire.id,
        "gauge": shown_gauge(wire.gauge),
        "colour": wire.colour,
        "length": shown_length(wire.length_m),
    }
    if wire.twisted_with:
        told["twisted with"] = wire.twisted_with
    if wire.captive:
        told["captive"] = YES
    if wire.key in kept.fitted:
        told["fitted"] = YES
    if wire.key in kept.made:
        told["made"] = YES
    if wire.path:
        told["path"] = list(wire.path)
    return told | _end("A", wire.a) | _end("B", wire.b)


def _end(letter: str, end: PlannedEnd) -> dict[str, Content]:
    """Tell where an end goes and what is done to it; a line that has nothing to say is left out."""
    place: dict[str, Content] = {
        "device": end.device,
        "socket": end.socket,
        "polarity": str(end.polarity),
    }
    if done := end.treatment:
        place |= {
            "terminal": done.terminal,
            "strip": "" if done.strip_m is None else f"{round(done.strip_m * 1000, 2):g} mm",
            "folded": "fold back and twist" if done.folded else "",
            "tool": done.tool,
            "insulation": done.insulation,
        }
    return {f"{letter} {key}": value for key, value in place.items() if value != ""}
