"""What the buttons at a wire's ends show, and what a tap on one has to know without asking the laptop."""

from __future__ import annotations

from types import MappingProxyType
from typing import TYPE_CHECKING, Any, Final

from loomwright.catalogue.conductor import diameter_mm
from loomwright.documents.wirebar import thickness_mm
from loomwright.proof.pulls import ByHand
from loomwright.records.ends import Standing
from loomwright.units import Gauge

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from loomwright.plan.result import Plan, PlannedWire

Data = dict[str, Any]

_CSS: Final = {
    Standing.TO_DO: "todo",
    Standing.MADE: "made",
    Standing.PULLED_ALONE: "alone",
    Standing.PULLED: "done",
    Standing.REDO: "redo",
}
_WORDS: Final = {
    Standing.TO_DO: "to do",
    Standing.MADE: "to pull",
    Standing.PULLED_ALONE: "alone",
    Standing.REDO: "redo",
}
_PX_PER_MM: Final = 3.2
_THINNEST_PX, _THICKEST_PX = 5.0, 22.0


def looks_of(
    plan: Plan, groups: Iterable[Data], unlicensed: Mapping[int, str] = MappingProxyType({})
) -> dict[str, Data]:
    """Return how each wire ("W12") and each end ("W12 A") looks, from the data of the Ends screen.

    `unlicensed` says by the number of a card why nobody signs its ends yet.
    """
    tools = {wire.id: _tools(wire) for wire in plan.wires}
    found: dict[str, Data] = {}
    for group in groups:
        for step in group["steps"]:
            wires = {wire["id"]: wire for wire in step["wires"]}
            found |= {name: _wire(wire) for name, wire in wires.items()}
            for end in step["ends"]:
                words = found[end["wire"]]["bar_words"]
                look = _end(end, words, tools[end["wire"]])
                found[f"{end['wire']} {end['end']}"] = look | {"unlicensed": unlicensed.get(end["card"], "")}
    return found


def counts_in_words(counts: Mapping[str, int]) -> list[tuple[str, int]]:
    """Return how many ends there are of each standing, in the words of the screen."""
    alone, redo = counts[Standing.PULLED_ALONE], counts[Standing.REDO]
    told = [("to do", counts[Standing.TO_DO]), ("wait for a pull", counts[Standing.MADE])]
    told += [("pulled, not witnessed", alone)] if alone else []
    told += [("to make again", redo)] if redo else []
    return [*told, ("done", counts[Standing.PULLED])]


def _wire(wire: Data) -> Data:
    length = "" if wire["length_mm"] is None else f"{wire['length_mm']} mm"
    gauge = wire["gauge"]
    told = ", ".join(word for word in (wire["colour"], gauge, length, wire["slot"]) if word)
    return {"length": length, "thick": _thick_px(gauge), "bar_words": told or "colour and copper not known"}


def _thick_px(gauge: str) -> float:
    if not gauge:
        return _THINNEST_PX
    wide = thickness_mm(diameter_mm(Gauge.parse(gauge))) * _PX_PER_MM
    return round(min(_THICKEST_PX, max(_THINNEST_PX, wide)), 1)


def _end(end: Data, wire_words: str, tools: Mapping[str, str]) -> Data:
    standing = Standing.PULLED if end["made_by_file"] else Standing(end["standing"])
    last = (end["pulls"] or end["made"])[-1] if end["pulls"] or end["made"] else None
    by = last["who"] if last is not None else "by the file"
    words = by if standing is Standing.PULLED else _WORDS[standing]
    return {
        "css": _CSS[standing],
        "words": words,
        "at": last["measured_at"] if last is not None and standing is Standing.PULLED else "",
        "said": f"done, {by}" if standing is Standing.PULLED else str(standing),
        "maker": end["made"][-1]["who"] if end["made"] else "",
        "tool": tools.get(end["end"], ""),
        "how": _how(end),
        "wire_words": wire_words,
        "of_all": [*end["of"], *(event["key"] for event in end["failures"])],
        "as_planned": end["as_planned"],
    }


def _how(end: Data) -> str:
    if end["by_hand"] == ByHand.PULL:
        return f"One firm pull by hand, in line with the wire. {end['how']}".strip()
    return f"{end['by_hand'].capitalize()}. {end['how']}".strip()


def _tools(wire: PlannedWire) -> dict[str, str]:
    return {end.letter: end.treatment.tool for end in (wire.a, wire.b) if end.treatment is not None}
