"""Which sets of parts explain what was seen, from what can't all be well at once: no probability is needed.

What can't all be well at once is a conflict; a diagnosis hits every conflict (source: reiter-1987-memory,
de-kleer-williams-1987-memory).
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence

Parts = frozenset[str]


def minimal_diagnoses(parts: Sequence[str], goes_together: Callable[[Parts], bool]) -> list[Parts]:
    """Return every smallest set of parts that explains the observations when its parts may do anything.

    `goes_together` tells whether the observations can be so while the parts of a set are well; with fewer parts well it
    never turns from yes to no. The list is empty where not even no part at all goes with them.
    """
    conflicts: list[Parts] = []
    known: set[Parts] = set()
    while True:
        hits = hitting_sets(conflicts)
        open_hits = [one for one in hits if one not in known]
        failed = next((one for one in open_hits if not goes_together(frozenset(parts) - one)), None)
        if failed is None:
            return hits
        known.update(open_hits[: open_hits.index(failed)])
        conflicts.append(minimal_conflict([part for part in parts if part not in failed], goes_together))


def minimal_conflict(parts: Sequence[str], goes_together: Callable[[Parts], bool]) -> Parts:
    """Return parts of these that can't all be well, none of which can be spared.

    Raises
    ------
    ValueError
        They can all be well.
    """
    if goes_together(frozenset(parts)):
        raise ValueError("these parts can all be well: they hold no conflict")
    needed = set(parts)
    for part in parts:
        if not goes_together(frozenset(needed - {part})):
            needed.discard(part)
    return frozenset(needed)


def hitting_sets(conflicts: Iterable[Parts]) -> list[Parts]:
    """Return every smallest set with a part of each conflict, the small ones first."""
    found: set[Parts] = {frozenset()}
    for conflict in conflicts:
        hit = {one for one in found if one & conflict}
        longer = {one | {part} for one in found - hit for part in conflict}
        # A longer set is spared where a shorter one hits as much.
        found = hit | {one for one in longer if not any(short <= one for short in hit)}
    return sorted(found, key=lambda one: (len(one), sorted(one)))
