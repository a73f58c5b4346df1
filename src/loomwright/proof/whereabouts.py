"""Where a thing is on the robot, in words that lead a person to it: plate, millimetres, slot."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from loomwright.layout.places import place_of
from loomwright.rulebook.lookup import fed_from_slot, feeds, slot_of, source_of

if TYPE_CHECKING:
    from loomwright.model.device import Device
    from loomwright.plan.result import Plan, PlannedCircuit

BASE_PLATE: Final = "base plate"
_SAME_M = 1e-6


@dataclass(frozen=True, slots=True)
class Whereabouts:
    """One device with the plate it stands on or above, its place from the plate's left rear corner [mm], what feeds it.

    `plate` is "" and the numbers None where nobody said; `up_mm` counts from that plate. `slot` is "slot H5 of block"
    or "output 5 V of regulator", "" for what neither feeds. `at` names the controller that a motor without a place of
    its own hangs on.
    """

    device: str
    plate: str = ""
    right_mm: int | None = None
    forward_mm: int | None = None
    up_mm: int = 0
    slot: str = ""
    at: str = ""

    @property
    def words(self) -> str:
        """The place in a line: "base plate, 350 mm right, 65 mm forward; slot H5 of block"."""
        told = [self._place]
        if self.slot:
            told.append(self.slot)
        return "; ".join(told)

    @property
    def told(self) -> str:
        """The device and where it is, "block: base plate, 350 mm right, 65 mm forward"; alone where nobody said."""
        known = [self._place if self.right_mm is not None or self.at else "", self.slot]
        return ": ".join(word for word in (self.device, "; ".join(word for word in known if word)) if word)

    @property
    def _place(self) -> str:
        if self.right_mm is None:
            return f"at {self.at}" if self.at else "place not known"
        up = f", {self.up_mm} mm up" if self.up_mm else ""
        return f"{self.plate}, {self.right_mm} mm right, {self.forward_mm} mm forward{up}"


def whereabouts(plan: Plan, device: Device) -> Whereabouts:
    """Return where a device is and which slot feeds it."""
    slot = ", ".join(dict.fromkeys(_slot(circuit) for circuit in feeds(plan, device.id) if slot_of(circuit)))
    place = place_of(plan.robot, device)
    if place is None:
        return Whereabouts(device.id, slot=slot, at=device.driven_by)
    below = [plate for plate in plan.robot.plates if plate.height_m <= place[2] + _SAME_M]
    plate = max(below, key=lambda held: held.height_m, default=plan.robot.plate)
    return Whereabouts(
        device.id,
        plate.name or BASE_PLATE,
        round(place[0] * 1000),
        round(place[1] * 1000),
        round((place[2] - plate.height_m) * 1000),
        slot,
    )


def _slot(circuit: PlannedCircuit) -> str:
    return f"{'slot' if fed_from_slot(circuit) else 'output'} {slot_of(circuit)} of {source_of(circuit)}"
