"""What is left, who waits for whom, and how good each tool and each person is getting."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from loomwright.proof.as_built.ends import built_ends_of, counts
from loomwright.proof.as_built.rows import Rows
from loomwright.proof.as_built.samples import SAMPLES_FIRST, person_rates, tool_rates, ways
from loomwright.proof.as_built.verdicts import Verdict
from loomwright.records.ends import Standing
from loomwright.web.views.frame import version_of
from loomwright.web.views.lugs import counts_in_words

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from loomwright.jobs.bench import BenchView
    from loomwright.proof.as_built.ends import BuiltEnd
    from loomwright.records.crimp_rates import Rate


def team_screen(view: BenchView) -> dict[str, Any]:
    """Return what the template of the screen of what is left needs."""
    ends = built_ends_of(view.groups)
    told = counts_in_words({str(standing): count for standing, count in counts(ends).items()})
    sections = [
        _waiting(ends),
        _redo(ends),
        _rows(view),
        _samples(view),
        _rates("How each tool is getting on", "tool", tool_rates(view.state)),
        _rates("How each person is getting on", "person", person_rates(view.state)),
    ]
    setting = {
        "on": view.state.setting(SAMPLES_FIRST) == "on",
        "of": " ".join(event.key for event in view.state.settings.get(SAMPLES_FIRST, ())),
    }
    return {"counts": told, "sections": sections, "setting": setting, "version": version_of([told, sections, setting])}


def _section(title: str, heads: Iterable[str], rows: Iterable[Iterable[object]], *words: str) -> dict[str, Any]:
    held = [[str(cell) for cell in row] for row in rows]
    return {"title": title, "heads": list(heads), "rows": held, "words": list(words) if held else [*words, "Nothing."]}


def _waiting(ends: Iterable[BuiltEnd]) -> dict[str, Any]:
    """Tell who waits for whom: whose ends need another person's hand."""
    held: dict[str, list[BuiltEnd]] = {}
    for end in ends:
        if end.waits_for_pull:
            for made in end.state.made:
                held.setdefault(made.who, []).append(end)
    rows = [(who, len(theirs), ", ".join(end.name for end in theirs)) for who, theirs in sorted(held.items())]
    words = "Anybody but the one who made it pulls. Until then it stays open."
    return _section("Who waits for a pull", ("made by", "ends", "which"), rows, words)


def _redo(ends: Iterable[BuiltEnd]) -> dict[str, Any]:
    rows = [(end.name, end.fitted.where, " ".join(end.why)) for end in ends if end.standing is Standing.REDO]
    return _section("To make again", ("end", "where", "why"), rows)


def _rows(view: BenchView) -> dict[str, Any]:
    """Tell what the meter has said so far."""
    return _section("Wake-up", ("verdict", "rows"), list(_verdicts(view)))


def _verdicts(view: BenchView) -> Iterator[tuple[str, str]]:
    rows = Rows(view.state, view.plan.robot.build, built_ends_of(view.groups))
    held: dict[Verdict, list[str]] = {}
    for row in view.wake_up.all_readings:
        verdict = rows.verdict(row).verdict
        held.setdefault(verdict, []).append(str(row.number))
    for verdict in Verdict:
        if verdict in held:
            yield str(verdict), ", ".join(held[verdict])


def _samples(view: BenchView) -> dict[str, Any]:
    rows = [
        (way.name, len(way.sets), way.verdicts[-1].what if way.verdicts else "no set pulled yet")
        for way in ways(view.plan, view.state)
    ]
    return _section("Sample crimps", ("tool, terminal, gauge", "sets", "what they tell"), rows)


def _rates(title: str, who: str, found: tuple[Rate, ...]) -> dict[str, Any]:
    rows = [(rate.name, f"{rate.failures} of {rate.n}", rate.what) for rate in found]
    return _section(title, (who, "failed", "what that tells"), rows)
