"""The table of bundles: trunk by trunk what holds for all of it, and each badge with its wires."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from itertools import groupby

from loomwright.documents.label import label
from loomwright.documents.look import BODY_MM, HAIR_MM, INK, RULE_MM, SMALL_MM
from loomwright.documents.plate.badges import BADGE_MM, badge, letters
from loomwright.documents.plate.blocks import Block, Drawn, below, text_block, together
from loomwright.documents.plate.sheet import PlateBundle, PlateSheet, PlateStretch
from loomwright.documents.scene import Anchor, Box, Group, Line, Stroke
from loomwright.documents.type import Face, clean, width_mm

_ROW_MM = 5.7
_IDS_MM = 13.0  # where a row's words begin


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

    def draw(room: Box) -> Drawn:
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

    def draw(room: Box) -> Drawn:
        items = badge((room.left + 0.3, room.top + BADGE_MM + 0.1), bundle.wires, letter)
        said, end = text_block(words, below(Box(room.left + _IDS_MM, 0, room.right, 0), room.top + 1.5), face=Face.TAG)
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


def facts(sheet: PlateSheet) -> Block:
    """Say how many wires share trunks, how often they cross, and how good the routes are proved to be."""
    shared = {wire.id for stretch in sheet.bundles for name in stretch.order for wire in sheet.run(name).wires}
    told = [_counts(sheet, len(shared))] if sheet.bundles else []
    told += [_crossings(sheet.crossings, sheet.forced)] if sheet.bundles else []
    tied = sheet.tie_every_m is not None and any(s.bundle is not None and s.bundle.ties for s in sheet.stretches)
    told += [f"ties at most {_mm(sheet.tie_every_m or 0.0)} apart and at bends"] if tied else []
    told += [f"routes: {clean(sheet.proof)}"] if sheet.proof else []
    words = " · ".join(told)

    def draw(room: Box) -> Drawn:
        items, end = text_block(words, room, size_mm=BODY_MM)
        return (Group(items, "facts"),), end

    return draw


def _counts(sheet: PlateSheet, shared: int) -> str:
    """Count the wires that are drawn, those of them in bundles, and the badges where not every bundle has one."""
    drawn = len({wire.id for run in sheet.runs for wire in run.wires})
    every = drawn + sum(len(ids) for _, ids in sheet.undrawn)
    bundles, badges = len(sheet.bundles), len(letters(sheet))
    first = f"{wires_words(drawn)} of {every} drawn, {shared} of them" if every > shared else wires_words(shared)
    some = f", {badges} with a badge: the longest of each trunk" if badges < bundles else ""
    return f"{first} in {bundles} bundle{'' if bundles == 1 else 's'}{some}"


def _crossings(count: int, forced: int) -> str:
    """Say how often wires cross inside bundles."""
    if not count:
        return "no wire crosses another inside a bundle"
    if count == 1:
        return f"1 crossing inside a bundle{', which no order avoids' if forced else ''}"
    return f"{count} crossings inside bundles, {'all' if forced == count else forced or 'none'} of them forced"


def _mm(length_m: float) -> str:
    return f"{length_m * 1000:.0f} mm"
