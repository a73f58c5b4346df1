"""Every check by its name."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from loomwright.rulebook.check import Check
from loomwright.rulebook.checks import (
    bus_ends,
    bus_ids,
    cautions,
    colours,
    commands,
    conventions,
    devices,
    doubts,
    gauge,
    isolation,
    labels,
    limits,
    looks,
    main_breaker,
    protection,
    recovery,
    regulator,
    slots,
    terminals,
)

#: In the order of the subjects: devices, slots, wires, data, limits, doubts, cautions.
CHECKS: Mapping[str, Check] = MappingProxyType(
    {
        check.name: check
        for subject in (
            devices,
            main_breaker,
            looks,
            isolation,
            slots,
            labels,
            protection,
            gauge,
            colours,
            terminals,
            regulator,
            recovery,
            bus_ids,
            bus_ends,
            commands,
            limits,
            conventions,
            doubts,
            cautions,
        )
        for check in subject.CHECKS
    }
)
