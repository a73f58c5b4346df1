"""What the buttons at a wire's ends show, and what a tap on one has to know without asking the laptop."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import TYPE_CHECKING, Any, Final

from loomwright.catalogue.conductor import diameter_mm
from loomwright.documents.wirebar import thickness_mm
from loomwright.proof.pulls import ByHand
from loomwright.records.ends import Standing
from loomwright.units import Gauge

if TYPE_CHECKING:
    from collections.abc import Iterable

    from loomwright.plan.result import Plan, PlannedWire

Data = dict[str, Any]

_CSS: Final = {
    Standing.TO_DO: "todo",
    Standing.MADE: "made",
    Standing.PULLED_ALONE: "alone",
    Standing.PULLED: "done",
    Standing.REDO: "redo",
}
#: What each standing is called: on lugs, in counts, in lists and on the drawings.
STANDINGS: Final[Mapping[Standing, str]] = MappingProxyType(
    {
        Standing.TO_DO: "to do",
        Standing.MADE: "made",
        Standing.PULLED_ALONE: "pulled, not witnessed",
        Standing.PULLED: "done",
        Standing.REDO: "to make again",
    }
)
#: Where a long word may be broken to stand on a lug.
_NARROW: Final = {"witnessed": "wit\N{SOFT HYPHEN}nessed"}
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
    seldom = (Standing.PULLED_ALONE, Standing.REDO)
    order = (Standing.TO_DO, Standing.MADE, *seldom, Standing.PULLED)
    return [(STANDINGS[one], counts[one]) for one in order if counts[one] or one not in seldom]


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
    told = STANDINGS[standing]
    return {
        "css": _CSS[standing],
        "words": by if standing is Standing.PULLED else _narrow(told),
        "at": last["measured_at"] if last is not None and standing is Standing.PULLED else "",
        "said": f"{told}, {by}" if standing is Standing.PULLED else told,
        "maker": end["made"][-1]["who"] if end["made"] else "",
        "tool": tools.get(end["end"], ""),
        "how": _how(end),
        "hand": "pull" if end["by_hand"] == ByHand.PULL else "look",
        "wire_words": wire_words,
        "of_all": [*end["of"], *(event["key"] for event in end["failures"])],
        "as_planned": end["as_planned"],
    }


def _narrow(words: str) -> str:
    for whole, broken in _NARROW.items():
        words = words.replace(whole, broken)
    return words


def _how(end: Data) -> str:
    if end["by_hand"] == ByHand.PULL:
        return f"One firm pull by hand, in line with the wire. {end['how']}".strip()
    return f"{end['by_hand'].capitalize()}. {end['how']}".strip()


def _tools(wire: PlannedWire) -> dict[str, str]:
    return {end.letter: end.treatment.tool for end in (wire.a, wire.b) if end.treatment is not None}
