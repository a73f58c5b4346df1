"""The whole plan as JSON for scripts: stable keys, a stable order, no clock times.

Keys are those of the tables. A number that waits for an answer is the text "unknown", so that no script takes
it for zero; a thing that doesn't apply is null. docs/outputs.md lists every key.
"""

from __future__ import annotations

import json
from typing import Final

from loomwright.documents.json.cut import cut_told
from loomwright.documents.json.layout import chains_told, slots_told, trunks_told
from loomwright.documents.json.numbers import number
from loomwright.documents.tables.cells import NOT_APPLICABLE, Cell
from loomwright.documents.tables.every import questions, rows_of
from loomwright.documents.tables.wiring import in_order, reasoned
from loomwright.documents.workbook.sheets import own_cautions
from loomwright.findings import by_weight
from loomwright.plan.result import Plan, PlannedCircuit
from loomwright.rulebook import cautions
from loomwright.sizing.result import Constraint, Sizing

#: Grows when a key changes its meaning or goes; a new key alone leaves it as it is.
JSON_FORMAT: Final = 1


def plan_json(plan: Plan) -> bytes:
    """Write everything that a plan holds as UTF-8 JSON."""
    circuits = zip(rows_of("circuits", plan), in_order(plan), strict=True)
    told = {
        "format": JSON_FORMAT,
        "robot": plan.robot.name,
        "build": plan.robot.build or None,
        "rules": {
            "name": plan.rules.name,
            "dated": plan.rules.dated,
            "in_force": [_plain(row) for row in rows_of("rules", plan)],
        },
        "revision": plan.revision,
        "inputs": plan.inputs,
        "next_wire": plan.next_wire,
        "cautions": list(cautions(plan.rules)),
        "notes": list(own_cautions()),
        "circuits": [_circuit(row, circuit) for row, circuit in circuits],
        "wires": _wires(plan),
        "slots": slots_told(plan),
        "trunks": trunks_told(plan),
        "cut": cut_told(plan),
        "chains": chains_told(plan),
        "findings": [finding.as_dict() for finding in by_weight(plan.findings)],
        "questions": [finding.as_dict() for finding in questions(plan)],
        "sources": [_plain(row) for row in rows_of("sources", plan)],
    }
    return (json.dumps(told, ensure_ascii=False, allow_nan=False, indent=1) + "\n").encode("utf-8")


def _plain(row: dict[str, Cell]) -> dict[str, object]:
    return {key: None if cell == NOT_APPLICABLE else cell for key, cell in row.items()}


def _wires(plan: Plan) -> list[dict[str, object]]:
    wires = (wire for circuit in in_order(plan) for wire in circuit.wires)
    return [_plain(row) | {"path": list(wire.path)} for row, wire in zip(rows_of("wires", plan), wires, strict=True)]


def _circuit(row: dict[str, Cell], circuit: PlannedCircuit) -> dict[str, object]:
    """Give a circuit's row, with its lists as lists, its reasons by key, and how its wire was sized."""
    return _plain(row) | {
        "wires": [wire.id for wire in circuit.wires],
        "path": list(dict.fromkeys(trunk for wire in circuit.wires for trunk in wire.path)),
        "decided_by": list(circuit.sizing.decided_by) if circuit.sizing else [],
        "curve_assumed": circuit.curve_assumed,
        "reasons": {
            key: {"reason": held.reason, "origin": str(held.origin), "source": held.source}
            for key, held in reasoned(circuit).items()
        },
        "sources": list(circuit.sizing.sources) if circuit.sizing else [],
        "sizing": _sizing(circuit.sizing) if circuit.sizing else None,
    }


def _sizing(sizing: Sizing) -> dict[str, object]:
    return {
        "shown_for": str(sizing.shown_for),
        "area_mm2": number(sizing.area_mm2),
        "resistance_ohm": number(sizing.resistance_ohm),
        "drop_basis": sizing.drop_basis,
        "ampacity_basis": sizing.ampacity_basis,
        "assumptions": list(sizing.assumptions),
        "constraints": [_constraint(constraint) for constraint in sizing.constraints],
        "exclusions": [{"gauge": str(held.gauge), "broken": list(held.broken)} for held in sizing.exclusions],
        "reach": [{"gauge": str(held.gauge), "one_way_m": number(held.one_way_m)} for held in sizing.reach],
    }


def _constraint(constraint: Constraint) -> dict[str, object]:
    return {
        "name": str(constraint.name),
        "ok": constraint.ok,
        "needs": constraint.needs,
        "reason": constraint.reason,
        "margin": number(constraint.margin),
        "limit": number(constraint.limit),
        "actual": number(constraint.actual),
        "unit": constraint.unit,
        "source": constraint.source,
        "rests_on": list(constraint.rests_on),
        "smallest": str(constraint.smallest) if constraint.smallest else None,
    }
