"""The body of the Spine: bars with their slots, one row a branch, a second-level bar below the branch that feeds it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import groupby, takewhile

from loomwright.documents.label import label
from loomwright.documents.look import (
    BODY_MM,
    CORNER_MM,
    HAIR_MM,
    INK,
    LINE_MM,
    NAME_MM,
    RULE_MM,
    SMALL_MM,
    WHITE,
)
from loomwright.documents.scene import Anchor, Box, Circle, Group, Item, Line, Polyline, Rect, Stroke
from loomwright.documents.spine.columns import TAG_MM, Columns
from loomwright.documents.spine.margin import margin
from loomwright.documents.spine.sheet import Guard, SpineBlock, SpineBranch, SpineSheet, SpineWire
from loomwright.documents.type import Face, clean, shorten
from loomwright.documents.wirebar import CHIP_MM, LUG_MM, bar, chip, chip_width_mm, lug, thickness_mm

BAR_MM = 6.0
SUB_BAR_MM = 4.0
HEAD_MM = 13.0

_BETWEEN_MM = 2.8
_FREE_MM = 6.4
LINK_MM = 6.0
GROUP_MM = 2.5
_TAG_H = 6.4
_QUIET_MM = 2.0  # how much a free slot's tag draws back on each side
_PAIR_MM = 5.0
_FEW = 3  # so many free slots in a row are told as one
_THIN = Stroke(INK, LINE_MM)


def heads(at: Columns, y: float) -> tuple[Item, ...]:
    """Draw the table heads with their rule at the height `y`."""
    middle = (at.end_a + at.end_b) / 2
    room = {
        "PROTECTION": (at.guard, at.end_a - 2, Anchor.START),
        "END A": (at.end_a, middle - 10, Anchor.START),
        "WIRES": (middle - 10, middle + 10, Anchor.MIDDLE),
        "END B": (middle + 10, at.end_b, Anchor.END),
        "LOAD": (at.load + 2, at.load_end, Anchor.START),
        "MARGIN": (at.margin, at.margin_end, Anchor.START),
        "DROP": (at.margin_end + 2, at.drop_end, Anchor.END),
    }
    items: list[Item] = [Line((at.guard, y), (at.drop_end, y), Stroke(INK, RULE_MM))]
    for words, (left, right, anchor) in room.items():
        items += label(
            words, Box(left, y - 6, right, y), size_mm=BODY_MM, face=Face.TAG, anchor=anchor, baseline_mm=y - 1.8
        )
    return (Group(tuple(items), "heads"),)


def bar_of(
    sheet: SpineSheet, block: SpineBlock, at: Columns, top: float, *, level: int = 1
) -> tuple[tuple[Item, ...], float]:
    """Draw a block's bar from `top` down with all its branches; return the items and where they end.

    The bar is painted before the rows, so that slots sit on it like beads.
    """
    rows: list[Item] = []
    y = last = top
    kind = ""
    for branch in told_rows(block.branches):
        y += GROUP_MM if kind and kind_of(branch) != kind else 0
        kind = kind_of(branch)
        last = y + row_mm(branch) / 2
        y += row_mm(branch)
        rows.append(row(block, branch, at, last))
        if branch.feeds:
            below = at.below()
            items, end = bar_of(sheet, sheet.block(branch.feeds), below, y + LINK_MM, level=level + 1)
            rows += [link(below, last + 5.5, y + LINK_MM / 2 - 0.4, y + LINK_MM), *items]
            y = end + GROUP_MM
    width = BAR_MM if level == 1 else SUB_BAR_MM
    spine = Rect(at.axis - width / 2, top - 2, width, max(last - top, 2) + 2, fill=INK)
    title = f"{clean(block.title)}: {len(block.branches)} slots"
    return (Group((spine, *rows), "block", block.id, title),), max(y, top + 4)


def told_rows(branches: tuple[SpineBranch, ...]) -> Iterator[SpineBranch]:
    """Yield the branches, three or more free slots in a row of one kind as a single one: "L4–L9", "6 free"."""

    def alike(numbered: tuple[int, SpineBranch]) -> tuple[object, ...]:
        number, branch = numbered
        return (kind_of(branch), clean(branch.load), guard_words(branch)) if branch.free else (number,)

    for _, numbered in groupby(enumerate(branches), key=alike):
        run = [branch for _, branch in numbered]
        if len(run) < _FEW:
            yield from run
            continue
        reason = clean(run[0].load)
        told = f"{reason}, {len(run)} slots" if reason else f"{len(run)} free"
        yield replace(run[0], slot=f"{clean(run[0].slot)}–{clean(run[-1].slot)}", load=told)


def kind_of(branch: SpineBranch) -> str:
    """Return the letters that a slot's name begins with: slots of one kind stand close together."""
    return "".join(takewhile(str.isalpha, branch.slot))


def link(below: Columns, start: float, across: float, end: float) -> Item:
    """Draw how a second-level bar hangs on its own box: down, back to the left, and down."""
    x = below.load + 6
    stub = Rect(x - SUB_BAR_MM / 2, start, SUB_BAR_MM, across - start, fill=INK)
    back = Polyline(((x + SUB_BAR_MM / 2, across), (below.axis, across), (below.axis, end)), Stroke(INK, SUB_BAR_MM))
    return Group((stub, back), "link")


def row_mm(branch: SpineBranch) -> float:
    """Return the height of a branch's row [mm]; thick wires need more."""
    return _FREE_MM if branch.free else 2 * _half_pair(branch) + max(_thickest_mm(branch), CHIP_MM) + _BETWEEN_MM


def _half_pair(branch: SpineBranch) -> float:
    """Return how far plus and minus lie from the middle of the row [mm]."""
    return max(_PAIR_MM, _thickest_mm(branch) + 1.4) / 2


def _thickest_mm(branch: SpineBranch) -> float:
    """Return the thickness of the thicker bar [mm]."""
    return max((thickness_mm(wire.copper_mm) for wire in (branch.plus, branch.minus) if wire), default=0.0)


def row(block: SpineBlock, branch: SpineBranch, at: Columns, y: float) -> Group:
    """Draw one branch in its row around the height `y`."""
    items = _free(branch, at, y) if branch.free else _branch(branch, at, y)
    about = f"{block.id} {branch.slot}"
    words = [branch.slot, guard_words(branch), branch.load or ("free" if branch.free else ""), branch.detail]
    return Group(items, "branch", about, clean(", ".join(word for word in words if word)))


def _free(branch: SpineBranch, at: Columns, y: float) -> tuple[Item, ...]:
    """Draw a free slot as a quiet stub."""
    stub = at.guard + 4
    words = ", ".join(word for word in (clean(branch.load) or "free", guard_words(branch)) if word)
    return (
        *_tag(branch.slot, at, y, quiet=True),
        Line((at.left + TAG_MM - _QUIET_MM, y), (stub, y), Stroke(INK, HAIR_MM)),
        Circle((stub + 0.8, y), 0.8, Stroke(INK, HAIR_MM), WHITE),
        *label(words, Box(stub + 3, y - 3, at.load - 4, y + 3), size_mm=SMALL_MM),
    )


def _branch(branch: SpineBranch, at: Columns, y: float) -> tuple[Item, ...]:
    """Draw slot, protection, the wires, the load, its margin and its drop."""
    half = _half_pair(branch)
    return (
        *_leads(branch, at, y, half),
        *_tag(branch.slot, at, y, quiet=False),
        *_wires(branch, at, y, half),
        *_load(branch, at, y),
        *margin(branch, at, y),
        *_drop(branch, at, y),
    )


def _tag(slot: str, at: Columns, y: float, *, quiet: bool) -> tuple[Item, ...]:
    """Draw a slot as a bead on the bar."""
    height = _TAG_H - 1.6 if quiet else _TAG_H
    inset = _QUIET_MM if quiet else 0.0
    stroke = Stroke(INK, HAIR_MM if quiet else RULE_MM)
    body = Box(at.left + inset, y - height / 2, at.left + TAG_MM - inset, y + height / 2)
    return (
        Rect(body.left, body.top, body.width, body.height, height / 2, stroke, WHITE),
        *label(
            slot,
            Box(body.left + 1.6, y - 3, body.right - 1.6, y + 3),
            size_mm=SMALL_MM if quiet else NAME_MM,
            least_mm=SMALL_MM,
            face=Face.TAG,
            anchor=Anchor.MIDDLE,
        ),
    )


def _leads(branch: SpineBranch, at: Columns, y: float, half: float) -> tuple[Item, ...]:
    """Draw what joins the slot and the wires' ends: plus through the protection, minus straight, and to the load."""
    plus, minus = y - half, y + half
    edge = at.left + TAG_MM
    has_minus = branch.minus is not None
    items: list[Item] = [
        Polyline(((edge - 1.2, y - 1.6), (edge + 1.4, plus), (at.end_a, plus)), _THIN),
        Line((at.end_b, plus), (at.load, plus), _THIN),
    ]
    if has_minus:
        items += [
            Polyline(((edge - 1.2, y + 1.6), (edge + 1.4, minus), (at.end_a, minus)), _THIN),
            Line((at.end_b, minus), (at.load, minus), _THIN),
        ]
    return (*items, *_guard(branch, Box(at.guard + 1, plus - 2.5, at.end_a - 2, plus + 2.3)))


def guard_words(branch: SpineBranch) -> str:
    """Write the protection with its kind: "40 A" behind a breaker is "40 A breaker"."""
    words = clean(branch.protection)
    unsaid = words and branch.guard is not Guard.NONE and branch.guard not in words
    return f"{words} {branch.guard}" if unsaid else words


def _guard(branch: SpineBranch, box: Box) -> tuple[Item, ...]:
    """Draw the protection: a breaker has a button on top, a fuse two end caps, a limit a dashed edge."""
    if branch.guard is Guard.NONE and not clean(branch.protection):
        return ()
    dashed = (1.2, 0.8) if branch.guard in {Guard.LIMIT, Guard.NONE} else ()
    items: list[Item] = []
    middle = (box.left + box.right) / 2
    if branch.guard is Guard.BREAKER:
        items.append(Rect(middle - 1.6, box.top - 1.2, 3.2, 2.0, 0.5, None, INK))
    radius = box.height / 2 if branch.guard is Guard.FUSE else CORNER_MM / 2
    items.append(Rect(box.left, box.top, box.width, box.height, radius, Stroke(INK, LINE_MM, dashed), WHITE))
    words = Box(box.left + 1.4, box.top - 1, box.right - 1.4, box.bottom + 1)
    items += label(guard_words(branch), words, size_mm=BODY_MM, least_mm=SMALL_MM, face=Face.TAG, anchor=Anchor.MIDDLE)
    return tuple(items)


def _wires(branch: SpineBranch, at: Columns, y: float, half: float) -> tuple[Item, ...]:
    """Draw the two wires with their names, and the flag around both that says gauge and length."""
    room = at.end_b - at.end_a - 2 * LUG_MM
    pair = [(wire, y + side * half) for wire, side in ((branch.plus, -1), (branch.minus, 1)) if wire is not None]
    if not pair:
        dashed = Stroke(INK, LINE_MM, (2.0, 1.4))
        mid = (at.end_a + at.end_b) / 2
        unknown = chip((mid, y - half), (("wire?", Face.BOLD),), dashed=True)
        return (Line((at.end_a, y - half), (at.end_b, y - half), dashed), *unknown)
    flag = _flag_words([wire for wire, _ in pair])
    flag_w = max(chip_width_mm(((shorten(w, Face.TEXT, SMALL_MM, room / 2 - 8), Face.TEXT),)) for w in flag)
    named = room - flag_w - 9
    return tuple(_wire(wire, at, at_y, words, flag_w, named) for (wire, at_y), words in zip(pair, flag, strict=True))


def _flag_words(wires: list[SpineWire]) -> list[str]:
    """Return what stands on each wire: gauge on plus and length on minus where they agree, else both on each."""
    known = [("" if wire.cable else clean(wire.gauge) or "gauge?", clean(wire.length) or "length?") for wire in wires]
    if len(set(known)) < len(known) and known[0][0]:
        return list(known[0])
    return [f"{gauge} · {length}" if gauge else length for gauge, length in known]


def _wire(wire: SpineWire, at: Columns, y: float, words: str, flag_mm: float, room_mm: float) -> Group:
    """Draw one wire from lug to lug with its name near end A, in a room, and its flag near end B."""
    start, end = at.end_a + LUG_MM, at.end_b - LUG_MM
    code = shorten(clean(wire.cable), Face.TAG, SMALL_MM, room_mm * 0.6) or clean(wire.colour) or "colour?"
    name = shorten(clean(wire.id), Face.BOLD, SMALL_MM, room_mm - chip_width_mm((("", Face.BOLD), (code, Face.TAG))))
    who = ((name, Face.BOLD), (code, Face.TAG)) if name else ((code, Face.TAG),)
    who_w = chip_width_mm(who)
    shown = shorten(words, Face.TEXT, SMALL_MM, flag_mm - 2.2 + 0.01)
    flag = chip((end - 4 - flag_mm / 2, y), ((shown, Face.TEXT),), dashed="?" in words, width_mm=flag_mm)
    items = (
        *bar((start, y), (end, y), colour=wire.colour or ("WH" if wire.cable else ""), copper_mm=wire.copper_mm),
        lug((at.end_a, y), "right", filled=True),
        lug((at.end_b, y), "left", filled=False),
        *chip((start + 3 + who_w / 2, y), who),
        *flag,
    )
    return Group(items, "wire", wire.id, clean(f"{wire.id}, {code}, {', '.join(_flag_words([wire]))}"))


def _load(branch: SpineBranch, at: Columns, y: float) -> tuple[Item, ...]:
    """Draw the load's box: name, detail, and the state of the fact where it is not simply planned."""
    top, bottom = y - 5.0, y + 5.0
    width = RULE_MM * 1.6 if branch.feeds else LINE_MM
    dash = (1.6, 1.0) if branch.state else ()
    box = Rect(at.load, top, at.load_end - at.load, bottom - top, CORNER_MM, Stroke(INK, width, dash), WHITE)
    items: list[Item] = [box]
    right = at.load_end - 2
    if branch.state:
        state = shorten(clean(branch.state), Face.TAG, SMALL_MM, 14)
        items += label(state, Box(right - 14, top, right, bottom), size_mm=SMALL_MM, face=Face.TAG, anchor=Anchor.END)
        right -= 15.5
    name = Box(at.load + 2, top, right, bottom)
    two = bool(clean(branch.detail))
    items += label(
        branch.load or "load?",
        name,
        size_mm=4.0,
        least_mm=BODY_MM,
        face=Face.BOLD,
        baseline_mm=y - 0.5 if two else None,
    )
    items += label(branch.detail, name, size_mm=SMALL_MM, baseline_mm=y + 3.5, narrow=True)
    return tuple(items)


def _drop(branch: SpineBranch, at: Columns, y: float) -> tuple[Item, ...]:
    """Write the drop at the right edge."""
    room = Box(at.margin_end + 2, y - 5, at.drop_end, y + 5)
    known = clean(branch.drop)
    face = Face.BOLD if known else Face.TEXT
    return label(known or "drop?", room, size_mm=BODY_MM, face=face, anchor=Anchor.END, baseline_mm=y - 1.4)
