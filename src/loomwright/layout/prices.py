"""What the parts of a layout cost, from the table that people can read."""

from __future__ import annotations

from loomwright.catalogue.tables import table
from loomwright.layout.route_problem import Prices
from loomwright.layout.slot_problem import SlotPrices


def price(name: str) -> float:
    """Return one price in the unit of its row; KeyError for a name that the table does not have."""
    return {row["price"]: float(row["value"]) for row in table("layout_price")}[name]


def route_prices() -> Prices:
    """Return the prices of routes, in grams of copper."""
    return Prices(
        handling_g_per_m=price("handling"),
        drop_g_per_m=price("drop"),
        loose_g_per_m=price("loose"),
        loose_run_g=price("loose run"),
        trunk_g_per_m=price("trunk"),
        link_g_per_m=price("link"),
        mixing_g_per_m=price("mixing"),
        bend_g=price("bend"),
        crossing_g=price("crossing"),
    )


def slot_prices() -> SlotPrices:
    """Return the prices of slots, in millimetres of wire."""
    return SlotPrices(
        crossing_mm=int(price("slot crossing")),
        apart_mm=int(price("slot apart")),
        other_face_mm=int(price("slot other face")),
        mixed_corner_mm=int(price("slot mixed corner")),
        bunched_mm=int(price("slot bunched")),
    )
