"""How a plan is told on a terminal, and as data for scripts."""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from loomwright.cli.console import coloured
from loomwright.documents.tables.how_good import how_good_line
from loomwright.jobs.advice import next_line
from loomwright.rulebook import cautions
from loomwright.wiring.result import CircuitKind

if TYPE_CHECKING:
    from collections.abc import Sequence

    from loomwright.documents.tables.wiring import CircuitRow
    from loomwright.jobs.match import Studied
    from loomwright.jobs.packet import Packed
    from loomwright.jobs.plan import Planned
    from loomwright.plan.result import Plan

_SHOWN = ("circuit", "slot", "protection", "gauge", "length", "current", "drop", "tightest limit")


def plan_as_data(plan: Plan) -> dict[str, Any]:
    """Return the plan as in plan.json; the keys are listed in docs/outputs.md."""
    from loomwright.documents.json.plan import plan_json  # noqa: PLC0415  `check` does without the papers

    data: dict[str, Any] = json.loads(plan_json(plan))
    return data


def summary(plan: Plan) -> str:
    """Say in a few lines what this robot is and which line of the file would help most next.

    The first and the last caution stand below; all of them are on the sheets.
    """
    robot = plan.robot
    fed = sum(
        1 for c in plan.circuits if c.circuit.kind in (CircuitKind.FEEDER, CircuitKind.BRANCH, CircuitKind.OUTPUT)
    )
    build = f", build {robot.build}" if robot.build else ""
    ends = sum(1 for w in plan.wires for end in (w.a, w.b) if end.treatment is not None)
    lines = [f"{robot.name}{build}: {fed} feeds, {len(plan.wires)} wires, {ends} ends to make. Plan {plan.revision}."]
    dated = f", {plan.rules.dated}" if plan.rules.dated else ""
    below = f", on {plan.rules.based_on}" if plan.rules.based_on else ""
    lines.append(f"Judged by the rule book {plan.rules.name}{dated}{below}.")
    lines.append(f"How good it is: {how_good_line(plan)}.")
    helpful = next_line(plan)
    if helpful:
        lines.append(f"What would help most next: {helpful}")
    told = cautions(plan.rules)
    lines += [f"Caution: {words}" for words in (*told[:1], *told[1:][-1:])]
    return "\n".join(lines)


def routes_line(plan: Plan) -> list[str]:
    """Say what routing all wires together saved, in copper and in trunk; nothing where nothing was routed."""
    from loomwright.jobs.saving import saving  # noqa: PLC0415  `check` does without

    held = saving(plan)
    layout = plan.layout
    if held is None or layout is None or layout.certificate is None:
        return []
    proof = layout.certificate
    less = (
        f", {(proof.baseline - proof.cost) / proof.baseline:.0%} less than by each wire's shortest way alone"
        if proof.baseline
        else ""
    )
    all_in_all = f"Routes cost {proof.cost:.0f} g of copper, with clips, bends and crossings counted as copper{less}."
    copper = f"Copper itself: {held.copper_g:.0f} g against {held.plain_copper_g:.0f} g"
    told = [f"{all_in_all} {copper}; trunk opened: {held.opened_m:.2f} m against {held.plain_opened_m:.2f} m."]
    if layout.net.proposed:
        from loomwright.layout.net import as_trunk_lines  # noqa: PLC0415  only where nobody drew a trunk

        told += [
            "To keep the trunks that are proposed, or to change them, write in robot.yaml:",
            as_trunk_lines(layout.net, layout.used),
        ]
    return told


def circuit_table(plan: Plan) -> None:
    """Write the fed circuits as a table: in colour for a person at a terminal, plain for a pipe."""
    from loomwright.documents.tables.wiring import circuit_rows  # noqa: PLC0415  `check` does without the papers

    rows = [_cells(row) for row in circuit_rows(plan) if row.kind in ("main", "feeder", "branch", "output")]
    if coloured(sys.stdout):
        _rich_table(rows)
        return
    widths = [max(len(row[i]) for row in [_SHOWN, *rows]) for i in range(len(_SHOWN))]
    for row in [_SHOWN, *rows]:
        click.echo("  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip())


def written_line(folder: Path, planned: Planned | Packed | Studied) -> str:
    """Say which files were written, from the robot's folder, and which were right already."""
    written = _names(folder, planned.written)
    as_they_were = _names(folder, [path for path in planned.papers if path not in planned.written])
    if not written:
        return f"Nothing has changed, so these stay as they were in {folder.resolve()}: {as_they_were}."
    left = f" Unchanged: {as_they_were}." if as_they_were else ""
    return f"Written in {folder.resolve()}: {written}.{left}"


def _names(folder: Path, paths: Sequence[Path]) -> str:
    return ", ".join(p.relative_to(folder).as_posix() if p.is_relative_to(folder) else str(p) for p in paths)


def _cells(row: CircuitRow) -> tuple[str, ...]:
    slot = row.source if row.slot in ("-", "") else f"{row.source} {row.slot}"
    return (
        row.circuit,
        slot,
        _unit(row.protection_a, "A"),
        row.gauge,
        row.length,
        _unit(row.current_a, "A"),
        _unit(row.drop_v, "V"),
        row.tightest if row.tightest in ("-", "unknown") else f"{row.tightest} x{row.margin_ratio}",
    )


def _unit(value: object, unit: str) -> str:
    return f"{value:g} {unit}" if isinstance(value, (int, float)) else str(value)


def _rich_table(rows: list[tuple[str, ...]]) -> None:
    from rich import box  # noqa: PLC0415  heavy: only for a person at a terminal
    from rich.console import Console  # noqa: PLC0415
    from rich.table import Table  # noqa: PLC0415

    table = Table(box=box.SIMPLE_HEAD, header_style="bold", pad_edge=False)
    right = {"length", "current", "drop", "protection"}
    for name in _SHOWN:
        table.add_column(name, justify="right" if name in right else "left", overflow="fold")
    for row in rows:
        table.add_row(*row)
    Console().print(table)
