"""Which things sit on shock mounts: the file says so, or a rule asks for it and the file does not deny it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from loomwright.rulebook.lookup import is_a

if TYPE_CHECKING:
    from loomwright.model.device import Device
    from loomwright.plan.result import Plan

_ABOUT: Final = "shock mounted"


def shock_mounted(plan: Plan, device: Device) -> bool:
    """Tell whether a thing is to be drawn with shock mounts under its corners."""
    told = device.checks.get(_ABOUT)
    if told is not None and told.value is not None:
        return told.value
    asked = [rule for rule in plan.rules.rules if rule.parameters.get("about") == _ABOUT]
    return any(is_a(device.part, str(rule.parameters.get("of", ""))) for rule in asked)
