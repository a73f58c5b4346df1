"""The papers of a plan: what is written for people and programs, and which of it stands there as it should already.

Texts are made every time and compared. Drawings and workbooks take longer, so they are made only where something may
have changed that they show: the plan, the files that it was made from, or this program.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial
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
    from collections.abc import Callable, Mapping
    from pathlib import Path

    from loomwright.plan.result import Plan
    from loomwright.robotfile.folder import RobotFolder

#: The writers of what takes its time, as "module:function", imported only where they are needed.
_DRAWN: Final = {
    "plan.xlsx": "loomwright.documents.workbook:workbook",
    "spine.svg": "loomwright.documents.plan_spine:spine_svg",
    "plate.svg": "loomwright.documents.plan_plate:plate_svg",
}
_PACKED: Final = {
    "plate.dxf": "loomwright.documents.dxf.plate_dxf:plate_dxf",
}


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
    return (
        papers
        | _drawings(out, _writers(_DRAWN, plan), told.shown, kept=drawn.DRAWN)
        | {files.plan_path(build): told.memory}
    )


def packed_papers(
    plan: Plan, files: RobotFolder, build: str, *, printing: Printing, draft: bool
) -> dict[Path, bytes | None]:
    """Return what belongs in each file of the packet; None where it stands there as it should."""
    out, told = files.out_path(build), _Told.of(plan, files)
    printed = digest_of([told.shown.encode(), repr(printing).encode(), str(draft).encode()])
    writers: dict[str, Callable[[], bytes]] = {
        "packet.pdf": partial(_packet, plan, printing, draft=draft),
        "flags.pdf": partial(_flags, plan, printing),
        **_writers(_PACKED, plan),
    }
    return _drawings(out, writers, printed, kept=drawn.PACKED) | _drawings(
        out, _writers(_DRAWN, plan), told.shown, kept=drawn.DRAWN
    )


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


def _writers(spots: Mapping[str, str], plan: Plan) -> dict[str, Callable[[], bytes]]:
    return {name: partial(_write, spot, plan) for name, spot in spots.items()}


def _drawings(
    out: Path, writers: Mapping[str, Callable[[], bytes]], source: str, *, kept: str
) -> dict[Path, bytes | None]:
    """Make drawings, or leave them where they were made from the same source already."""
    if drawn.still_drawn(out, writers, source, kept=kept):
        return {out / name: None for name in writers}
    made = {name: write() for name, write in writers.items()}
    return {**{out / name: sheet for name, sheet in made.items()}, out / kept: drawn.drawn(made, source)}


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
