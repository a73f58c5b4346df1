"""What of a robot shows that it works: lights, and motors that can be tried."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from loomwright.electrical.parts import fed_sockets

if TYPE_CHECKING:
    from collections.abc import Iterator

    from loomwright.model.device import Device
    from loomwright.plan.result import Plan

_LIT: Final = ("light", "camera", "network", "radio", "computer")


def has_light(device: Device) -> bool:
    """Tell whether a device shows by a light that it has power."""
    return device.kind in _LIT or "power light" in device.part.values


def driver_of(plan: Plan, motor: Device) -> Device | None:
    """Return what drives a motor: its controller, or itself."""
    return plan.robot.device(motor.driven_by) if motor.driven_by else motor


def motors(plan: Plan) -> Iterator[tuple[Device, Device]]:
    """Give every motor that can be tried, with what drives it."""
    for device in plan.robot:
        driver = driver_of(plan, device) if device.kind == "motor" else None
        if driver is not None and fed_sockets(plan, driver):
            yield device, driver
