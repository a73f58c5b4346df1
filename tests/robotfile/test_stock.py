"""stock.yaml: what is on hand and on offer, in several forms, with every fault at once."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from loomwright.findings import UnreadableInputError
from loomwright.model.stock import CutHabits, Stock
from loomwright.robotfile.stockfile import read_stock
from loomwright.sizing import DEFAULT_STOCK

PAGE = Path(__file__).parents[2] / "docs" / "stock.md"


def stock_of(text: str) -> Stock:
    """Read a stock from the text of its file."""
    return read_stock(text.encode())


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
        "  Fix: It has `wire`, `buy` and `cutting`."
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


def test_spools_by_gauge_and_colour() -> None:
    """A length, several, spools and off-cuts apart; words or codes; a pair has two colours; nothing is no spool."""
    stock = stock_of(
        "wire:\n"
        "  12 AWG: {red/black: {spools: [30 m, 8 m], offcuts: [1.2 m, 80 cm]}}\n"
        "  18 AWG: {RD: 10 m, black: [10 m, 4 m, 0 m], WH: none, yellow with blue stripe: {offcuts: 60 cm}}\n"
        "  10 AWG: {spools: 2 m}\n"
    )
    assert [(spool.name, spool.colours, spool.length_m, spool.offcut) for spool in stock.spools] == [
        ("12 AWG red/black, spool 1", ("RD", "BK"), 30.0, False),
        ("12 AWG red/black, spool 2", ("RD", "BK"), 8.0, False),
        ("12 AWG red/black, off-cut 1", ("RD", "BK"), 1.2, True),
        ("12 AWG red/black, off-cut 2", ("RD", "BK"), 0.8, True),
        ("18 AWG red, spool 1", ("RD",), 10.0, False),
        ("18 AWG black, spool 1", ("BK",), 10.0, False),
        ("18 AWG black, spool 2", ("BK",), 4.0, False),
        ("18 AWG yellow with blue stripe, off-cut 1", ("YEBU",), 0.6, True),
        ("10 AWG, spool 1", (), 2.0, False),
    ]
    assert {str(spool.gauge) for spool in stock.spools} == {"12 AWG", "18 AWG", "10 AWG"}
    assert str(stock.spools[2].mark) == "stock.yaml:2:55"
    assert stock.plenty == ()


def test_enough_of_a_gauge_or_of_one_colour() -> None:
    """Without a colour it is enough of every colour; a list of gauges says the same of each."""
    stock = stock_of("wire: {12 AWG: enough, 18 AWG: {red: plenty, red/black: some, black: 3 m}}\n")
    assert [(str(gauge), colours) for gauge, colours in stock.plenty] == [
        ("12 AWG", ()),
        ("18 AWG", ("RD",)),
        ("18 AWG", ("RD", "BK")),
    ]
    assert len(stock.spools) == 1
    assert [(str(gauge), colours) for gauge, colours in stock_of("wire: [12 AWG, 18 AWG]\n").plenty] == [
        ("12 AWG", ()),
        ("18 AWG", ()),
    ]


def test_offers_with_and_without_price_and_colour() -> None:
    """A gauge that is only on offer may be chosen as well; a stock may hold nothing but offers."""
    stock = stock_of(
        "buy:\n"
        "  12 AWG: {red/black: [{length: 10 m, price: 14}, {length: 30 m, price: 36.5}]}\n"
        "  14 AWG: {length: 10 m}\n"
        "  22 AWG: {red: 7 m, black: [{length: 5 m}, 8 m]}\n"
    )
    assert [(str(o.gauge), o.colours, o.length_m, o.price) for o in stock.offers] == [
        ("12 AWG", ("RD", "BK"), 10.0, 14.0),
        ("12 AWG", ("RD", "BK"), 30.0, 36.5),
        ("14 AWG", (), 10.0, None),
        ("22 AWG", ("RD",), 7.0, None),
        ("22 AWG", ("BK",), 5.0, None),
        ("22 AWG", ("BK",), 8.0, None),
    ]
    assert [str(gauge) for gauge in stock.gauges] == ["22 AWG", "14 AWG", "12 AWG"]
    assert str(stock.offers[1].mark) == "stock.yaml:2:51"


def test_a_used_up_gauge_that_is_on_offer_may_be_chosen() -> None:
    """What is used up and can't be bought may not."""
    assert gauges("wire: {12 AWG: none, 14 AWG: none}\nbuy: {12 AWG: 10 m}\n") == ["12 AWG"]


def test_how_a_team_cuts() -> None:
    """What isn't said stays as is usual."""
    assert stock_of("wire: [12 AWG]\n").habits == CutHabits(kerf_m=0.0, trim_m=0.01, keep_m=0.15)
    said = stock_of("wire: [12 AWG]\ncutting: {kerf: 1 mm, trim: 2 cm, keep: 20 cm}\n")
    assert said.habits == CutHabits(kerf_m=0.001, trim_m=0.02, keep_m=0.2)
    assert stock_of("wire: [12 AWG]\ncutting: {keep: 1 ft}\n").habits == CutHabits(keep_m=0.3048)


_FORM = "Fix: Write `buy: {12 AWG: {red/black: {length: 10 m, price: 14}}}`."
_PRICE = "Fix: Write a number of the team's money, such as `price: 14`."
_AMOUNT = (
    "An amount is a length, a list of lengths, `enough` or `none`.",
    "Fix: Write `{spools: [30 m], offcuts: [1.2 m, 80 cm]}`.",
)


@pytest.mark.parametrize(
    ("text", "head", "what", "fix"),
    [
        (
            "wire: {12 AWG: {red: {spools: 1 m, off cuts: 2 m}}}",
            "1:36  wire.12 AWG.red.off cuts  [unknown-key]",
            "`off cuts` is not something that an amount of wire has.",
            "Fix: Did you mean `offcuts`? It has `spools` and `offcuts`.",
        ),
        (
            "wire: {12 AWG: {rde: 3 m}}",
            "1:17  wire.12 AWG.rde  [unknown-colour]",
            "`rde` is not a wire colour.",
            "Fix: Did you mean `red`? Use a word such as `red`, a code such as `RD`, or `red/black` for a bonded pair.",
        ),
        (
            "wire: {12 AWG: {red/red: 3 m}}",
            "1:17  wire.12 AWG.red/red  [bad-pair]",
            "`red/red` is not a pair of two colours.",
            "Fix: Write `red/black` for a bonded pair, and single wires one by one.",
        ),
        ("wire: {12 AWG: {red: [{length: 3 m}]}}", "1:23  wire.12 AWG.red  [bad-form]", *_AMOUNT),
        ("wire: {12 AWG: {red: {spools: {new: 3 m}}}}", "1:31  wire.12 AWG.red.spools  [bad-form]", *_AMOUNT),
        ("buy: [12 AWG]", "1:6  buy  [bad-form]", "What can be bought is written by gauge.", _FORM),
        ("buy: {thick: 3 m}", "1:7  buy.thick  [bad-value]", "`thick` is not a wire gauge.",
         "Fix: Write a gauge such as `12 AWG` or `1/0 AWG`."),
        ("buy: {12 AWG: {rde: 3 m}}", "1:16  buy.12 AWG.rde  [unknown-colour]", "`rde` is not a wire colour.",
         "Fix: Did you mean `red`? Use a word such as `red`, a code such as `RD`, or `red/black` for a bonded pair."),
        ("buy: {12 AWG: {price: 3}}", "1:15  buy.12 AWG  [no-length]", "This offer has no length.", _FORM),
        ("buy: {12 AWG: 0 m}", "1:15  buy.12 AWG  [bad-value]", "`0 m` is nothing, and nobody sells that.",
         "Fix: Write `10 m`, or leave the offer out."),
        ("buy: {12 AWG: [[3]]}", "1:17  buy.12 AWG  [bad-value]", "`3` has no unit.",
         "Fix: Write `3 cm`, `3 mm` or `3 in`."),
        ("buy: {12 AWG: {length: [3 m]}}", "1:24  buy.12 AWG.length  [bad-value]", "An offer has one length.", _FORM),
        ("buy: {12 AWG: {length: 3 m, price: 4 coins}}", "1:36  buy.12 AWG.price  [bad-value]",
         "`4 coins` has more than a number; a plain number belongs here.", _PRICE),
        ("buy: {12 AWG: {length: 3 m, price: [4]}}", "1:36  buy.12 AWG.price  [bad-value]",
         "An offer has one price.", _PRICE),
        ("buy: {12 AWG: {length: 3 m, prise: 4}}", "1:29  buy.12 AWG.prise  [unknown-key]",
         "`prise` is not something that an offer has.", "Fix: Did you mean `price`? It has `length` and `price`."),
        ("cutting: 3 mm", "1:10  cutting  [bad-form]", "`cutting` holds kerf, trim and keep.",
         "Fix: Write `cutting: {kerf: 0 mm, trim: 10 mm, keep: 15 cm}`."),
        ("cutting: {blade: 3 mm}", "1:11  cutting.blade  [unknown-key]",
         "`blade` is not something that `cutting` has.", "Fix: It has `kerf`, `trim` and `keep`."),
        ("cutting: {kerf: 1}", "1:17  cutting.kerf  [bad-value]", "`1` has no unit.",
         "Fix: Write `1 cm`, `1 mm` or `1 in`."),
        ("cutting: {keep: [1 cm]}", "1:17  cutting.keep  [bad-form]", "`keep` wants one length.",
         "Fix: Write `cutting: {kerf: 0 mm, trim: 10 mm, keep: 15 cm}`."),
        ("wires: [12 AWG]", "1:1  wires  [unknown-key]", "`wires` is not something that a stock has.",
         "Fix: Did you mean `wire`? It has `wire`, `buy` and `cutting`."),
    ],
)  # fmt: skip
def test_each_slip_of_a_stock(text: str, head: str, what: str, fix: str) -> None:
    """Where, what, and how to write it."""
    assert told(text + "\n") == f"stock.yaml:{head} must\n  {what}\n  {fix}"


def test_the_faults_of_all_parts_are_told_together() -> None:
    """In the order of the file, whatever is read first."""
    assert [line.split()[0] for line in told("buy: 3 m\ncutting: 3 mm\nwire: 3 m\n").splitlines()[::3]] == [
        "stock.yaml:1:6",
        "stock.yaml:2:10",
        "stock.yaml:3:7",
    ]


def test_every_example_of_the_page_can_be_read() -> None:
    """docs/stock.md shows nothing that the reader refuses."""
    blocks = re.findall(r"```yaml\n(.*?)```", PAGE.read_text(encoding="utf-8"), re.DOTALL)
    assert len(blocks) >= 3
    assert all(stock_of(block).gauges for block in blocks)
