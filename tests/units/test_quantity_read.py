"""Amounts as people write them come out as the number that is meant."""

from __future__ import annotations

import pytest

from loomwright.units import Dimension, QuantityError, read, read_range

D = Dimension

WRITTEN = [
    ("85 cm", D.LENGTH, 0.85),
    ("85cm", D.LENGTH, 0.85),
    ("  85   cm ", D.LENGTH, 0.85),
    ("57 cm", D.LENGTH, 0.57),  # 57 * 0.01 in floats is 0.5700000000000001
    (".5 m", D.LENGTH, 0.5),
    ("+0.5 m", D.LENGTH, 0.5),
    ("2e-3 m", D.LENGTH, 0.002),
    ("1/4 in", D.LENGTH, 0.00635),
    ("1 1/2 in", D.LENGTH, 0.0381),
    ("1-1/2 in", D.LENGTH, 0.0381),
    ('12"', D.LENGTH, 0.3048),
    ("12”", D.LENGTH, 0.3048),
    ("1 ft", D.LENGTH, 0.3048),
    ("34 Inches", D.LENGTH, 0.8636),
    ("40 A", D.CURRENT, 40.0),
    ("40 a", D.CURRENT, 40.0),
    ("40 amps", D.CURRENT, 40.0),
    ("750 mA", D.CURRENT, 0.75),
    ("12.6 V", D.VOLTAGE, 12.6),
    ("340 W", D.POWER, 340.0),
    ("1.5 kW", D.POWER, 1500.0),
    ("11 mohm", D.RESISTANCE, 0.011),
    ("11 milliohm", D.RESISTANCE, 0.011),
    ("11 m\u2126", D.RESISTANCE, 0.011),  # the ohm sign
    ("11 m\u03a9", D.RESISTANCE, 0.011),  # the Greek letter
    ("4 Mohm", D.RESISTANCE, 4e6),
    ("120 OHM", D.RESISTANCE, 120.0),
    ("18 Ah", D.CHARGE, 18.0),
    ("1500 mAh", D.CHARGE, 1.5),
    ("54 kg", D.MASS, 54.0),
    ("10 lb", D.MASS, 4.5359237),
    ("0.3 s", D.TIME, 0.3),
    ("300 ms", D.TIME, 0.3),
    ("15 min", D.TIME, 900.0),
    ("105 C", D.TEMPERATURE, 105.0),
    ("105 \u00b0C", D.TEMPERATURE, 105.0),
    ("105 \u2103", D.TEMPERATURE, 105.0),  # degree and C in one character
    ("-40 F", D.TEMPERATURE, -40.0),
    ("300 K", D.TEMPERATURE, 26.85),
    ("5 %", D.RATIO, 0.05),
    ("5%", D.RATIO, 0.05),
    ("2.4 N m", D.TORQUE, 2.4),
    ("2.4 Nm", D.TORQUE, 2.4),
    ("2.4 N\u00b7m", D.TORQUE, 2.4),
    ("10 lbf in", D.TORQUE, 1.129848290276167),
    ("10 in-lb", D.TORQUE, 1.129848290276167),
    ("60 rpm", D.ROTATION, 6.283185307179586),
    ("180 deg", D.ANGLE, 3.141592653589793),
    ("-90\u00b0", D.ANGLE, -1.5707963267948966),
    ("3.6 km/h", D.SPEED, 1.0),
    ("50 Hz", D.FREQUENCY, 50.0),
    ("70 lbf", D.FORCE, 311.375513068235),
    ("120 psi", D.PRESSURE, 827370.8751802033),
    ("3.31 mm2", D.AREA, 3.31e-6),
    ("3.31 mm\u00b2", D.AREA, 3.31e-6),
    ("4", D.COUNT, 4.0),
    ("8.5", D.NUMBER, 8.5),
    ("8.5:1", D.NUMBER, 8.5),
    ("0 A", D.CURRENT, 0.0),
]


@pytest.mark.parametrize(("text", "dimension", "value"), WRITTEN)
def test_an_amount_comes_out_in_its_base_unit(text: str, dimension: Dimension, value: float) -> None:
    assert read(text, dimension) == value


def test_minus_nothing_is_nothing() -> None:
    """-0 would print as "-0 m" on a sheet."""
    assert str(read("-0 m", D.LENGTH)) == "0.0"


def test_below_zero_is_read_where_it_is_asked_for() -> None:
    assert read("-12.4 V", D.VOLTAGE, signed=True) == -12.4
    assert read("\u221212.4 V", D.VOLTAGE, signed=True) == -12.4  # a real minus sign, as word processors set it


@pytest.mark.parametrize(
    ("text", "dimension"),
    [("-1 kg", D.MASS), ("-1 mm2", D.AREA), ("-1 ohm", D.RESISTANCE), ("-1", D.COUNT), ("-1 Hz", D.FREQUENCY)],
)
def test_what_can_never_be_below_zero_is_refused_even_then(text: str, dimension: Dimension) -> None:
    with pytest.raises(QuantityError, match="is less than any robot has"):
        read(text, dimension, signed=True)


FAULTS = [
    ("85", D.LENGTH, "`85` has no unit.", "Write `85 cm`, `85 mm` or `85 in`."),
    ("85%", D.LENGTH, "`85%` is a percentage, and a length belongs here.", "Write `85 cm`, `85 mm` or `85 in`."),
    ("40 V", D.CURRENT, "`40 V` is a voltage, and a current belongs here.", "Write `40 A` or `40 mA`."),
    ("5 m", D.TIME, "`5 m` is a length, and a time belongs here.", "Write `5 s`, `5 ms` or `5 min`."),
    ("30 lb", D.FORCE, "`30 lb` is a mass, and a force belongs here.", "Write `30 N` or `30 lbf`."),
    (
        "12 AWG",
        D.LENGTH,
        "`12 AWG` is a wire size, and a length belongs here.",
        "Write `40 cm`, `40 mm` or `40 in`.",
    ),
    (
        "85 cmm",
        D.LENGTH,
        "`cmm` is not a unit for a length that I know.",
        "Did you mean `85 cm`? Write `85 cm`, `85 mm` or `85 in`.",
    ),
    (
        "85 parsec",
        D.LENGTH,
        "`parsec` is not a unit for a length that I know.",
        "Write `85 cm`, `85 mm` or `85 in`.",
    ),
    (
        "11 MOHM",
        D.RESISTANCE,
        "In `11 MOHM` large and small letters matter: m is a thousandth, M a million.",
        "Write `11 mohm`, `11 mOhm`, `11 Mohm` or `11 MOhm`.",
    ),
    (
        "1,5 m",
        D.LENGTH,
        "`1,5 m` has a comma in its number; the decimal sign is a point.",
        "Write `1.5 m`.",
    ),
    (
        "1,000 mm",
        D.LENGTH,
        "`1,000 mm` has a comma in its number; the decimal sign is a point.",
        "Write `1000 mm`, or `1.000 mm` if the comma is a decimal sign.",
    ),
    ("-5 cm", D.LENGTH, "`-5 cm` is below zero, and a length can't be.", "Write `5 cm`."),
    ("nan m", D.LENGTH, "`nan m` is not a number.", "Write `40 cm`, `40 mm` or `40 in`."),
    ("-inf A", D.CURRENT, "`-inf A` is not a number.", "Write `40 A` or `40 mA`."),
    ("1e999 m", D.LENGTH, "`1e999 m` is a number out of all reach.", "Check the number and its unit."),
    ("1e-999999999 m", D.LENGTH, "`1e-999999999 m` is a number out of all reach.", "Check the number and its unit."),
    ("1_0 m", D.LENGTH, "`1_0 m` has an underscore in its number.", "Write `10 m`, digits only."),
    (
        "400 m",
        D.LENGTH,
        "`400 m` is more than any robot has: a length here is at most 100 m.",
        "Check the number and its unit.",
    ),
    (
        "2001 A",
        D.CURRENT,
        "`2001 A` is more than any robot has: a current here is at most 2000 A.",
        "Check the number and its unit.",
    ),
    (
        "-300 C",
        D.TEMPERATURE,
        "`-300 C` is less than any robot has: a temperature here is at least -100 °C.",
        "Check the number and its unit.",
    ),
    ("1/0 in", D.LENGTH, "`1/0 in` divides by zero.", "Write a fraction such as `1/4` or a number such as `0.25`."),
    ("2.5.1 m", D.LENGTH, "`2.5.1 m` has more than one number in it.", "Write `2.5 cm`, `2.5 mm` or `2.5 in`."),
    ("1 000 mm", D.LENGTH, "`1 000 mm` has more than one number in it.", "Write `1 cm`, `1 mm` or `1 in`."),
    ("11-13 V", D.VOLTAGE, "`11-13 V` is a range, and one amount belongs here.", "Write `11 V` or `11 mV`."),
    (
        "0.2 s to 0.3 s",
        D.TIME,
        "`0.2 s to 0.3 s` is a range, and one amount belongs here.",
        "Write `0.2 s`, `0.2 ms` or `0.2 min`.",
    ),
    (
        "85 cm (guessed)",
        D.LENGTH,
        "`85 cm (guessed)` has words in brackets, which have no place here.",
        "Write only `85 cm`.",
    ),
    ("", D.LENGTH, "There is nothing here, and a length belongs here.", "Write `40 cm`, `40 mm` or `40 in`."),
    (
        "about 1 m",
        D.LENGTH,
        "`about 1 m` does not start with a number, and a length belongs here.",
        "Write `40 cm`, `40 mm` or `40 in`.",
    ),
    (
        "\u0661 m",  # an Arabic-Indic digit one
        D.LENGTH,
        "`\u0661 m` does not start with a number, and a length belongs here.",
        "Write `40 cm`, `40 mm` or `40 in`.",
    ),
    ("3.5", D.COUNT, "`3.5` is not a whole number.", "Write a whole number, such as `4`."),
    ("8 A", D.COUNT, "`8 A` has more than a number; a whole number belongs here.", "Write `8`."),
    ("8:1", D.COUNT, "`8:1` has more than a number; a whole number belongs here.", "Write `8`."),
]


@pytest.mark.parametrize(("text", "dimension", "what", "fix"), FAULTS)
def test_a_slip_is_told_in_plain_words(text: str, dimension: Dimension, what: str, fix: str) -> None:
    with pytest.raises(QuantityError) as caught:
        read(text, dimension)
    assert (caught.value.what, caught.value.fix) == (what, fix)
    assert str(caught.value) == f"{what} Fix: {fix}"


def test_a_long_text_is_cut_in_the_words_about_it() -> None:
    with pytest.raises(QuantityError) as caught:
        read("9" * 5000 + " m", D.LENGTH)
    assert caught.value.what == f"`{'9' * 40}...` is a number out of all reach."


RANGES = [
    ("0.2 s to 0.3 s", D.TIME, (0.2, 0.3)),
    ("0.2 to 0.3 s", D.TIME, (0.2, 0.3)),
    ("200 ms to 0.3 s", D.TIME, (0.2, 0.3)),
    ("0.3 s", D.TIME, (0.3, 0.3)),
    ("2 to 3", D.COUNT, (2.0, 3.0)),
    ("-10 to 40 C", D.TEMPERATURE, (-10.0, 40.0)),
]


@pytest.mark.parametrize(("text", "dimension", "ends"), RANGES)
def test_a_range_has_two_ends(text: str, dimension: Dimension, ends: tuple[float, float]) -> None:
    assert read_range(text, dimension) == ends


RANGE_FAULTS = [
    ("0.3 s to 0.2 s", "`0.3 s to 0.2 s` runs backwards: its first end is the larger one.", "Write `0.2 s to 0.3 s`."),
    ("0.3 to 0.2 s", "`0.3 to 0.2 s` runs backwards: its first end is the larger one.", "Write `0.2 s to 0.3 s`."),
    ("1 s to 2 s to 3 s", "`1 s to 2 s to 3 s` has more than two ends.", "Write a range as `2 s to 3 s`."),
    ("0.2-0.3 s", "`0.2-0.3 s` looks like a range; a dash could also be a minus sign.", "Write `0.2 s to 0.3 s`."),
    ("0.2 to 0.3", "`0.2` has no unit.", "Write `0.2 s`, `0.2 ms` or `0.2 min`."),
    ("0.2 s to 3 A", "`3 A` is a current, and a time belongs here.", "Write `3 s`, `3 ms` or `3 min`."),
]


@pytest.mark.parametrize(("text", "what", "fix"), RANGE_FAULTS)
def test_a_broken_range_is_told_in_plain_words(text: str, what: str, fix: str) -> None:
    with pytest.raises(QuantityError) as caught:
        read_range(text, D.TIME)
    assert (caught.value.what, caught.value.fix) == (what, fix)
