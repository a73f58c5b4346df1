"""The cards of a plan: one for every kind of end that somebody makes, numbered as in the tables."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from typing import Final

from loomwright.documents.end_cards import texts
from loomwright.documents.end_cards.card import EndCard, Pull, Used
from loomwright.documents.end_cards.ink import SLEEVES
from loomwright.documents.end_cards.picture import Spec, View
from loomwright.documents.end_cards.sheet import Words, draw
from loomwright.documents.end_cards.sizes import has_sizes, wire_size
from loomwright.documents.end_cards.stripped import strip_words
from loomwright.documents.scene import Scene
from loomwright.documents.tables.cells import Cell, as_words
from loomwright.documents.tables.ends import card_rows, end_rows
from loomwright.plan.result import Plan
from loomwright.units import Gauge

_ON_A_CABLE: Final = Gauge(24)
"""What a ready-made cable's wires usually are; only its outside is drawn."""


def cards(plan: Plan) -> tuple[EndCard, ...]:
    """Return a card for every kind of end in the plan that is decided, numbered as in the tables of ends."""
    used = _used(plan)
    batteries = _on_batteries(plan)
    return tuple(_card(row, used, batteries) for row in card_rows(plan))


def spec_of(terminal: str, tool: str, gauge: str, strip_mm: float) -> Spec:
    """Tell what the pictures of an end depend on, from the words of its row; a gauge that is no gauge is unknown."""
    kind, size, usual = texts.kind_of(terminal, tool)
    wire = wire_size(Gauge.parse(gauge)) if _is_gauge(gauge) else wire_size(usual or _ON_A_CABLE, known=usual is None)
    variant = next((colour for colour in SLEEVES if f", {colour}" in terminal), "")
    across = texts.named_size_mm(terminal, size)
    what = "tab" if kind == "quick-connect" else "stud"
    return Spec(kind, wire, strip_mm, variant, size if has_sizes(what, size) else "", across)


def draw_card(spec: Spec, *, name: str, title: str) -> Scene:
    """Draw the four pictures of a card with the words of its kind."""
    return draw(spec, words_of(spec), name=name, title=title)


def words_of(spec: Spec) -> Words:
    """Return what stands in the frames of a card's pictures, or beside them."""
    first, second = texts.mistakes_of(spec.kind)
    heads = {
        View.STRIPPED: "Strip to this length" if spec.strip_mm else "Before",
        View.GOOD: texts.good_of(spec.kind),
        View.FIRST: first.name,
        View.SECOND: second.name,
    }
    captions = {View.FIRST: first.drawn, View.SECOND: second.drawn}
    return Words(heads, captions, texts.labels_of(spec.kind))


def _card(row: Mapping[str, Cell], used: Mapping[int, list[Used]], batteries: frozenset[tuple[str, str]]) -> EndCard:
    number = int(_number(row["card"]) or 0)
    terminal, tool, gauge = as_words(row["terminal"]), as_words(row["tool"]), as_words(row["gauge"])
    strip_mm = _number(row["strip_mm"])
    spec = spec_of(terminal, tool, gauge, strip_mm or 0.0)
    title = " ".join(word for word in (terminal[0].upper() + terminal[1:], texts.place_of(spec.kind)) if word)
    ends = tuple(used[number])
    live = any((end.wire, end.end) in batteries for end in ends)
    cautions = (*(texts.cautions_of(texts.BATTERY) if live else ()), *texts.cautions_of(spec.kind))
    return EndCard(
        number=number,
        kind=spec.kind,
        title=title,
        gauge=gauge,
        strip_mm=strip_mm,
        strip=strip_words(strip_mm) if strip_mm else "nothing to strip",
        tool=tool,
        insulation=as_words(row["insulation"]),
        steps=texts.steps_of(spec.kind),
        good=as_words(row["good"]),
        mistakes=texts.mistakes_of(spec.kind),
        cautions=cautions,
        pull=_pull(row),
        used=ends,
        spec=spec,
        scene=draw_card(spec, name=f"card-{number}", title=title),
    )


def _used(plan: Plan) -> dict[int, list[Used]]:
    """List the ends of each card in the order of the tables."""
    found: dict[int, list[Used]] = defaultdict(list)
    for row in end_rows(plan):
        card = _number(row["card"])
        if card is not None:
            wire, end, where = (as_words(row[key]) for key in ("wire", "end", "where"))
            found[int(card)].append(Used(wire, end, where, row["hand_pull"] == "yes"))
    return found


def _on_batteries(plan: Plan) -> frozenset[tuple[str, str]]:
    """List the ends, by wire and letter, that sit on a battery."""
    kinds = {device.id: device.kind for device in plan.robot.devices}
    return frozenset(
        (wire.id, end.letter)
        for circuit in plan.circuits
        for wire in circuit.wires
        for end in (wire.a, wire.b)
        if kinds.get(end.device) == "battery"
    )


def _pull(row: Mapping[str, Cell]) -> Pull | None:
    force_n, force_lbf = _number(row["pull_n"]), _number(row["pull_lbf"])
    if force_n is None or force_lbf is None:
        return None
    return Pull(force_n, force_lbf, as_words(row["pull_standard"]))


def _number(cell: Cell) -> float | None:
    return cell if isinstance(cell, float) else None


def _is_gauge(words: str) -> bool:
    try:
        Gauge.parse(words)
    except ValueError:
        return False
    return True
