"""Which parts explain what was seen: the published example, and every set tried."""

from __future__ import annotations

from itertools import combinations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomwright.hunting.diagnoses import Parts, hitting_sets, minimal_conflict, minimal_diagnoses

_PARTS = ("M1", "M2", "M3", "A1", "A2")


def _adders_and_multipliers(well: Parts) -> bool:
    """Tell whether X, Y and Z can be chosen: M1, M2, M3 say 3 x 2, A1 and A2 say X + Y = 10 and Y + Z = 12."""
    says = {
        "M1": ([1, 0, 0], 3 * 2),
        "M2": ([0, 1, 0], 2 * 3),
        "M3": ([0, 0, 1], 2 * 3),
        "A1": ([1, 1, 0], 10),
        "A2": ([0, 1, 1], 12),
    }
    rows = np.array([[*says[part][0], says[part][1]] for part in sorted(well)]).reshape(-1, 4)
    return bool(np.linalg.matrix_rank(rows[:, :3]) == np.linalg.matrix_rank(rows)) if len(rows) else True


def test_the_published_example() -> None:
    """Three multipliers, two adders, F = 10, G = 12: {A1}, {M1}, {A2, M2}, {M2, M3} (de-kleer-williams-1987-memory)."""
    assert minimal_diagnoses(_PARTS, _adders_and_multipliers) == [
        {"A1"},
        {"M1"},
        {"A2", "M2"},
        {"M2", "M3"},
    ]


def test_the_published_conflicts() -> None:
    """Its two conflicts are {A1, M1, M2} and {A1, A2, M1, M3} (de-kleer-williams-1987-memory)."""
    assert minimal_conflict(["M1", "M2", "A1"], _adders_and_multipliers) == {"A1", "M1", "M2"}
    assert minimal_conflict(["M1", "M3", "A1", "A2"], _adders_and_multipliers) == {"A1", "A2", "M1", "M3"}
    assert hitting_sets([frozenset({"A1", "M1", "M2"}), frozenset({"A1", "A2", "M1", "M3"})]) == minimal_diagnoses(
        _PARTS, _adders_and_multipliers
    )
    with pytest.raises(ValueError, match="can all be well"):
        minimal_conflict(["M1", "M2", "M3"], _adders_and_multipliers)


_SETS = st.lists(st.frozensets(st.sampled_from("abcdef"), min_size=1), max_size=6)


@given(_SETS)
def test_every_set_tried(conflicts: list[Parts]) -> None:
    """Hitting sets and diagnoses are just those sets, of all 64, that hit everything and could spare no part."""
    every = [frozenset(some) for size in range(7) for some in combinations("abcdef", size)]
    hits = [one for one in every if all(one & conflict for conflict in conflicts)]
    smallest = [one for one in hits if not any(other < one for other in hits)]
    assert set(hitting_sets(conflicts)) == set(smallest)
    found = minimal_diagnoses("abcdef", lambda well: not any(conflict <= well for conflict in conflicts))
    assert set(found) == set(smallest)
    assert len(found) == len(smallest)


@given(_SETS.filter(bool))
def test_a_conflict_spares_every_part_that_it_can(conflicts: list[Parts]) -> None:
    """What is found among all parts is one of the conflicts, and holds no smaller one."""
    found = minimal_conflict("abcdef", lambda well: not any(conflict <= well for conflict in conflicts))
    assert found in conflicts
    assert not any(conflict < found for conflict in conflicts)


def test_what_nothing_explains_has_no_diagnosis() -> None:
    """Where not even broken parts go with the answers, an answer is wrong and no part is blamed."""
    assert minimal_diagnoses("ab", lambda _well: False) == []
    assert minimal_diagnoses("ab", lambda _well: True) == [frozenset()]
