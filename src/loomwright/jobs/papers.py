"""The papers of a plan: what is written for people and programs, and which of it stands there as it should already.

Texts are made every time and compared. Drawings and workbooks take longer, so they are made only where something may
have changed that they show: the plan, the files that it was made from, or this program.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Final

from loomwright.documents.csv_sheet import circuits_csv, wires_csv
from loomwright.documents.json_plan import plan_json
from loomwright.layout import terminals_of
from loomwright.layout.result import Course, KnownNet
from loomwright.robotfile.plans import drawn, netfile
from loomwright.robotfile.plans.planfile import write_plan
from loomwright.robotfile.plans.source import digest_of

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from loomwright.plan.result import Plan
    from loomwright.robotfile.folder import RobotFolder

#: The writers of what takes its time, as "module:function", imported only where they are needed.
_DRAWN: Final = {
    "plan.xlsx": "loomwright.documents.workbook:workbook",
    "spine.svg": "loomwright.documents.plan_spine:spine_svg",
    "plate.svg": "loomwright.documents.plan_plate:plate_svg",
}


def papers_of(plan: Plan, files: RobotFolder, build: str) -> dict[Path, bytes | None]:
    """Return what belongs in each file of a plan, plan.yaml last; None where a drawing stands there as it should.

    The files whose names begin with a dot keep for the next run what this one worked out.
    """
    out = files.out_path(build)
    memory, data, source = write_plan(plan), plan_json(plan), files.source()
    papers: dict[Path, bytes | None] = {
        out / "circuits.csv": circuits_csv(plan),
        out / "wires.csv": wires_csv(plan),
        out / "plan.json": data,
    }
    if (known := _known_net(plan)) is not None:
        papers[out / netfile.NAME] = netfile.write_net(known, source)
    shown = digest_of([source.encode(), memory, data])
    if drawn.still_drawn(out, _DRAWN, shown):
        papers |= {out / name: None for name in _DRAWN}
    else:
        made = {name: _writer(spot)(plan) for name, spot in _DRAWN.items()}
        papers |= {out / name: sheet for name, sheet in made.items()} | {out / drawn.NAME: drawn.drawn(made, shown)}
    return papers | {files.plan_path(build): memory}


def _known_net(plan: Plan) -> KnownNet | None:
    if plan.layout is None:
        return None
    loose = {edge.name: edge for edge in plan.layout.edges if edge.course is Course.LOOSE}
    return KnownNet(frozenset(terminals_of(plan.robot, plan.wiring)), plan.layout.net, loose)


def _writer(spot: str) -> Callable[[Plan], bytes]:
    module, _, name = spot.partition(":")
    writer: Callable[[Plan], bytes] = getattr(import_module(module), name)
    return writer
