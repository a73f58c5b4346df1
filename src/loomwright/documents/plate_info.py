"""What stands beside the plate: title, caution, how to read it, the table of bundles, and what is not on it."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from itertools import groupby

from loomwright.documents.label import label, paragraph
from loomwright.documents.look import (
    BODY_MM,
    HAIR_MM,
    HI_VIS,
    INK,
    LINE_MM,
    NAME_MM,
    RULE_MM,
    SAND,
    SMALL_MM,
    TITLE_MM,
    WHITE,
    wire_colour,
)
from loomwright.documents.plate_badges import BADGE_MM, badge, joint, letters
from loomwright.documents.plate_devices import TERMINAL_MM
from loomwright.documents.plate_rulers import scale_bar, scale_words
from loomwright.documents.plate_sheet import PlateBundle, PlateSheet, PlateStretch
from loomwright.documents.scene import Anchor, Box, Circle, Group, Hatch, Item, Line, Rect, Stroke
from loomwright.documents.spine_head import CAUTION
from loomwright.documents.type import Face, clean, width_mm

Block = Callable[[Box], tuple[tuple[Item, ...], float]]
"""Draws itself from the top of a room downwards as wide as the room; returns its items and where it ends."""

_Sample = Callable[[float, float], tuple[Item, ...]]

GAP_MM = 3.5
PROPOSED = "Dashed: proposed. Write it under trunks: to keep or change it."

_ROW_MM = 5.7
_FAR_MM = 1e4


def title(sheet: PlateSheet, scale: float | None, paper: str) -> Block:
    """Write the robot's name large, and under it what this sheet is."""
    told = [f"Plate: from above, to scale {scale_words(scale)}" if scale else "Plate", clean(sheet.build)]
    under = " · ".join(word for word in (*told, paper) if word)

    def draw(room: Box) -> tuple[tuple[Item, ...], float]:
        name = Box(room.left, room.top - 3, room.right, room.top + 12)
        items: tuple[Item, ...] = label(
            sheet.robot or "robot?",
            name,
            size_mm=TITLE_MM,
            least_mm=7.0,
            face=Face.BOLD,
            baseline_mm=room.top + 8.4,
        )
        below = Box(room.left, room.top + 11, room.right, room.top + 17)
        items = (*items, *label(under, below, size_mm=NAME_MM, least_mm=SMALL_MM, baseline_mm=room.top + 15.4))
        return (Group(items, "title"),), room.top + 17

    return draw


def caution() -> Block:
    """Draw the caution between hazard stripes, on as many lines as it needs."""

    def draw(room: Box) -> tuple[tuple[Item, ...], float]:
        tab = 6.0
        inner = room.width - 2 * tab - 6
        size = min(5.0, max(BODY_MM, 5.0 * inner / (width_mm(CAUTION, Face.BOLD, 5.0) + 0.1)))
        lines = paragraph(CAUTION, Box(room.left, 0, room.left + inner, _FAR_MM), size_mm=size, face=Face.BOLD)
        tall = 5.0 + len(lines) * size * 1.35
        stripes = Hatch(4.0, 2.0, 45.0, INK, HI_VIS)
        text = Box(room.left + tab + 3, room.top + 2.9, room.right - tab - 3, room.top + tall)
        items: tuple[Item, ...] = (
            Rect(room.left, room.top, room.width, tall, 0, Stroke(INK, RULE_MM), WHITE),
            Rect(room.left, room.top, tab, tall, 0, Stroke(INK, RULE_MM), stripes),
            Rect(room.right - tab, room.top, tab, tall, 0, Stroke(INK, RULE_MM), stripes),
            *paragraph(CAUTION, text, size_mm=size, face=Face.BOLD),
        )
        return (Group(items, "caution", "", CAUTION),), room.top + tall

    return draw


def scale_block(scale: float) -> Block:
    """Draw the scale bar with what it is for."""
    words = "Lengths on the robot. The bar and the rulers stay true when this sheet is printed smaller."

    def draw(room: Box) -> tuple[tuple[Item, ...], float]:
        items, top = _headed("SCALE", room)
        bar = scale_bar(scale, Box(room.left + 0.3, top + 1, room.right, top + 12))
        said, end = _paragraph(words, Box(room.left, top + 8.4, room.right, _FAR_MM))
        return (*items, *bar, *said), end

    return draw


def how_to_read(sheet: PlateSheet) -> Iterator[Block]:
    """Show each mark that this sheet uses with its meaning."""
    samples = list(_samples(sheet))
    if samples:
        yield _legend(samples)
        yield separator


def _legend(samples: Sequence[tuple[_Sample, str]]) -> Block:
    """Show marks with their meaning, in as many columns as there is room for."""

    def draw(room: Box) -> tuple[tuple[Item, ...], float]:
        items, top = _headed("HOW TO READ", room)
        found = list(items)
        columns = max(1, int((room.width + 4) // 50))
        step = (room.width + 4) / columns
        per_column = -(-len(samples) // columns)
        for i, (mark, words) in enumerate(samples):
            left, y = room.left + (i // per_column) * step, top + 3.4 + (i % per_column) * 6.6
            found += mark(left, y)
            found += label(words, Box(left + 17, y - 4, left + step - 4, y + 4), size_mm=SMALL_MM, narrow=True)
        return (Group(tuple(found), "how-to-read"),), top + per_column * 6.6

    return draw


def _samples(sheet: PlateSheet) -> Iterator[tuple[_Sample, str]]:
    """Give the marks that the sheet uses, and what each one means."""
    bundles = [stretch.bundle for stretch in sheet.bundles if stretch.bundle is not None]
    if any(not trunk.proposed for trunk in sheet.trunks):
        yield (lambda x, y: _bundle(x, y, dashed=False)), "a trunk with its wires"
    if any(trunk.proposed for trunk in sheet.trunks):
        yield (lambda x, y: _bundle(x, y, dashed=True)), "a trunk that is proposed"
    if bundles:
        yield (lambda x, y: badge((x + 2.5, y), 9, "B")), "bundle B has 9 wires"
    if any(bundle.ties for bundle in bundles):
        yield _tie, "a tie around the bundle"
    if any(bundle.moving for bundle in bundles):
        yield (lambda x, y: joint((x + 3, y), "")), "moves: add so much"
    if sheet.grommets:
        yield _ring, "edge, needs a grommet"
    if any(stretch.course.value == "loose" for stretch in sheet.stretches):
        yield _loose, "wires that lie loose"
    if any(device.above_m > 0.02 for device in sheet.devices):  # noqa: PLR2004 [m]
        yield _high, "stands above the plate"
    if sheet.terminals:
        yield _ends, "end A filled, end B hollow"


def _wires(x: float, y: float, colours: Sequence[str], dash: tuple[float, ...] = ()) -> tuple[Item, ...]:
    items: list[Item] = []
    tall = 0.9
    first = y - (len(colours) - 1) * tall / 2
    for i, code in enumerate(colours):
        at = first + i * tall
        items.append(Line((x, at), (x + 14, at), Stroke(INK, tall + 0.02, dash)))
        if code != "BK":
            items.append(Line((x, at), (x + 14, at), Stroke(wire_colour(code).fill, tall - 0.22, dash)))
    return tuple(items)


def _bundle(x: float, y: float, *, dashed: bool) -> tuple[Item, ...]:
    edge = Stroke(INK, 5.2 + 2 * HAIR_MM, (2.2, 1.4) if dashed else ())
    band = (Line((x, y), (x + 14, y), edge), Line((x, y), (x + 14, y), Stroke(SAND, 5.2)))
    return (*band, *_wires(x, y, ("RD", "BK", "YE", "GN")))


def _tie(x: float, y: float) -> tuple[Item, ...]:
    bar = (
        Line((x + 7, y - 2.4), (x + 7, y + 2.4), Stroke(WHITE, 1.5)),
        Line((x + 7, y - 2.4), (x + 7, y + 2.4), Stroke(INK, 0.9)),
    )
    return (*_wires(x, y, ("RD", "BK")), *bar)


def _ring(x: float, y: float) -> tuple[Item, ...]:
    ring = (Circle((x + 7, y), 2.2, Stroke(WHITE, 1.7)), Circle((x + 7, y), 2.2, Stroke(INK, 0.7)))
    return (*_wires(x, y, ("RD", "BK")), *ring)


def _loose(x: float, y: float) -> tuple[Item, ...]:
    return _wires(x, y, ("RD", "BK"), (1.5, 0.9))


def _high(x: float, y: float) -> tuple[Item, ...]:
    left, top, right, bottom = x + 2, y - 2.3, x + 12, y + 2.3
    cut = 1.4
    lines = (
        Line((left + cut, top), (left, top + cut), Stroke(INK, HAIR_MM)),
        Line((right - cut, top), (right, top + cut), Stroke(INK, HAIR_MM)),
        Line((left + cut, bottom), (left, bottom - cut), Stroke(INK, HAIR_MM)),
        Line((right - cut, bottom), (right, bottom - cut), Stroke(INK, HAIR_MM)),
    )
    return (Rect(left, top, right - left, bottom - top, 0, Stroke(INK, LINE_MM), WHITE), *lines)


def _ends(x: float, y: float) -> tuple[Item, ...]:
    edge = Stroke(INK, LINE_MM)
    return (
        *_wires(x, y, ("RD", "BK")),
        Circle((x + 0.6, y), TERMINAL_MM, edge, INK),
        Circle((x + 13.4, y), TERMINAL_MM, edge, WHITE),
    )


def table(sheet: PlateSheet) -> Iterator[Block]:
    """Give the table of bundles: trunk by trunk what holds for all of it, then each badge with its wires."""
    named = letters(sheet)
    by_trunk: dict[str, list[PlateStretch]] = {}
    for stretch in sheet.bundles:
        by_trunk.setdefault(stretch.trunk, []).append(stretch)
    for i, (trunk, stretches) in enumerate(by_trunk.items()):
        bundles = [s.bundle for s in stretches if s.bundle is not None]
        remarks = next((t.remarks for t in sheet.trunks if t.name == trunk), ())
        head = _table_head(trunk, bundles, proposed=stretches[0].proposed, remarks=remarks, first=i == 0)
        rows = [_row(sheet, s, s.bundle, named[s.name]) for s in stretches if s.name in named and s.bundle is not None]
        yield together(head, *rows[:1])
        yield from rows[1:]


def together(*blocks: Block) -> Block:
    """Join blocks that no column may part."""

    def draw(room: Box) -> tuple[tuple[Item, ...], float]:
        items: tuple[Item, ...] = ()
        y = room.top
        for block in blocks:
            drawn, y = block(Box(room.left, y, room.right, room.bottom))
            items = (*items, *drawn)
        return items, y

    return draw


def _table_head(
    trunk: str, bundles: Sequence[PlateBundle], *, proposed: bool, remarks: Sequence[str], first: bool
) -> Block:
    """Draw the head of one trunk: its name, and what holds for all of it."""
    name = " · ".join([clean(trunk) or "trunk?", *(["proposed"] if proposed else []), *map(clean, remarks)])
    most = max(bundles, key=lambda bundle: (bundle.wires, bundle.diameter_m))
    widest = max(bundle.diameter_m for bundle in bundles)
    told = [wires_words(most.wires, up_to=len({bundle.wires for bundle in bundles}) > 1), f"{_mm(widest)} thick"]
    ties = sum(len(bundle.ties) for bundle in bundles)
    told += [f"{ties} tie{'' if ties == 1 else 's'}"] if ties else []
    fills = [bundle.fill for bundle in bundles if bundle.fill is not None]
    told += [f"{round(max(fills) * 100)} % full"] if fills else []
    moves = sum(bundle.slack_m for bundle in bundles if bundle.moving)
    told += [f"moves: +{moves * 100:.0f} cm"] if moves else []

    words = ", ".join(told)

    def draw(room: Box) -> tuple[tuple[Item, ...], float]:
        top = room.top + (0.0 if first else 0.8)
        wide = min(width_mm(name, Face.BOLD, BODY_MM) + 3.0, room.width)
        beside = width_mm(words, Face.TEXT, SMALL_MM) <= room.width - wide
        rule = Line((room.left, top), (room.right, top), Stroke(INK, RULE_MM if first else HAIR_MM))
        left = Box(room.left, top, room.left + wide - 2, top + 6)
        right = Box(room.left + wide if beside else room.left, top, room.right, top + 12)
        anchor, baseline = (Anchor.END, top + 4.3) if beside else (Anchor.START, top + 8.4)
        said = (
            *label(name, left, size_mm=BODY_MM, face=Face.BOLD, baseline_mm=top + 4.3),
            *label(words, right, size_mm=SMALL_MM, anchor=anchor, baseline_mm=baseline, narrow=True),
        )
        return (Group((rule, *said), "trunk-head", trunk),), baseline + 1.1

    return draw


def wires_words(wires: int, *, up_to: bool = False) -> str:
    """Count wires: "1 wire", "up to 9 wires"."""
    return f"{'up to ' if up_to else ''}{wires} wire{'' if wires == 1 else 's'}"


def _row(sheet: PlateSheet, stretch: PlateStretch, bundle: PlateBundle, letter: str) -> Block:
    """Draw one bundle's row: its badge, its size, and its wires by id."""
    ids = id_ranges([wire.id for name in stretch.order for wire in sheet.run(name).wires])
    words = f"{_mm(bundle.diameter_m)}: {ids}"
    wide = 13.0

    def draw(room: Box) -> tuple[tuple[Item, ...], float]:
        items = badge((room.left + 0.3, room.top + BADGE_MM + 0.1), bundle.wires, letter)
        said, end = _paragraph(words, Box(room.left + wide, room.top + 1.5, room.right, _FAR_MM), face=Face.TAG)
        return (Group((*items, *said), "bundle", stretch.name),), max(end + 0.3, room.top + _ROW_MM)

    return draw


def id_ranges(ids: Sequence[str]) -> str:
    """Write wire ids shortly: "W6–W9, W14"."""
    numbered = sorted({(m[1], int(m[2])) for name in ids if (m := re.fullmatch(r"(\D*)(\d+)", name))})
    others = sorted({name for name in ids if not re.fullmatch(r"(\D*)(\d+)", name)})
    told: list[str] = []
    for _, held in groupby(enumerate(numbered), key=lambda pair: (pair[1][0], pair[1][1] - pair[0])):
        run = [f"{prefix}{number}" for _, (prefix, number) in held]
        told += [f"{run[0]}–{run[-1]}"] if len(run) > 2 else run  # noqa: PLR2004 two are named both
    return ", ".join((*told, *others))


def _mm(length_m: float) -> str:
    return f"{length_m * 1000:.0f} mm"


def facts(sheet: PlateSheet) -> Block:
    """Say how many wires share trunks, how often they cross, and how good the routes are proved to be."""
    shared = {wire.id for stretch in sheet.bundles for name in stretch.order for wire in sheet.run(name).wires}
    told = [f"{len(shared)} wires in {len(sheet.bundles)} bundles"] if sheet.bundles else []
    told += [_crossings(sheet.crossings, sheet.forced)] if sheet.bundles else []
    tied = sheet.tie_every_m is not None and any(s.bundle is not None and s.bundle.ties for s in sheet.stretches)
    told += [f"ties at most {_mm(sheet.tie_every_m or 0.0)} apart and at bends"] if tied else []
    told += [f"routes: {clean(sheet.proof)}"] if sheet.proof else []
    words = " · ".join(told)

    def draw(room: Box) -> tuple[tuple[Item, ...], float]:
        items, end = _paragraph(words, room, size_mm=BODY_MM)
        return (Group(items, "facts"),), end

    return draw


def _crossings(count: int, forced: int) -> str:
    """Say how often wires cross inside bundles."""
    if not count:
        return "no wire crosses another inside a bundle"
    if count == 1:
        return f"1 crossing inside a bundle{', which no order avoids' if forced else ''}"
    return f"{count} crossings inside bundles, {'all' if forced == count else forced or 'none'} of them forced"


def notes(sheet: PlateSheet, homeless: Sequence[str]) -> Iterator[Block]:
    """Give what a reader has to know beyond the drawing."""
    if any(trunk.proposed for trunk in sheet.trunks):
        yield _note(PROPOSED, face=Face.BOLD)
        yield separator
    if homeless:
        yield _note(f"No room to write on the drawing: {clean(', '.join(homeless))}.")
        yield separator
    if sheet.missing:
        yield not_shown(sheet)
        yield separator


def not_shown(sheet: PlateSheet) -> Block:
    """Name what is not on the drawing, with the reason."""
    told = [f"{clean(why)}: {clean(', '.join(things))}" for why, things in _by_reason(sheet.missing)]

    def draw(room: Box) -> tuple[tuple[Item, ...], float]:
        items, end = _headed("NOT ON THIS DRAWING", room)
        for words in told:
            said, end = _paragraph(words, Box(room.left, end, room.right, _FAR_MM))
            items = (*items, *said)
        return (Group(items, "missing"),), end

    return draw


def _by_reason(missing: Sequence[tuple[str, str]]) -> list[tuple[str, list[str]]]:
    """Gather what is missing for the same reason."""
    found: dict[str, list[str]] = {}
    for thing, why in missing:
        found.setdefault(why, []).append(thing)
    return list(found.items())


def _note(words: str, *, face: Face = Face.TEXT) -> Block:
    def draw(room: Box) -> tuple[tuple[Item, ...], float]:
        return _paragraph(words, room, face=face)

    return draw


def _paragraph(
    words: str, room: Box, *, face: Face = Face.TEXT, size_mm: float = SMALL_MM
) -> tuple[tuple[Item, ...], float]:
    """Write words in lines as wide as a room; return them and where they end."""
    lines = paragraph(words, Box(room.left, room.top, room.right, _FAR_MM), size_mm=size_mm, face=face, leading=1.3)
    kept = tuple(line for line in lines if line.text)
    return kept, room.top + len(kept) * size_mm * 1.3


def _headed(words: str, room: Box, *, face: Face = Face.TAG) -> tuple[tuple[Item, ...], float]:
    """Draw a rule with a head under it."""
    rule = Line((room.left, room.top), (room.right, room.top), Stroke(INK, RULE_MM))
    said = label(
        words,
        Box(room.left, room.top, room.right, room.top + 6),
        size_mm=BODY_MM,
        face=face,
        baseline_mm=room.top + 4.6,
    )
    return (rule, *said), room.top + 6.4


def separator(room: Box) -> tuple[tuple[Item, ...], float]:
    """Leave a gap; none at the head of a column."""
    return (), room.top + GAP_MM
