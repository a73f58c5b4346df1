"""The answer of `loomwright size` in words: the gauge first, then why, then what it rests on."""

from __future__ import annotations

from itertools import groupby

from loomwright.catalogue.sources import source
from loomwright.sizing import (
    Constraint,
    Exclusion,
    Request,
    Sizing,
    ampacity_bases,
    drop_bases,
)

_ROBOT_BASIS = "copper"
_CAUTION = "The season's rule book, local codes and licensed practice come first. Wire with the battery out."


def in_words(request: Request, sizing: Sizing) -> str:
    """Write the whole answer for a person."""
    parts = [_headline(request, sizing), "", *_margins(sizing)]
    if sizing.gauge is None:
        parts += ["", *_exclusions(sizing)]
    parts += ["", "It rests on this:", *(f"  {sentence}" for sentence in sizing.assumptions)]
    parts += ["Sources:", *(f"  {key}: {source(key)}" for key in sizing.sources)]
    if request.drop_basis != _ROBOT_BASIS:
        parts += ["", f"A robot file is judged by `--basis {_ROBOT_BASIS}` and 5 % where it says nothing else."]
    return "\n".join([*parts, "", _CAUTION])


def bases_in_words() -> str:
    """List every basis with its title, its source and where it holds."""
    lines = ["Bases for the drop (--basis):"]
    for drop in drop_bases().values():
        lines += _entry(drop.name, f"{drop.title}. {drop.note}".strip(), drop.source)
    lines += ["", "Bases for the ampacity (--ampacity-basis):"]
    for carry in ampacity_bases().values():
        classes = ", ".join(f"{c:g}" for c in carry.insulations_c)
        notes = " ".join(note for note in (carry.note, carry.bundle_note) if note)
        holds = f"{carry.title}; air at {carry.ambient_c:g} C, insulation {classes} C. {notes}".strip()
        lines += _entry(carry.name, holds, carry.source)
    return "\n".join(lines)


def bases_as_data() -> dict[str, object]:
    """Give the same list for a script."""
    return {
        "drop": [{"basis": d.name, "title": d.title, "source": d.source} for d in drop_bases().values()],
        "ampacity": [
            {
                "basis": a.name,
                "title": a.title,
                "ambient_c": a.ambient_c,
                "insulation_c": list(a.insulations_c),
                "source": a.source,
            }
            for a in ampacity_bases().values()
        ],
    }


def _entry(name: str, said: str, key: str) -> list[str]:
    return [f"  {name}", f"    {said}", f"    Source: {source(key)}"]


def _headline(request: Request, sizing: Sizing) -> str:
    asked = f"{request.current_a:.4g} A over {request.conductors} x {request.one_way_m or 0:.4g} m"
    if sizing.gauge is None:
        return f"No stocked gauge fits {asked}.\n{sizing.shown_for} comes closest:"
    carries = f"may carry {sizing.ampacity_a:.3g} A for long, runs at {sizing.conductor_temperature_c:.0f} C"
    lines = [
        f"{sizing.gauge} ({sizing.area_mm2:.3g} mm2)",
        f"For {asked}: drops {sizing.drop_v:.3g} V ({sizing.drop_pct:.3g} %), {carries}.",
        _why(sizing),
    ]
    return "\n".join(lines)


def _why(sizing: Sizing) -> str:
    thinner = [e for e in sizing.exclusions if sizing.gauge is not None and e.gauge.thinner_than(sizing.gauge)]
    if not thinner:
        return "Nothing thinner is stocked."
    return f"{_breaks(thinner[-1:], 'would break')}."


def _margins(sizing: Sizing) -> list[str]:
    rows = [("constraint", "needs", "has", "margin", "fits from"), *(_row(c) for c in sizing.constraints)]
    widths = [max(len(row[i]) for row in rows) for i in range(len(rows[0]))]
    table = ["  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip() for row in rows]
    reasons = [f"{c.name}: {c.reason}." for c in sizing.constraints if c.reason]
    return [*table, *reasons]


def _row(constraint: Constraint) -> tuple[str, str, str, str, str]:
    """Give one line of the table; the words of a limit that must not be passed differ from those of a need."""
    fits = "none" if constraint.smallest is None else str(constraint.smallest)
    state = "" if constraint.ok else "  broken" if constraint.ok is False else "  not judged"
    margin = "" if constraint.margin is None else f"{constraint.margin:.2f} x"
    needs, has = _figures(constraint)
    return str(constraint.name), needs, has, f"{margin}{state}".strip(), fits


def _figures(constraint: Constraint) -> tuple[str, str]:
    limit = "" if constraint.limit is None else f"{constraint.limit:.3g} {constraint.unit}"
    actual = "" if constraint.actual is None else f"{constraint.actual:.3g} {constraint.unit}"
    capped = constraint.name in {"drop", "hold heat"}  # a limit on the actual, not a need for more
    return (f"at most {limit}", actual) if capped and limit else (actual, limit)


def _exclusions(sizing: Sizing) -> list[str]:
    """Say what each gauge breaks; gauges that break the same things share a line."""
    runs = groupby(sizing.exclusions, key=lambda e: e.broken)
    return [f"  {_breaks(list(run), 'break')}" for _, run in runs]


def _breaks(run: list[Exclusion], verb: str) -> str:
    first, last = run[0], run[-1]
    gauges = str(last.gauge) if len(run) == 1 else f"{first.gauge.label} to {last.gauge}"
    verb = "breaks" if verb == "break" and len(run) == 1 else verb
    reason = f" ({last.reason})" if last.reason else ""
    return f"{gauges} {verb}: {', '.join(last.broken)}{reason}"
