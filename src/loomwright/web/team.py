"""Who has done what and who waits for whom, counted from the ends of the plan for the Team page."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from loomwright.proof.as_built.ends import BuiltEnd, counts

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from loomwright.jobs.bench import BenchView
    from loomwright.records.event import Event


@dataclass(slots=True)
class _Tally:
    """What somebody did, or what was done with a tool, under the first way in which the name was written."""

    name: str
    counted: Counter[str] = field(default_factory=Counter)


def team_data(view: BenchView) -> dict[str, Any]:
    """Return what is left, what waits for whom, what has to be made again, and what each person and tool did."""
    ends = tuple(end for group in view.groups for step in group.steps for end in step.ends)
    people = _tallies((kind, event.who) for end in ends for kind, event in _done(end))
    tools = _tallies((kind, event.tool) for end in ends for kind, event in _with_tool(end) if event.tool)
    return {
        "counts": {str(standing): count for standing, count in counts(ends).items()},
        "waiting": [_waiting(end) for end in ends if end.waits_for_pull],
        "again": [{"name": end.name, "where": end.fitted.where, "why": list(end.why)} for end in ends if end.why],
        "people": people,
        "tools": tools,
    }


def _waiting(end: BuiltEnd) -> dict[str, Any]:
    made_by = list(dict.fromkeys(event.who for event in end.state.made))
    return {
        "name": end.name,
        "where": end.fitted.where,
        "made_by": made_by,
        "pulled_by": list(dict.fromkeys(event.who for event in end.state.pulls)),
        "by_hand": str(end.fitted.by_hand),
        "second_person": end.second_person,
    }


def _done(end: BuiltEnd) -> Iterable[tuple[str, Event]]:
    yield from (("made", event) for event in end.state.made)
    yield from (("pulled", event) for event in end.state.pulls)
    yield from (("found failed", event) for event in end.state.failures)


def _with_tool(end: BuiltEnd) -> Iterable[tuple[str, Event]]:
    """Give each end that stands to the tool it was made with, once more where it failed."""
    for event in end.state.made:
        yield "made", event
        if any(event.key in failure.of for failure in end.state.failures):
            yield "failed", event


def _tallies(told: Iterable[tuple[str, str]]) -> list[Mapping[str, Any]]:
    """Count by name, most first; names are the same but for case and spaces."""
    found: dict[str, _Tally] = {}
    for kind, name in told:
        found.setdefault("".join(name.casefold().split()), _Tally(name)).counted[kind] += 1
    held = sorted(found.values(), key=lambda tally: (-tally.counted.total(), tally.name))
    return [{"name": tally.name, "counts": dict(sorted(tally.counted.items()))} for tally in held]
