"""Measures taken from a card's drawing as a reader would: with the scale that its own bar gives."""

from __future__ import annotations

import re

from loomwright.catalogue.tables import table
from loomwright.documents.end_cards.deck import draw_card, spec_of
from loomwright.documents.end_cards.picture import Spec, View
from loomwright.documents.scene import Circle, Group, Line, Mark, Rect, Scene, Text, marks
from loomwright.units import Gauge


def scale_of(scene: Scene) -> float:
    """Divide the length of the card's bar by what is written beside it."""
    (bar,) = scene.groups("scale")
    long = max(abs(mark.end[0] - mark.start[0]) for mark in marks(bar.items) if isinstance(mark, Line))
    words = [mark.text for mark in marks(bar.items) if isinstance(mark, Text)]
    (real,) = [int(found[1]) for word in words if (found := re.fullmatch(r"(\d+) mm", word))]
    return long / real


def picture_of(scene: Scene, view: View) -> Group:
    """Return one of the four pictures with its frame."""
    (found,) = [group for group in scene.groups("picture") if group.about == view]
    return found


def within(group: Group, role: str) -> tuple[Mark, ...]:
    """Return the marks of all groups of a role inside a group."""
    inside = Scene("", "", "", 1, 1, (group,))
    return tuple(mark for found in inside.groups(role) for mark in marks(found.items))


def first_rect(group: Group, role: str) -> Rect:
    """Return the body of what a role names."""
    return next(mark for mark in within(group, role) if isinstance(mark, Rect))


def first_circle(group: Group, role: str) -> Circle:
    """Return the first circle of a role."""
    return next(mark for mark in within(group, role) if isinstance(mark, Circle))


def all_specs() -> list[tuple[str, Spec]]:
    """List a card for every row of the table of ends, at its thinnest and thickest gauge and an unknown one."""
    found = []
    for row in table("end_treatment"):
        gauges = ["-"]
        if row["thinnest_awg"]:
            thin, thick = Gauge.parse(row["thinnest_awg"]).number, Gauge.parse(row["thickest_awg"]).number
            gauges = ["unknown", str(Gauge(thin)), str(Gauge(thick))]
        sizes = ("matching", "M6", "7.2 mm") if "{size}" in row["terminal"] and row["kind"] != "blade" else ("",)
        sizes = ("matching", "3/16 in", "5.5 mm") if row["kind"] == "blade" else sizes
        for gauge in gauges:
            for size in sizes if gauge == gauges[-1] else sizes[:1]:
                terminal = row["terminal"].format(size=size)
                spec = spec_of(terminal, row["tool"], gauge, float(row["strip_mm"] or 0))
                found.append((f"{spec.kind}: {terminal}, {gauge}", spec))
    return found


def drawn(spec: Spec) -> Scene:
    """Draw a card."""
    return draw_card(spec, name="card-1", title="A card")
