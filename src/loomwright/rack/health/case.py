"""One battery with everything that its verdict is told from."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from loomwright.rack.battery import RackBattery
    from loomwright.rack.health.limits import Limits
    from loomwright.rack.health.replay import Evidence, Standing
    from loomwright.rack.health.result import Estimate
    from loomwright.rack.health.timeline import Moment


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """One battery: its readings made alike, what they lead to, and where it stands.

    `ohm` is at its class's test currents; `share` is that of its rating, in the sheet's terms, without a cap.
    """

    battery: RackBattery
    limits: Limits
    happened: tuple[Moment, ...]
    evidence: Evidence
    standing: Standing
    ohm: Estimate
    share: Estimate
    now_day: float


def day_words(day: float) -> str:
    """Return a day as it is written, such as 2026-02-07 (UTC)."""
    return (date(1970, 1, 1) + timedelta(days=int(day // 1))).isoformat()
