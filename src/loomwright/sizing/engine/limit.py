"""A constraint of the plainest kind: something that is at most something else."""

from __future__ import annotations

from loomwright.sizing.result import Constraint, ConstraintName

_SLACK = 1e-9  # a limit met to the last bit is met


def at_most(
    name: ConstraintName,
    *,
    actual: float,
    limit: float,
    unit: str,
    needs: str,
    source: str,
    rests_on: tuple[str, ...] = (),
) -> Constraint:
    """Build a constraint that holds while `actual` is at most `limit`; the margin is limit over actual."""
    return Constraint(
        name=name,
        ok=actual <= limit * (1 + _SLACK),
        needs=needs,
        margin=limit / actual if actual > 0 else None,
        limit=limit,
        actual=actual,
        unit=unit,
        source=source,
        rests_on=rests_on,
    )
