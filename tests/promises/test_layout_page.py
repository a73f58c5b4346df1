"""docs/layout.md tells the prices that the program goes by, and every price is one that the program asks for."""

from __future__ import annotations

from pathlib import Path

from loomwright.catalogue.tables import table
from loomwright.layout.prices import price, route_prices, slot_prices

_ROOT = Path(__file__).resolve().parents[2]


def test_the_page_has_every_price_as_it_is() -> None:
    """One row for each price, with its value, its unit and what it is for, and no other row."""
    told = [line for line in (_ROOT / "docs" / "layout.md").read_text("utf-8").splitlines() if line.startswith("| ")]
    rows = [f"| {row['price']} | {row['value']} {row['unit']} | {row['why']} |" for row in table("layout_price")]
    assert told == ["| price | value | for |", *rows]


def test_every_price_is_asked_for() -> None:
    """A price that nothing uses would be a promise that nothing keeps."""
    source = "".join(path.read_text("utf-8") for path in (_ROOT / "src" / "loomwright" / "layout").glob("*.py"))
    for row in table("layout_price"):
        assert f'price("{row["price"]}")' in source, row["price"]
    assert route_prices().trunk_g_per_m == price("trunk")
    assert slot_prices().crossing_mm == price("slot crossing")
