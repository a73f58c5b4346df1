"""Set the packet's chapters as typst code: each block by the function of the house that shows it."""

from __future__ import annotations

from dataclasses import dataclass, field
from importlib.resources import files
from itertools import accumulate, zip_longest
from typing import TYPE_CHECKING, Final

from loomwright.documents.look import wire_colour
from loomwright.documents.packet.blocks import (
    Block,
    Card,
    Chapter,
    Contents,
    Drawing,
    Leaf,
    Look,
    Notice,
    Para,
    Part,
    Points,
    Rows,
    Section,
    Side,
    Stage,
    Table,
)
from loomwright.documents.packet.in_print import said
from loomwright.documents.typst.code import colour, string
from loomwright.documents.typst.scene import scene_code

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping, Sequence

    from loomwright.documents.scene import Scene

_HOUSE: Final = "house.typ"
_POINTS: Final = {"points": "points", "plain": "plain", "steps": "steps", "ticks": "ticks"}
_ALIGN: Final = {Look.NUMBER: "end"}
_WIRE_MM: Final = 9


@dataclass(frozen=True, slots=True)
class Frame:
    """What every page says: paper ("a4", "us-letter"), title of the file, left and middle of the foot, the caution."""

    paper: str
    title: str
    left: str
    middle: str
    caution: str


@dataclass(frozen=True, slots=True)
class Code:
    """Chapters as typst code, and their drawings by the names of their files."""

    body: str
    drawings: Mapping[str, str]


@dataclass(slots=True)
class _Press:
    """Writes code, and keeps each drawing as a source of its own; `named` is what their names begin with."""

    frame: Frame
    named: str
    sources: dict[str, str] = field(default_factory=dict)

    def part(self, part: Part) -> Iterator[str]:
        match part:
            case Leaf():
                beside = "\n".join(self.part(part.beside))
                yield "#pagebreak(weak: true)"
                yield f"#leaf([\n{self.side(part.front)}\n{self.side(part.back)}\n], [\n{beside}\n])"
            case Side():
                yield self.side(part)
            case Chapter():
                yield from self.chapter(part)

    def side(self, side: Side) -> str:
        body = "\n".join(self.block(block) for block in side.blocks)
        return f"#side({said(side.title)}, {side.columns}, [\n{body}\n])"

    def chapter(self, chapter: Chapter) -> Iterator[str]:
        if chapter.drawn:
            for i, block in enumerate(chapter.blocks):
                yield self.drawing(block, chapter.title if i == 0 else "") if isinstance(block, Drawing) else ""
            return
        if chapter.wide:
            yield f'#turned("{self.frame.paper}", ['
            yield from self.upright(chapter)
            yield "])"
        else:
            yield from self.upright(chapter)

    def upright(self, chapter: Chapter) -> Iterator[str]:
        fresh = ", fresh: false" if chapter.wide else ""
        if chapter.cover:
            yield f"#masthead({said(chapter.title)}, {said(chapter.below)})"
        else:
            yield f"#chapter({said(chapter.title)}{fresh})"
        if chapter.work and self.frame.caution:
            yield f"#notice({string(self.frame.caution)})"
        for block, below in zip_longest(chapter.blocks, chapter.blocks[1:]):
            code = self.block(block)
            yield f"#leading[{code}]" if _leads(block, below) else code

    def block(self, block: Block) -> str:
        match block:
            case Drawing():
                return self.drawing(block)
            case Card():
                return self.card(block)
            case Table():
                return _table(block)
            case Stage():
                return _stage(block)
            case _:
                return _words(block)

    def drawing(self, drawing: Drawing, title: str = "") -> str:
        scene = drawing.scene
        shown = f'include "{self.keep(scene)}"'
        alt = string(f"{scene.title}. {scene.description}")
        if not drawing.own_page:
            return f"#figure(alt: {alt}, {shown})"
        wide = "true" if scene.width_mm > scene.height_mm else "false"
        return f'#plate(paper: "{self.frame.paper}", wide: {wide}, alt: {alt}, title: {string(title)}, {shown})'

    def card(self, card: Card) -> str:
        texts = _array(f"({string(name)}, {said(told)})" for name, told in card.texts)
        steps = _array(map(said, card.steps))
        alt = string(f"{card.scene.title}. {card.scene.description}")
        shown = f'include "{self.keep(card.scene)}"'
        below = f"{said(card.note)}, {said(card.used)}"
        return f"#card({string(card.title)}, alt: {alt}, {shown}, {texts}, {steps}, {below})"

    def keep(self, scene: Scene) -> str:
        name = f"{self.named}-{len(self.sources) + 1}.typ"
        self.sources[name] = scene_code(scene)
        return name


def code_of(parts: Sequence[Part], frame: Frame, *, drawings: str) -> Code:
    """Return chapters as code; the names of their drawings begin with `drawings`, which no other code has."""
    press = _Press(frame, drawings)
    return Code("\n".join(line for part in parts for line in press.part(part) if line), press.sources)


def bound(codes: Sequence[Code], frame: Frame) -> dict[str, str]:
    """Return the typst sources of a packet by their names; "main.typ" is the one to set."""
    head = (
        f'#import "{_HOUSE}": *\n'
        f"#set document(title: {string(frame.title)}, date: none)\n"
        f'#show: house.with(paper: "{frame.paper}", left: {said(frame.left)}, middle: {string(frame.middle)})\n'
    )
    house = (files("loomwright") / "data" / "packet" / _HOUSE).read_text(encoding="utf-8")
    body = "\n".join(code.body for code in codes)
    drawings = {name: drawing for code in codes for name, drawing in code.drawings.items()}
    return {"main.typ": f"{head}{body}\n", _HOUSE: house, **drawings}


def _leads(block: Block, below: Block | None) -> bool:
    """Tell whether a block says what the one below it is, so that no page may end between the two."""
    return isinstance(block, Para) and below is not None and not isinstance(below, Section)


def _words(block: Section | Para | Notice | Points | Contents) -> str:
    match block:
        case Contents():
            return "#contents()"
        case Section():
            return f"#section({said(block.title)})"
        case Para():
            return f"#para({said(block.text)}{', bold: true' if block.strong else ''})"
        case Notice():
            return f"#notice({said(block.text)})"
        case Points():
            return f"#{_POINTS[block.kind]}({', '.join(map(said, block.items))})" if block.items else ""


def _table(table: Table) -> str:
    if not any(group.rows for group in table.groups):
        return f"#para({said(table.empty)})" if table.empty else ""
    kept = any(group.runs for group in table.groups)
    widths = _array("auto" if not column.share else f"{column.share:g}fr" for column in table.columns)
    heads = _array(said(column.head) for column in table.columns if any(c.head for c in table.columns))
    aligns = _array(_ALIGN.get(column.look, "start") for column in table.columns)
    if kept:
        widths, heads, aligns = f"(0pt, ..{widths})", f'("", ..{heads})', f"(start, ..{aligns})"
    rows = ",\n  ".join(line for group in table.groups for line in _group(table, group, kept=kept))
    small = ", small: true" if table.small else ""
    tight = ", tight: true" if table.tight else ""
    return f"#sheet({widths}, {heads}, {aligns}{small}{tight},\n  {rows})"


def _stage(stage: Stage) -> str:
    steps = _array(map(said, stage.steps))
    beside = _array(f"({string(name)}, {_array(map(said, told))})" for name, told in stage.beside if told)
    below = f"[{_table(stage.table)}]" if stage.table is not None else "none"
    return f"#stage({said(stage.title)}, {steps}, {beside}, {below})"


def _array(items: Iterable[str]) -> str:
    """Write an array; a comma ends it, so that one item is an array too."""
    return f"({''.join(f'{item}, ' for item in items)})"


def _group(table: Table, group: Rows, *, kept: bool) -> Iterator[str]:
    if group.title and group.rows:
        tight = ", tight: true" if table.tight else ""
        legend = f", legend: {_array(map(said, group.legend))}" if group.legend else ""
        yield f"group({len(table.columns) + kept}, {said(group.title)}, {said(group.note)}{tight}{legend})"
    runs = _starts(group.runs) if group.runs else {}
    for number, row in enumerate(group.rows):
        if kept and (number in runs or not runs):
            yield f"kept({runs.get(number, 1)})"
        cells = ((column.look, text) for column, text in zip(table.columns, row, strict=True))
        yield ", ".join(f"{'room' if look is Look.WRITE else 'cell'}({_cell(look, text)})" for look, text in cells)


def _starts(runs: tuple[int, ...]) -> dict[int, int]:
    """Return how many rows stay together by the first of them."""
    return dict(zip(accumulate(runs, initial=0), runs, strict=False))


def _cell(look: Look, text: str) -> str:
    match look:
        case Look.STRONG:
            return f"text(weight: 700, {said(text)})"
        case Look.WIRE:
            return _wire(text)
        case Look.END_A | Look.END_B:
            mark = "end-a" if look is Look.END_A else "end-b"
            return f"beside({mark}, {said(text)})" if text else "none"
        case Look.TICK:
            return "box-to-tick" if not text else said(text)
        case Look.WRITE:
            return said(text) if text else "none"
        case Look.TEXT | Look.NUMBER:
            return said(text)


def _wire(told: str) -> str:
    """Show the colours of wires as the wires, each with its code beside it; any other word stands alone."""
    try:
        looks = [wire_colour(code) for code in told.split(", ")]
    except ValueError:
        return said(told)
    shown = [
        f"wire({colour(look.fill)}, {colour(look.stripe) if look.stripe else 'none'}, width: {_WIRE_MM}mm); "
        f"h(0.8mm); {said(look.code)}"
        for look in looks
    ]
    return f"{{{'; h(2mm); '.join(shown)}}}"
