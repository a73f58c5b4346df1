"""Everything that has to be told what to do is reached by a bus or a signal."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from loomwright.model.part import Role
from loomwright.rulebook.check import Check
from loomwright.rulebook.lookup import BUS_ROLES, buses_of, drives, told_as
from loomwright.rulebook.parameters import Several, Word, words
from loomwright.rulebook.telling import at_device, names, question

if TYPE_CHECKING:
    from loomwright.findings import Finding
    from loomwright.model.device import Device
    from loomwright.model.rules import Rule
    from loomwright.plan.result import Plan


def _reached(plan: Plan, rule: Rule) -> Iterator[Finding]:
    """Ask, once for all, how things are reached; a file without any data lines has not got that far."""
    if not any(bus.kind == "bus" for bus in plan.robot.buses):
        return
    lost = [d for d in plan.robot if _listens(d, words(rule, "of")) and not _is_reached(plan, d)]
    if lost:
        yield question(
            rule,
            "not-reached",
            at_device(lost[0], "bus"),
            f"The file does not say how {names([told_as(d) for d in lost])} "
            f"{'is' if len(lost) == 1 else 'are'} reached: on no data bus and on no port.",
            "Put each into a chain under `data:`, or write `port: pulse 0` (or `bus: unknown` to keep it open).",
        )


def _listens(device: Device, kinds: tuple[str, ...]) -> bool:
    """Tell whether this part can be reached by bus or signal, and needs to be."""
    lines = (*BUS_ROLES, Role.SIGNAL_IN) if drives(device) else BUS_ROLES
    return device.kind in kinds and not device.driven_by and any(s.role in lines for s in device.part.sockets)


def _is_reached(plan: Plan, device: Device) -> bool:
    asked = not device.key.bus.open_to_decide or not device.hookup.sockets.open_to_decide
    return asked or not device.hookup.on.open_to_decide or bool(buses_of(plan, device))


CHECKS = (
    Check(
        "reached",
        "Whether a drive, sensor or module is on no bus and on no port, where there is a bus at all.",
        _reached,
        {"of": Several(Word())},
    ),
)
