"""The matches of a day: typed, from a file, or from matches.csv; and those that slip."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from loomwright.findings import Finding, Place, Severity, UnreadableInputError
from loomwright.robotfile.lists.match_list import NAME, MatchList, read_match_list, typed_matches
from loomwright.robotfile.lists.typed_table import content_of
from loomwright.wording import listed, nearest, quoted

if TYPE_CHECKING:
    from pathlib import Path

    from loomwright.rack.day.problem import Match


def matches_of(folder: Path, *, typed: str = "", source: Path | None = None) -> MatchList:
    """Return the matches that are typed, else those of a file, else those of the folder's matches.csv.

    Raises
    ------
    UnreadableInputError
        With all that can't be understood, and where there is no list at all.
    """
    if typed:
        return MatchList(typed_matches(typed))
    path = source or folder / NAME
    if not path.is_file():
        fix = "Name them with --at 'Q1 9:05, Q7 10:20', or put the day's list into matches.csv: match,time."
        raise UnreadableInputError(
            [Finding("no-matches", Severity.MUST, Place(str(path)), "There is no list of matches.", fix)]
        )
    return read_match_list(content_of(path), file=path.name)


def slipped(matches: Sequence[Match], slips: Mapping[str, int]) -> tuple[Match, ...]:
    """Return the matches with some at other times [min of their own day]; what comes after is not moved with them.

    Raises
    ------
    UnreadableInputError
        For a match that there is not, with the nearest.
    """
    names = {match.name.casefold(): match.name for match in matches}
    faults = [_unknown(name, list(names.values())) for name in slips if name.casefold() not in names]
    if faults:
        raise UnreadableInputError(faults)
    times = {names[name.casefold()]: at_min for name, at_min in slips.items()}
    moved = [_moved(match, times[match.name]) if match.name in times else match for match in matches]
    return tuple(sorted(moved, key=lambda match: (match.at_min, match.name)))


def _moved(match: Match, at_min: int) -> Match:
    """Return a match at another minute of the day that it is on."""
    day_min = 1440
    return replace(match, at_min=match.at_min // day_min * day_min + at_min)


def _unknown(name: str, known: list[str]) -> Finding:
    close = nearest(name, known) or known[:3]
    fix = f"Did you mean {listed([quoted(one) for one in close])}?"
    return Finding("no-such-match", Severity.MUST, Place(thing=name), f"There is no match {quoted(name)}.", fix)
