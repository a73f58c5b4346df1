"""The papers of a plan: what is written for people and programs, and which of it stands there as it should already.

Texts are made every time and compared. Drawings and workbooks take longer, so they are made only where something may
have changed that they show: the plan, the files that it was made from, or this program.
"""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from functools import partial
from importlib import import_module
from typing import TYPE_CHECKING, Final, TypeAlias

from loomwright.documents.json.plan import plan_json
from loomwright.documents.tables.csv_sheet import circuits_csv, wires_csv
from loomwright.layout import terminals_of
from loomwright.layout.result import Course, KnownNet
from loomwright.robotfile.plans import netfile
from loomwright.robotfile.plans.drawn import NAME, Drawn, read_drawn, stands, write_drawn
from loomwright.robotfile.plans.planfile import write_plan
from loomwright.robotfile.plans.source import digest_of

if TYPE_CHECKING:
    from collections.abc import Mapping
    from pathlib import Path

    from loomwright.plan.result import Plan
    from loomwright.robotfile.folder import RobotFolder

#: The writers of what takes its time, as "module:function", imported only where they are needed.
_DRAWN: Final = {
    "plan.xlsx": "loomwright.documents.workbook.book:workbook",
    "spine.svg": "loomwright.documents.spine.plan:spine_svg",
    "plate.svg": "loomwright.documents.plate.plan:plate_svg",
    "data.svg": "loomwright.documents.data_wiring.plan:data_svg",
}
_PACKED: Final = {
    "plate.dxf": "loomwright.documents.dxf.plate_dxf:plate_dxf",
}


#: How many drawings are made at once.
_AT_ONCE: Final = 2

#: What a drawing is made from, as a digest, and its writer.
_Wanted: TypeAlias = tuple[str, Callable[[], bytes]]


@dataclass(frozen=True, slots=True)
class Printing:
    """How the packet is printed: on which paper, with which date ("" leaves it open).

    `labels` names the sheet of labels for the flags ("" for plain paper), `start` its first free label, from 1.
    """

    paper: str = "a4"
    date: str = ""
    labels: str = ""
    start: int = 1


def papers_of(plan: Plan, files: RobotFolder, build: str) -> dict[Path, bytes | None]:
    """Return what belongs in each file of a plan, plan.yaml last; None where a drawing stands there as it should.

    The files whose names begin with a dot keep for the next run what this one worked out.
    """
    out, told = files.out_path(build), _Told.of(plan, files)
    papers: dict[Path, bytes | None] = {
        out / "circuits.csv": circuits_csv(plan),
        out / "wires.csv": wires_csv(plan),
        out / "plan.json": told.data,
    }
    if (known := _known_net(plan)) is not None:
        papers[out / netfile.NAME] = netfile.write_net(known, told.source)
    drawings = _drawings(out, _wanted(_DRAWN, plan, told.shown))
    return papers | drawings | {files.plan_path(build): told.memory}


def packed_papers(
    plan: Plan, files: RobotFolder, build: str, *, printing: Printing, draft: bool
) -> dict[Path, bytes | None]:
    """Return what belongs in each file of the packet; None where it stands there as it should."""
    shown = _Told.of(plan, files).shown
    pages = digest_of([shown.encode(), printing.paper.encode(), printing.date.encode(), str(draft).encode()])
    labels = digest_of(
        [shown.encode(), printing.paper.encode(), printing.labels.encode(), str(printing.start).encode()]
    )
    wanted: dict[str, _Wanted] = {
        "packet.pdf": (pages, partial(_packet, plan, printing, draft=draft)),
        "flags.pdf": (labels, partial(_flags, plan, printing)),
        **_wanted({**_PACKED, **_DRAWN}, plan, shown),
    }
    return _drawings(files.out_path(build), wanted)


@dataclass(frozen=True, slots=True)
class _Told:
    """What a plan says for its next run and for scripts, and the digests of what it was made from and what it shows."""

    memory: bytes
    data: bytes
    source: str
    shown: str

    @classmethod
    def of(cls, plan: Plan, files: RobotFolder) -> _Told:
        memory, data, source = write_plan(plan), plan_json(plan), files.source()
        return cls(memory, data, source, digest_of([source.encode(), memory, data]))


def _wanted(spots: Mapping[str, str], plan: Plan, source: str) -> dict[str, _Wanted]:
    return {name: (source, partial(_write, spot, plan)) for name, spot in spots.items()}


def _drawings(out: Path, wanted: Mapping[str, _Wanted]) -> dict[Path, bytes | None]:
    """Make the drawings that do not stand there as they should, side by side: typst works outside Python's lock."""
    held = read_drawn(out)
    todo = {name: one for name, one in wanted.items() if not stands(out / name, held.get(name), one[0])}
    if not todo:
        return {out / name: None for name in wanted}
    with ThreadPoolExecutor(_AT_ONCE) as pool:
        sheets = dict(zip(todo, pool.map(lambda one: one[1](), todo.values()), strict=True))
    kept = held | {name: Drawn.of(sheet, todo[name][0]) for name, sheet in sheets.items()}
    return {**{out / name: sheets.get(name) for name in wanted}, out / NAME: write_drawn(kept)}


def _packet(plan: Plan, printing: Printing, *, draft: bool) -> bytes:
    from loomwright.documents.packet.packet import packet_pdf  # noqa: PLC0415  only where it is drawn

    return packet_pdf(plan, paper=printing.paper, date=printing.date, draft=draft)


def _flags(plan: Plan, printing: Printing) -> bytes:
    from loomwright.documents.flags.pdf import flags_pdf  # noqa: PLC0415  only where it is drawn
    from loomwright.proof.build_order import build_order  # noqa: PLC0415

    order = [wire for group in build_order(plan) for wire in group.wires]
    return flags_pdf(plan, stock=printing.labels, page=printing.paper, start=printing.start, order=order)


def _known_net(plan: Plan) -> KnownNet | None:
    if plan.layout is None:
        return None
    loose = {edge.name: edge for edge in plan.layout.edges if edge.course is Course.LOOSE}
    return KnownNet(frozenset(terminals_of(plan.robot, plan.wiring)), plan.layout.net, loose)


def _write(spot: str, plan: Plan) -> bytes:
    module, _, name = spot.partition(":")
    writer: Callable[[Plan], bytes] = getattr(import_module(module), name)
    return writer(plan)
