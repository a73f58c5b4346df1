"""A hunt as it is asked: faults that may be there, checks that can be made, and what was observed."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import numpy as np
    import numpy.typing as npt


@dataclass(frozen=True, slots=True, kw_only=True)
class Fault:
    """Something that may be wrong: its odds before anything was observed, and how long it takes to mend it [s].

    `parts` names what it sits in. Two faults that sit in the very same parts are never there together: an end is
    open or shorted, not both. Without parts a fault goes with every other. A fault of which it is not known how bad it
    is stands there several times with the same key, once for each degree, and its odds are those of all together.
    """

    key: str
    odds: float
    repair_s: float
    parts: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Check:
    """Something that can be looked at or measured, how long it takes [s], and what may come of it, the best first.

    `needs` is the state of work that it asks for ("power on, wheels off the floor"); "" goes with every state. With
    the chance `misread` the answer is any of the outcomes, whatever is so; one of the `plain` outcomes, which nobody
    takes for anything else, comes of that hardly ever. Once it is made, the checks that it
    `spoils` tell nothing more; itself among them where it would only be the same again.
    """

    key: str
    seconds: float
    outcomes: tuple[str, ...]
    misread: float
    plain: tuple[str, ...] = ()
    needs: str = ""
    spoils: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """How long it takes to come from one state of work to another [s]; one that is not told takes no time."""

    was: str
    then: str
    seconds: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Observation:
    """An answer: the outcome of a check, or, where it is doubtful, odds over its outcomes.

    `after` names the faults that had been mended by then. A repair that did not help is the check that showed the
    trouble, made once more, with the trouble still there.
    """

    check: str
    outcome: str = ""
    odds: tuple[tuple[str, float], ...] = ()
    after: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Hunt:
    """All of it.

    `chances[f, c, o]` is the chance that check `c` shows its outcome `o` when fault `f` is there alone, read well;
    row 0 is that nothing is wrong. Outcomes that a check does not have are 0. `healthy_s` is how long it takes to
    settle that nothing is wrong, and `healthy_odds` are the odds of that while somebody hunts. `other_odds` are those
    of a fault that is on no list: nobody knows what it shows, so every outcome is equally likely. With `pairs` two
    faults at a time are weighed as well, which show the worse of what each would show.
    """

    faults: tuple[Fault, ...]
    checks: tuple[Check, ...]
    chances: npt.NDArray[np.float64]
    healthy_s: float
    healthy_odds: float = 1.0
    other_odds: float = 0.0
    pairs: bool = False
    changes: tuple[Change, ...] = field(default=())
