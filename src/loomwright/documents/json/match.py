"""A match study as JSON: stable keys, no clock times, nothing that a second run would write otherwise."""

from __future__ import annotations

import json
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from loomwright.documents.json.numbers import number

if TYPE_CHECKING:
    from collections.abc import Mapping

    from loomwright.findings import Finding
    from loomwright.match.advise import Advice
    from loomwright.match.lasts import InARow
    from loomwright.match.rank import Effect
    from loomwright.match.verdict import BranchTold, Chance, Verdict


@dataclass(frozen=True, slots=True)
class MatchTold:
    """Everything that match.json tells; `inputs` is the digest of what people wrote."""

    robot: str
    build: str
    revision: str
    inputs: str
    asked: Mapping[str, object]
    verdict: Verdict | None
    row: tuple[InARow, ...]
    effects: tuple[Effect, ...]
    advice: tuple[Advice, ...]
    compared: Effect | None
    rests_on: tuple[str, ...]
    left_out: tuple[str, ...]
    findings: tuple[Finding, ...]
    stopped: bool


def match_json(told: MatchTold) -> bytes:
    """Return the bytes of match.json."""
    return (json.dumps(match_data(told), ensure_ascii=False, indent=2, allow_nan=False) + "\n").encode()


def match_data(told: MatchTold) -> dict[str, Any]:
    """Return a study as `match --json` tells it; the keys are listed in docs/outputs.md."""
    return {
        "robot": told.robot,
        "build": told.build,
        "revision": told.revision,
        "inputs": told.inputs,
        "asked": dict(told.asked),
        "stopped": told.stopped,
        "verdict": _verdict(told.verdict) if told.verdict is not None else None,
        "in_a_row": [
            {"match": one.number, "charge": number(one.charge), "brown_out": _chance(one.brown_out)} for one in told.row
        ],
        "what_helps": [_effect(effect) for effect in told.effects],
        "limits": [
            {"supply_limit_a": dict(one.limits), "cost": number(one.cost), **_effect(one.effect)} for one in told.advice
        ],
        "what_if": _effect(told.compared) if told.compared is not None else None,
        "left_out": list(told.left_out),
        "rests_on": list(told.rests_on),
        "findings": [finding.as_dict() for finding in told.findings],
    }


def _verdict(verdict: Verdict) -> dict[str, Any]:
    return {
        "matches": verdict.played,
        "brown_out": _chance(verdict.brown_out),
        "restart": _chance(verdict.restart),
        "main_breaker_opens": _chance(verdict.dead) if verdict.dead is not None else None,
        "outputs_off_s": number(verdict.off_s),
        "lowest_v": number(verdict.lowest_v),
        "lowest_5_percent_v": number(verdict.lowest_5_v),
        "lowest_median_v": number(verdict.lowest_50_v),
        "worst_match": verdict.worst,
        "median_match": verdict.median,
        "charge_ah": number(verdict.charge_ah),
        "charge_95_percent_ah": number(verdict.charge_95_ah),
        "energy_wh": number(verdict.energy_wh),
        "driven_m": number(verdict.metres),
        "late_s": number(verdict.late_s),
        "compressor_share": number(verdict.pump_share),
        "dips": [
            {"share": number(one.share), "currents_a": {name: number(current) for name, current in one.who}}
            for one in verdict.together
        ],
        "hangs_on": [
            {"doubt": one.key, "what": one.what, "correlation": number(one.correlation)} for one in verdict.hangs_on
        ],
        "branches": [_branch(branch) for branch in verdict.branches],
    }


def _branch(branch: BranchTold) -> dict[str, Any]:
    return {
        "name": branch.name,
        "circuit": branch.circuit,
        "peak_a": number(branch.peak_a),
        "rms_match_a": number(branch.rms_a),
        "rms_worst_10_s_a": number(branch.worst_a),
        "heats_like_a": number(branch.heat_a),
        "wire_c": number(branch.hottest_c),
        "insulation_c": number(branch.limit_c),
        "breaker_opens": _chance(branch.opened) if branch.opened is not None else None,
        "curve_assumed": branch.curve_assumed,
    }


def _chance(chance: Chance) -> dict[str, Any]:
    low, high = chance.span
    return {
        "count": chance.count,
        "of": chance.of,
        "share": number(chance.share),
        "from": number(low),
        "to": number(high),
    }


def _effect(effect: Effect) -> dict[str, Any]:
    return {
        "change": effect.words,
        "kind": effect.kind,
        "matches": effect.of,
        "risk_before": number(effect.risk_before),
        "risk": number(effect.risk),
        "saved": effect.wins,
        "lost": effect.loses,
        "lowest_v": number(effect.lowest_v),
        "lowest_5_percent_v": number(effect.lowest_5_v),
        "driven": number(effect.metres),
        "late_s": number(effect.late_s),
    }
