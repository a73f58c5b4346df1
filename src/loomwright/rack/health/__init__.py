"""How good each battery of the rack still is, how sure that is, and what it may be used for."""

from loomwright.rack.health.result import BatteryHealth, Estimate, ForMatch, Health, SetAside, State, Verdict

__all__ = ["BatteryHealth", "Estimate", "ForMatch", "Health", "SetAside", "State", "Verdict"]
