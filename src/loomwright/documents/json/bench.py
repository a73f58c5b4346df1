"""What the screens of the bench show, as JSON: ends in build order, the Wake-up list, power, what is left to do."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from loomwright.documents.look import wire_colour
from loomwright.proof.as_built.ends import counts
from loomwright.proof.as_built.verdicts import unit_of
from loomwright.proof.as_built.wake_locks import before_answers, before_measuring, before_power, before_signing
from loomwright.proof.wake_up_looks import POWER

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from loomwright.plan.result import Plan, PlannedWire
    from loomwright.proof.as_built.ends import BuiltEnd, BuiltGroup, BuiltStep
    from loomwright.proof.as_built.rows import Rows
    from loomwright.proof.as_built.wake_locks import Moment
    from loomwright.proof.wake_up_result import Look, Measurement, PowerStage, Probe
    from loomwright.records.event import Event
    from loomwright.records.hunts import HuntRecord

_MM = 1000


def ends_data(plan: Plan, groups: Iterable[BuiltGroup]) -> dict[str, Any]:
    """Return the Ends and Pull screens: every end in the order of building with what was recorded of it."""
    held = tuple(groups)
    wires = {wire.id: wire for wire in plan.wires}
    ends = tuple(end for group in held for step in group.steps for end in step.ends)
    return {
        "robot": plan.robot.name,
        "build": plan.robot.build,
        "revision": plan.revision,
        "counts": {str(standing): count for standing, count in counts(ends).items()},
        "groups": [
            {
                "title": one.group.title,
                "do": one.group.do,
                "why": one.group.why,
                "moving": one.group.moving,
                "steps": [_step(plan, step, wires) for step in one.steps],
            }
            for one in held
        ],
    }


def wake_up_data(at: Moment) -> dict[str, Any]:
    """Return the Wake-up screen: looks, rows with what they read and what that tells, stages of the first power.

    `locks` say what has to be done before somebody signs, measures, answers the questions before power, or gives power.
    """
    wake, power, rows, rests_on = at.wake, at.state.power_of(at.build), at.rows, at.rests_on
    return {
        "locks": {
            "signing": list(before_signing(at.state)),
            "measuring": list(before_measuring(at)),
            "answers": list(before_answers(at)),
            "power": list(before_power(at)),
        },
        "cautions": list(wake.cautions),
        "stop_always": list(wake.stop_always),
        "left_out": [one.words for one in wake.left_out],
        "power": {"told_on": power.told_on, "of": list(power.keys)},
        "looks": [_look(look, at, rests_on) for look in wake.looks],
        "rows": [_row(row, rows) for row in wake.measurements],
        "stages": [_stage(stage, at, rows) for stage in wake.stages],
    }


def hunt_data(hunt: HuntRecord | None) -> dict[str, Any] | None:
    """Return the open hunt for a fault with the keys that the next event about it names; None without one."""
    if hunt is None:
        return None
    return {
        "key": hunt.key,
        "begun": _signed(hunt.begun),
        "answers": [
            {**_signed(event), "about": event.about, "value": event.value, "unit": event.unit}
            for event in hunt.observations
        ],
        "mended": [{**_signed(event), "about": event.about} for event in hunt.mended],
        "dangers": [{**_signed(event), "about": event.about} for event in hunt.dangers],
    }


def _step(plan: Plan, built: BuiltStep, wires: Mapping[str, PlannedWire]) -> dict[str, Any]:
    step = built.step
    return {
        "circuit": step.circuit,
        "work": str(step.work),
        "first": step.first,
        "second": step.second,
        "reminder": step.reminder,
        "missing": list(step.missing),
        "made_by_file": step.made,
        "wires": [_wire(plan, wires[wire]) for wire in step.wires],
        "ends": [_end(end) for end in built.ends],
    }


def _wire(plan: Plan, wire: PlannedWire) -> dict[str, Any]:
    circuit = plan.circuit(wire.circuit)
    look = wire_colour(wire.colour) if wire.colour else None
    return {
        "id": wire.id,
        "use": wire.circuit,
        "role": wire.role,
        "colour": wire.colour,
        "fill": look.fill if look is not None else "",
        "stripe": (look.stripe or "") if look is not None else "",
        "gauge": str(wire.gauge or ""),
        "length_mm": None if wire.length_m is None else round(wire.length_m * _MM),
        "slot": " ".join(w for w in (circuit.source, circuit.slot.value) if w) if circuit is not None else "",
        "trunks": list(wire.path),
        "captive": wire.captive,
    }


def _end(end: BuiltEnd) -> dict[str, Any]:
    fitted = end.fitted
    return {
        "wire": fitted.wire,
        "end": fitted.end,
        "where": fitted.where,
        "terminal": fitted.terminal,
        "card": fitted.card,
        "by_hand": str(fitted.by_hand),
        "how": fitted.how,
        "standing": str(end.standing),
        "done": end.is_done,
        "made_by_file": end.in_file,
        "why": list(end.why),
        "reflag": end.reflag,
        "second_person": end.second_person,
        "as_planned": dict(end.as_planned),
        "of": list(end.state.keys),
        "made": [_signed(event) for event in end.state.made],
        "pulls": [_signed(event) for event in end.state.pulls],
        "failures": [_signed(event) for event in end.state.failures],
    }


def _signed(event: Event) -> dict[str, Any]:
    told = {"key": event.key, "who": event.who, "measured_at": event.measured_at}
    if event.tool:
        told["tool"] = event.tool
    if event.words:
        told["words"] = event.words
    return told


def _look(look: Look, at: Moment, rests_on: tuple[str, ...]) -> dict[str, Any]:
    known = rests_on if look.before == POWER else ()
    return {
        "number": look.number,
        "key": look.key,
        "before": look.before,
        "question": look.question,
        "why": look.why,
        "of": [*at.state.power_of(at.build).keys, *known],
        "confirmed": [_signed(event) for event in at.answers(look, known)],
    }


def _row(row: Measurement, rows: Rows) -> dict[str, Any]:
    held, judged = rows.held(row), rows.verdict(row)
    return {
        "number": row.number,
        "key": row.key,
        "topic": str(row.topic),
        "about": row.about,
        "what": row.what,
        "why": row.why,
        "board": row.board,
        "red": _probe(row.red),
        "black": _probe(row.black),
        "setting": str(row.setting),
        "unit": unit_of(row),
        "expected": row.expected.words,
        "rests_on": list(row.expected.rests_on),
        "stop": None if row.stop is None else {"words": row.stop.words, "then": row.stop.then},
        "first": list(row.first),
        "notes": list(row.notes),
        "meanings": [{"reading": one.reading, "means": one.means} for one in row.meanings],
        "wires": list(row.wires),
        "verdict": str(judged.verdict),
        "told": judged.why,
        "then": judged.then,
        "of": list(rows.of(row)),
        "readings": [{**_signed(event), "value": event.value, "unit": event.unit} for event in held.readings],
    }


def _probe(probe: Probe) -> dict[str, str]:
    return {"words": probe.words, "device": probe.device, "wire": probe.wire, "end": probe.end}


def _stage(stage: PowerStage, at: Moment, rows: Rows) -> dict[str, Any]:
    return {
        "number": stage.number,
        "key": stage.key,
        "title": stage.title,
        "adds": list(stage.adds),
        "do": list(stage.do),
        "expect": list(stage.expect),
        "stop": list(stage.stop),
        "motor": stage.motor,
        "readings": [_row(row, rows) for row in stage.readings],
        "confirmed": [_signed(event) for event in at.state.power_of(at.build).confirmations(f"stage {stage.key}")],
    }
