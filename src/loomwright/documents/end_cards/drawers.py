"""Which pictures belong to which kind of card."""

from __future__ import annotations

from types import MappingProxyType
from typing import Final

from loomwright.documents.end_cards import clamps, contacts, joints, plugs, rows, terminals
from loomwright.documents.end_cards.picture import Drawer

_DRAWERS: Final = MappingProxyType(
    {
        "ring terminal": terminals.ring,
        "battery ring": terminals.battery_ring,
        "battery lug": terminals.battery_lug,
        "tube lug": terminals.tube_lug,
        "fork terminal": terminals.fork,
        "quick-connect": terminals.quick_connect,
        "ferrule": clamps.ferrule,
        "screw clamp": clamps.screw_clamp,
        "lever clamp": clamps.lever_clamp,
        "lever clamp, folded": clamps.lever_clamp_folded,
        "push clamp": clamps.push_clamp,
        "push clamp, folded": clamps.push_clamp_folded,
        "small contact": contacts.small,
        "small contacts, pair": contacts.small,
        "pin plug": contacts.pin_plug,
        "power contact": contacts.power,
        "power contacts, pair": contacts.power,
        "large contact": contacts.large,
        "large contacts, pair": contacts.large,
        "three-phase, small": rows.three_phase,
        "three-phase, power": rows.three_phase,
        "three-phase, large": rows.three_phase,
        "bus contact": rows.bus,
        "inline joint": joints.inline,
        "butt splice": joints.butt,
        "tube butt splice": joints.tube_butt,
        "lever joint": joints.lever_joint,
        "solder joint": joints.solder,
        "network plug": plugs.network,
        "fitted plug": plugs.fitted,
    }
)


def kinds() -> tuple[str, ...]:
    """Return every kind of card that can be drawn."""
    return tuple(_DRAWERS)


def drawer_of(kind: str) -> Drawer:
    """Return what draws a kind of card; raise KeyError for a kind that nobody draws."""
    return _DRAWERS[kind]
