"""The sample pulls of a sheet: one set for each tool, terminal and gauge, with what was pulled of it."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from typing import TYPE_CHECKING, Final

from loomwright.jobs.paper_events import PaperEvent, key_of
from loomwright.proof.as_built.samples import way_name
from loomwright.proof.pulls import NEWTON_PER_KGF, pull_samples
from loomwright.records.event import Kind
from loomwright.robotfile.lists.pull_sheet import BLUNDER
from loomwright.units import Dimension, QuantityError, read

if TYPE_CHECKING:
    from loomwright.findings import Finding
    from loomwright.jobs.bench import Bench
    from loomwright.proof.pulls import PullSample
    from loomwright.robotfile.lists.pull_sheet import PullRow

_OUTCOMES: Final = {"yes": "held", "no": "slipped", BLUNDER: BLUNDER}
_KILOGRAMS: Final = ("kg", "g", "kilogram", "kilograms")


def sample_events(
    bench: Bench, rows: Sequence[PullRow], send: Callable[..., PaperEvent]
) -> tuple[list[PaperEvent], list[Finding]]:
    """Return the events of some rows of samples: the set of each, begun once, and its pulls; with what is wrong."""
    asked = {_words(way.tool, way.terminal, str(way.gauge or "")): way for way in pull_samples(bench.plan)}
    faults: list[Finding] = []
    sets: dict[str, list[PullRow]] = {}
    for row in rows:
        way = asked.get(_words(row.text("crimping tool"), row.text("terminal"), row.text("gauge")))
        told = list(_faults(row, way))
        faults += told
        if way is not None and not told:
            sets.setdefault(way_name(way), []).append(row)
    counts = {way_name(way): way.count for way in asked.values()}
    events = [event for name, held in sets.items() for event in _of_set(bench, name, counts[name], held, send)]
    return events, faults


def _of_set(
    bench: Bench, name: str, count: int, rows: Sequence[PullRow], send: Callable[..., PaperEvent]
) -> Iterator[PaperEvent]:
    """Begin a set on the day of its first pull, and add its pulls; another day on another sheet is another set."""
    first = min(rows, key=lambda row: str(row.when))
    begun = key_of(bench.build, str(Kind.SET_BEGUN), name, str(count), str(first.when)[:10])
    yield send(first, begun, Kind.SET_BEGUN, first.text("pulled by"), about=name, value=count)
    for row in rows:
        force = row.text("force")
        who, note = row.text("pulled by"), row.text("note")
        key = key_of(begun, str(Kind.SAMPLE), str(row.number), who, force, row.held, note)
        more = {"value": _newtons(force), "unit": "N"} if force else {}
        yield send(row, key, Kind.SAMPLE, who, of=[begun], about=_OUTCOMES[row.held], words=note, **more)


def _faults(row: PullRow, way: PullSample | None) -> Iterator[Finding]:
    if way is None:
        what = "No end of this plan is made with this tool, terminal and gauge."
        fix = "Take the row from the sheet of this plan, or leave it out."
        yield row.fault("no-such-sample", what, fix, at="crimping tool")
    elif row.number > way.count:
        what = f"A set has {way.count} samples, and this is number {row.number}."
        yield row.fault("no-sample", what, "Begin another set with a day of its own, on another sheet.", at="sample")
    if (force := row.text("force")) and _newtons(force) is None:
        what = f"{force} is no force."
        yield row.fault("no-force", what, "Write what the scale showed, as `31.8 kg`, `312 N` or `70 lbf`.", at="force")


def _newtons(text: str) -> float | None:
    """Read a force [N]; what a scale shows in kilograms is the weight of so many, None for anything else."""
    try:
        if text.rstrip().casefold().endswith(_KILOGRAMS):
            return round(read(text, Dimension.MASS) * NEWTON_PER_KGF, 3)
        return read(text, Dimension.FORCE)
    except QuantityError:
        return None


def _words(*texts: str) -> str:
    return "|".join(" ".join(text.split()).casefold() for text in texts)
