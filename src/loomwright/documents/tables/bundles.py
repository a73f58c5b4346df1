"""The rows of bundles: which wires lie together on which stretch of trunk, how thick, and how they are held."""

from __future__ import annotations

import math
from itertools import pairwise
from typing import TYPE_CHECKING

from loomwright.documents.tables.cells import NOT_APPLICABLE, Amount, Cell, amount, text
from loomwright.wording import natural

if TYPE_CHECKING:
    from collections.abc import Mapping

    from loomwright.layout.result import Point, Section
    from loomwright.plan.result import Plan

_MM_PER_M = 1000
_CM_PER_M = 100


def bundle_rows(plan: Plan) -> tuple[dict[str, Cell], ...]:
    """Tell every stretch of trunk along which the same wires lie together, trunk by trunk."""
    layout = plan.layout
    if layout is None:
        return ()
    ids = {wire.key: wire.id for wire in plan.wires}
    of_run = {run.name: "+".join(ids[key] for key in run.wires if key in ids) for run in layout.runs}
    sections = sorted(layout.sections, key=lambda s: (natural(s.trunk), s.trunk, natural(s.name), s.name))
    return tuple(_row(section, of_run) for section in sections)


def _row(section: Section, of_run: Mapping[str, str]) -> dict[str, Cell]:
    return {
        "section": section.name,
        "trunk": section.trunk,
        "from": _place(section.path[0]) if section.path else NOT_APPLICABLE,
        "to": _place(section.path[-1]) if section.path else NOT_APPLICABLE,
        "length_m": amount(section.length_m, places=3),
        "wires": float(section.wires),
        "which": text(", ".join(of_run.get(run) or run for run in section.order), applies=False),
        "diameter_mm": amount(section.diameter_m * _MM_PER_M, places=1),
        "bend_radius_mm": amount(section.bend_m * _MM_PER_M, places=0),
        "ties": float(len(section.ties)),
        "tie_every_cm": _tie_every_cm(section),
        "fill_pct": amount(None if section.fill is None else section.fill * 100, places=0, applies=False),
        "note": _note(section),
    }


def _place(at: Point) -> str:
    """Write a place on the plate in millimetres: right, forward, and up where it is not on the plate."""
    figures = [str(round(part * _MM_PER_M)) for part in at]
    return ", ".join(figures if figures[2] != "0" else figures[:2])


def _tie_every_cm(section: Section) -> Amount:
    """Give the largest distance between neighbouring ties; a moving joint is held at its two ends alone."""
    gaps = [math.dist(one, other) for one, other in pairwise(section.ties)]
    widest_m = max(gaps) if gaps and not section.moving else None
    return amount(None if widest_m is None else widest_m * _CM_PER_M, places=1, applies=False)


def _note(section: Section) -> Cell:
    told = (
        "moving joint" if section.moving else "",
        "proposed" if section.proposed else "",
    )
    return tuple(words for words in told if words)
