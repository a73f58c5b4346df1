"""The papers of a plan: what is written for people and programs, and which of it stands there as it should already.

Texts are made every time and compared. Drawings and workbooks take longer, so they are made only where something may
have changed that they show: the plan, the files that it was made from, or this program.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import partial
from importlib import import_module
from typing import TYPE_CHECKING, Final, TypeAlias

from loomwright.documents.json.plan import plan_json
from loomwright.documents.tables.csv_sheet import circuits_csv, wires_csv
from loomwright.jobs.hands import Hands
from loomwright.layout import terminals_of
from loomwright.layout.result import Course, KnownNet
from loomwright.robotfile.plans import netfile
from loomwright.robotfile.plans.drawn import NAME, Drawn, read_drawn, stands, write_drawn
from loomwright.robotfile.plans.planfile import write_plan
from loomwright.robotfile.plans.source import digest_of

if TYPE_CHECKING:
    from collections.abc import Mapping
    from pathlib import Path

    from loomwright.documents.packet.packet import Half
    from loomwright.documents.packet.setting import Code
    from loomwright.plan.result import Plan
    from loomwright.robotfile.folder import RobotFolder

#: The writers of what takes its time, as "module:function", imported only where they are needed.
_DRAWN: Final = {
    "spine.svg": "loomwright.documents.spine.plan:spine_svg",
    "plate.svg": "loomwright.documents.plate.plan:plate_svg",
    "data.svg": "loomwright.documents.data_wiring.plan:data_svg",
    "plan.xlsx": "loomwright.documents.workbook.book:workbook",
}
_PACKED: Final = {
    "plate.dxf": "loomwright.documents.dxf.plate_dxf:plate_dxf",
}
#: What the helper imports while the plan is made: what the longest of all, the pages, are made with, and the rest.
_PREPARED: Final = (
    *("loomwright.documents.packet.packet", "loomwright.documents.packet.bench_pages", "typst", "ezdxf"),
    *(spot.partition(":")[0] for spot in (*_DRAWN.values(), *_PACKED.values())),
)

#: What a drawing is made from, as a digest, and its writer.
_Wanted: TypeAlias = "tuple[str, Callable[[Plan], bytes]]"


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
    drawings = _drawings(plan, out, _wanted(_DRAWN, told.shown), Hands())
    return papers | drawings | {files.plan_path(build): told.memory}


def packed_papers(
    plan: Plan, files: RobotFolder, build: str, *, printing: Printing, draft: bool, hands: Hands
) -> dict[Path, bytes | None]:
    """Return what belongs in each file of the packet; None where it stands there as it should."""
    shown = _Told.of(plan, files).shown
    pages = digest_of([shown.encode(), printing.paper.encode(), printing.date.encode(), str(draft).encode()])
    labels = digest_of(
        [shown.encode(), printing.paper.encode(), printing.labels.encode(), str(printing.start).encode()]
    )
    wanted: dict[str, _Wanted] = {
        "flags.pdf": (labels, partial(_flags, printing=printing)),
        **_wanted(_DRAWN, shown),
        "packet.pdf": (pages, _Pages(printing, draft)),
        **_wanted(_PACKED, shown),  # the helper begins with the last, whose library it has read by then
    }
    return _drawings(plan, files.out_path(build), wanted, hands)


def call_hands(hands: Hands, files: RobotFolder, build: str, *, stale: bool) -> None:
    """Call the helper where much is to be drawn for sure: a draft, or a packet that was never made."""
    if stale or not {"packet.pdf", "flags.pdf"} <= read_drawn(files.out_path(build)).keys():
        hands.call(_PREPARED)


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


def _wanted(spots: Mapping[str, str], source: str) -> dict[str, _Wanted]:
    return {name: (source, partial(_write, spot=spot)) for name, spot in spots.items()}


def _drawings(plan: Plan, out: Path, wanted: Mapping[str, _Wanted], hands: Hands) -> dict[Path, bytes | None]:
    """Make the drawings that do not stand there as they should."""
    held = read_drawn(out)
    todo = {name: one for name, one in wanted.items() if not stands(out / name, held.get(name), one[0])}
    if not todo:
        return {out / name: None for name in wanted}
    writers = {name: one.begun(plan, hands) if isinstance(one, _Pages) else one for name, (_, one) in todo.items()}
    sheets = hands.make(plan, writers)
    kept = held | {name: Drawn.of(sheet, todo[name][0]) for name, sheet in sheets.items()}
    return {**{out / name: sheets.get(name) for name in wanted}, out / NAME: write_drawn(kept)}


@dataclass(frozen=True, slots=True)
class _Pages:
    """Writes the packet's pages, the longest of all: both pairs of hands begin it before they share the rest."""

    printing: Printing
    draft: bool
    halves: tuple[Code, ...] = ()

    def begun(self, plan: Plan, hands: Hands) -> _Pages:
        """Have both halves written, each by another pair of hands."""
        from loomwright.documents.packet.packet import Half  # noqa: PLC0415  only where it is drawn

        # This process begins with the last half, for the helper knows the modules of the other by now.
        made = hands.make(plan, {half: partial(self._half, half=half) for half in reversed(Half)})
        return replace(self, halves=tuple(made[half] for half in Half))

    def _half(self, plan: Plan, *, half: Half) -> Code:
        from loomwright.documents.packet.packet import half_of  # noqa: PLC0415  only where it is drawn

        return half_of(plan, half, paper=self.printing.paper, date=self.printing.date, draft=self.draft)

    def __call__(self, plan: Plan) -> bytes:
        """Return the pages as a PDF."""
        from loomwright.documents.packet.packet import bound_pdf  # noqa: PLC0415  only where it is drawn

        return bound_pdf(plan, self.halves, paper=self.printing.paper, draft=self.draft)


def _flags(plan: Plan, *, printing: Printing) -> bytes:
    from loomwright.documents.flags.pdf import flags_pdf  # noqa: PLC0415  only where it is drawn
    from loomwright.proof.build_order import build_order  # noqa: PLC0415

    order = [wire for group in build_order(plan) for wire in group.wires]
    return flags_pdf(plan, stock=printing.labels, page=printing.paper, start=printing.start, order=order)


def _known_net(plan: Plan) -> KnownNet | None:
    if plan.layout is None:
        return None
    loose = {edge.name: edge for edge in plan.layout.edges if edge.course is Course.LOOSE}
    return KnownNet(frozenset(terminals_of(plan.robot, plan.wiring)), plan.layout.net, loose)


def _write(plan: Plan, spot: str) -> bytes:
    module, _, name = spot.partition(":")
    writer: Callable[[Plan], bytes] = getattr(import_module(module), name)
    return writer(plan)
