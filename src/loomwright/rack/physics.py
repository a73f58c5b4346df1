"""What no battery can show: such a reading stays in the records and counts for nothing, with the reason."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from typing import TYPE_CHECKING

from loomwright.catalogue.tables import table
from loomwright.records.event import Kind

if TYPE_CHECKING:
    from loomwright.records.event import Event


def rejected(event: Event) -> str:
    """Say in a sentence why a reading can't be what a 12 V lead-acid battery or its charger shows; "" where it can.

    Limits: `rack_physics.csv`. A faulty reading is told from a bad battery by limits that no battery reaches.
    """
    return next(_faults(event), "")


def _faults(event: Event) -> Iterator[str]:
    told = [(str(event.kind), event.value), *event.conditions.items()]
    for name, value in told:
        span = _spans().get(name)
        if value is not None and span is not None and not span[0] <= value <= span[1]:
            least, most, unit = span
            yield f"{value:g} {unit} for {_words(name)} is outside what is possible: {least:g} to {most:g} {unit}."
    held = event.conditions
    if "low_a" in held and held["low_a"] >= held["high_a"]:
        yield "The smaller of the two test currents comes first."
    if "fast_a" in held and held["fast_a"] < held.get("gentle_a", 0.0):
        yield "The fast current is below the gentle one. Were the two swapped?"
    if event.value is not None and event.kind is Kind.LOADED and "other_v" in held:
        yield from _two_loads((held["load_a"], event.value), (held["other_load_a"], held["other_v"]))
    if event.value is not None and event.kind is Kind.LOAD_TEST and event.value > held.get("rest_v", event.value):
        yield "The voltage is higher under load than at rest: no battery does that."


def _two_loads(one: tuple[float, float], other: tuple[float, float]) -> Iterator[str]:
    """Judge two loads [A], each with the voltage under it."""
    (lighter_a, higher_v), (heavier_a, lower_v) = sorted((one, other))
    if lighter_a == heavier_a:
        yield "Two equal loads tell no resistance."
    elif lower_v >= higher_v:
        yield "The voltage is no lower under the larger load: no battery does that. Were the two swapped?"


def _words(name: str) -> str:
    named = {"rested": "a rest voltage", "loaded": "a voltage under load", "charged": "the end of a charge"}
    return named.get(name, name.replace("_", " ").removesuffix(" a").removesuffix(" v"))


@cache
def _spans() -> dict[str, tuple[float, float, str]]:
    return {row["reading"]: (float(row["least"]), float(row["most"]), row["unit"]) for row in table("rack_physics")}
