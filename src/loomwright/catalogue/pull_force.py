"""How hard a test pull on a sample joint must be, by kind of terminal and gauge.

These pulls are destructive and belong on sample joints made for the purpose. A joint that goes into
the robot gets a firm pull by hand.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from loomwright.catalogue.tables import gauge as gauge_of
from loomwright.catalogue.tables import number, table
from loomwright.units.gauge import Gauge

NEWTON_PER_LBF = 4.4482216152605
"""Exact: 0.45359237 kg x 9.80665 m/s2."""


@dataclass(frozen=True, slots=True)
class PullForce:
    """The smallest force that a joint must stand.

    `force_lbf` is what the standard prints, `printed_n` its newtons as printed beside it, and `misprint`
    says what is wrong with them where they don't belong together. `gauge` is None where one force
    holds for every gauge.
    """

    kind: str
    gauge: Gauge | None
    force_lbf: float
    printed_n: float | None
    misprint: str
    source: str

    @property
    def force_n(self) -> float:
        """The force in newtons, computed from the pounds."""
        return self.force_lbf * NEWTON_PER_LBF


@lru_cache(maxsize=1)
def pull_forces() -> tuple[PullForce, ...]:
    """Return every row of the table."""
    return tuple(
        PullForce(
            kind=row["kind"],
            gauge=gauge_of(row) if row["gauge_awg"] else None,
            force_lbf=float(row["force_lbf"]),
            printed_n=number(row, "printed_n"),
            misprint=row["misprint"],
            source=row["source"],
        )
        for row in table("pull_force")
    )


def kinds() -> tuple[str, ...]:
    """Return the kinds of joint that have a table: "ul-486a" (crimped), "ul-486e" (screw and spring clamp), ..."""
    return tuple(dict.fromkeys(row.kind for row in pull_forces()))


def pull_force(kind: str, gauge: Gauge) -> PullForce | None:
    """Return the row for a kind of joint and a gauge, None where the standard has none.

    Raises
    ------
    KeyError
        For a kind that has no table.
    """
    if kind not in kinds():
        raise KeyError(f"{kind!r} is no kind of joint with a pull table; there are {', '.join(kinds())}")
    return next((row for row in pull_forces() if row.kind == kind and row.gauge in (gauge, None)), None)


def pull_force_n(kind: str, gauge: Gauge) -> float | None:
    """Return the force [N] for a kind of joint and a gauge, None where the standard has none; see `pull_force`."""
    row = pull_force(kind, gauge)
    return None if row is None else row.force_n
