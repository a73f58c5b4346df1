"""Tell the Data drawing of one wire of a plan, and of the device at its end."""

from __future__ import annotations

from typing import TYPE_CHECKING

from loomwright.catalogue.conductor import diameter_mm
from loomwright.documents.data_wiring.sheet import DataWire
from loomwright.model.part import Polarity
from loomwright.units import Dimension, show

if TYPE_CHECKING:
    from loomwright.model.device import Device
    from loomwright.plan.result import PlannedEnd, PlannedWire

_CABLE_MM = 2.0  # how thick a cable is drawn: thicker than a signal wire, which is what it looks like


def data_wire(wire: PlannedWire, *, from_left: bool = True) -> DataWire:
    """Return one wire as it is drawn; `from_left` tells whether its end A is on the left."""
    cable = is_cable(wire.a) or is_cable(wire.b)
    return DataWire(
        id=wire.id,
        role=wire.role,
        colour=wire.colour,
        gauge=str(wire.gauge) if wire.gauge else "",
        length=show(wire.length_m, Dimension.LENGTH) if wire.length_m is not None else "",
        copper_mm=_CABLE_MM if cable else diameter_mm(wire.gauge) if wire.gauge else 1.0,
        cable="cable" if cable else "",
        from_left=from_left,
        own=wire.captive,
    )


def is_cable(end: PlannedEnd) -> bool:
    """Tell whether this is the end of a ready-made cable."""
    return end.polarity is Polarity.CABLE


def title_of(device: Device | None) -> str:
    """Return what a device is."""
    return device.part.title if device is not None else ""
