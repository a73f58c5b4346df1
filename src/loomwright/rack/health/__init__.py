"""How good each battery of the rack still is, how sure that is, and what it may be used for."""

from __future__ import annotations

from typing import TYPE_CHECKING

from loomwright.rack.health.result import BatteryHealth, Estimate, ForMatch, Health, SetAside, State, Verdict

if TYPE_CHECKING:
    from collections.abc import Sequence

    from loomwright.rack.battery import RackBattery

__all__ = ["BatteryHealth", "Estimate", "ForMatch", "Health", "SetAside", "State", "Verdict", "health_of"]


def health_of(batteries: Sequence[RackBattery], now_day: float) -> tuple[BatteryHealth, ...]:
    """Return the health and the verdict of every battery of a team, in the order given, at a day [since 1970].

    All at once, because what the team's batteries have in common is learnt from all of them. The order in which
    readings arrived and the labels change nothing.
    """
    from loomwright.rack.health.health import health_of as found  # noqa: PLC0415  arrays are heavy

    return found(batteries, now_day)
