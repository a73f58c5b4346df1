"""stock.yaml: which gauges are on hand, in several forms, with every fault at once."""

from __future__ import annotations

import pytest

from loomwright.findings import UnreadableInputError
from loomwright.robotfile.stockfile import read_stock
from loomwright.sizing import DEFAULT_STOCK


def gauges(text: str) -> list[str]:
    """Return what may be chosen, thinnest first."""
    return [str(gauge) for gauge in read_stock(text.encode()).gauges]


def told(text: str) -> str:
    """Return everything that is said of a stock that can't be read."""
    with pytest.raises(UnreadableInputError) as caught:
        read_stock(text.encode())
    return str(caught.value)


def test_without_a_file_every_common_gauge_is_stocked() -> None:
    """A team that writes no stock is not held up by one."""
    assert read_stock(None).gauges == DEFAULT_STOCK


@pytest.mark.parametrize(
    "text",
    [
        "wire: [12 AWG, 18 AWG, 1/0 AWG]\n",
        "wire: {12 AWG: enough, 18 AWG: {red: 10 m, black: 30 ft}, 1/0 AWG: [2 m, 3 m]}\n",
        (
            "wire: {12 AWG: plenty, 18 AWG: some, 1/0 AWG: 1 m, 16 AWG: 0, 14 AWG: none, 10 AWG: {red: 0 m, "
            "black: none}}\n"
        ),
        "wire: [18 AWG, 12 AWG, 1/0 AWG, 12 AWG]\n",
    ],
)
def test_gauges_on_hand_thinnest_first(text: str) -> None:
    """A list, or what is left of each; an empty spool is no stock, and a gauge counts once."""
    assert gauges(text) == ["18 AWG", "12 AWG", "1/0 AWG"]


def test_a_file_says_where_its_gauges_come_from() -> None:
    """A reason that names the stock can name its file."""
    assert read_stock(b"wire: [12 AWG]\n").source == "stock.yaml"


def test_every_fault_of_a_stock_in_its_order() -> None:
    """No unit, no gauge, no length, a word that is none of them, a key that it doesn't have."""
    assert told(
        "wire:\n  12: enough\n  thick: 3 m\n  18 AWG: {red: 10, black: lots}\n  16 AWG: -2 m\ncolour: red\n"
    ) == (
        "stock.yaml:2:3  wire.12  [bad-value] must\n"
        "  `12` has no unit.\n"
        "  Fix: Write `12 AWG`.\n"
        "stock.yaml:3:3  wire.thick  [bad-value] must\n"
        "  `thick` is not a wire gauge.\n"
        "  Fix: Write a gauge such as `12 AWG` or `1/0 AWG`.\n"
        "stock.yaml:4:17  wire.18 AWG.red  [bad-value] must\n"
        "  `10` has no unit.\n"
        "  Fix: Write `10 cm`, `10 mm` or `10 in`, or `enough` or `none`.\n"
        "stock.yaml:4:28  wire.18 AWG.black  [bad-value] must\n"
        "  `lots` does not start with a number, and a length belongs here.\n"
        "  Fix: Write `40 cm`, `40 mm` or `40 in`, or `enough` or `none`.\n"
        "stock.yaml:5:11  wire.16 AWG  [bad-value] must\n"
        "  `-2 m` is below zero, and a length can't be.\n"
        "  Fix: Write `2 m`, or `enough` or `none`.\n"
        "stock.yaml:6:1  colour  [unknown-key] must\n"
        "  `colour` is not something that a stock has.\n"
        "  Fix: It has `wire`."
    )


@pytest.mark.parametrize("written", ["12 AWG", "[[12 AWG]]", "[{12 AWG: 3 m}]"])
def test_wire_in_another_form(written: str) -> None:
    """Nothing of a stock is skipped in silence."""
    column = 7 if written == "12 AWG" else 8
    assert told(f"wire: {written}\n") == (
        f"stock.yaml:1:{column}  wire  [bad-form] must\n"
        "  Wire is written by gauge.\n"
        "  Fix: Write `wire: {12 AWG: enough, 18 AWG: {red: 10 m}}`."
    )


@pytest.mark.parametrize(("text", "column"), [("wire: {12 AWG: none}\n", 1), ("wire: []\n", 1)])
def test_a_stock_without_wire(text: str, column: int) -> None:
    """Nothing on hand at all is a slip: nothing could be planned."""
    assert told(text) == (
        f"stock.yaml:1:{column}  wire  [empty-stock] must\n"
        "  This stock has no wire.\n"
        "  Fix: Write `wire: {12 AWG: enough, 18 AWG: {red: 10 m}}`."
    )
