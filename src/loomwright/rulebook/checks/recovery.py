"""A gap of milliseconds costs a minute where the load takes a minute to come back."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from loomwright.rulebook.check import Check
from loomwright.rulebook.lookup import power_path, told_as
from loomwright.rulebook.parameters import Amount, amount
from loomwright.rulebook.telling import at_device, fault, lasting
from loomwright.units import Dimension

if TYPE_CHECKING:
    from loomwright.findings import Finding
    from loomwright.model.device import Device
    from loomwright.model.rules import Rule
    from loomwright.plan.result import Plan, PlannedEnd


def _not_on_friction(plan: Plan, rule: Rule) -> Iterator[Finding]:
    """Look at each feed from the load back to the block; the battery's own plug is everybody's."""
    for device in plan.robot:
        recovery_s = device.part.number("recovery time")
        if recovery_s is None or recovery_s <= amount(rule, "longer than"):
            continue
        loose = [
            end
            for circuit in power_path(plan, device.id)
            for wire in circuit.wires
            for end in (wire.a, wire.b)
            if _friction_only(end)
        ]
        if loose:
            yield _loose_feed(rule, device, loose[0], recovery_s)


def _friction_only(end: PlannedEnd) -> bool:
    by_treatment = end.treatment is not None and end.treatment.friction_only
    return by_treatment or (end.port is not None and end.port.friction_only)


def _loose_feed(rule: Rule, device: Device, end: PlannedEnd, recovery_s: float) -> Finding:
    return fault(
        rule,
        "long-recovery-on-friction",
        at_device(device, "joint", device.wishes.joint),
        f"{told_as(device)} needs {lasting(recovery_s)} to come back after a gap in its power, and only "
        f"friction holds its feed at {end.where or end.device}.",
        "Use a connector that locks or a clamp, or a part that is fed in another way.",
    )


CHECKS = (
    Check(
        "no long recovery on friction",
        "Whether a device that takes long to come back hangs on a connector that only friction holds.",
        _not_on_friction,
        {"longer than": Amount(Dimension.TIME)},
    ),
)
