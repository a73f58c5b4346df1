"""Read quantities as people write them ("85 cm", "1 1/2 in", "40 A") and write them back."""

from __future__ import annotations

import math
import re
from fractions import Fraction

from loomwright.units.unit_table import Dimension, Unit, plain_unit, unit_table
from loomwright.wording import listed, nearest, quoted

__all__ = ["Dimension", "QuantityError", "read", "read_range", "show"]

_FRACTION = r"(?:\d+[ -])?\d+\s?/\s?\d+"
_DECIMAL = r"(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d+)?"
_NUMBER = re.compile(rf"(?P<sign>[+-]?)\s*(?P<size>{_FRACTION}(?![\d.])|{_DECIMAL})", re.ASCII)
_COMMA = re.compile(r"[+-]?\d+(?:,\d+)+", re.ASCII)
_NOT_A_NUMBER = re.compile(r"[+-]?\s*\.?(?:nan|inf|infinity)\b|∞", re.IGNORECASE)
_STATE = re.compile(r"\(.*\)\s*$")
_GAUGE = re.compile(r"awg|ga|gauge", re.IGNORECASE)
_DASH_RANGE = re.compile(rf"(?P<low>{_DECIMAL})\s*(?:[-–—]|\.\.\.?)\s*(?P<high>{_DECIMAL})\s*(?P<unit>.*)", re.ASCII)
_PLAIN = {Dimension.COUNT, Dimension.NUMBER}
_MOST_DIGITS = 40
_LARGEST_EXPONENT = 30
_SMALLEST_PLAIN = 1e-4


class QuantityError(ValueError):
    """An amount that can't be understood: `what` says why, `fix` what to write instead."""

    def __init__(self, what: str, fix: str) -> None:
        self.what = what
        self.fix = fix
        super().__init__(f"{what} Fix: {fix}")


def read(text: str, dimension: Dimension, *, signed: bool = False) -> float:
    """Read one amount and return it in the base unit of its dimension (see `Dimension`).

    Numbers may be whole, decimal ("1.5", ".5", "2e-3") or fractions ("1/4", "1 1/2"). Below zero is
    refused unless `signed`, or unless the dimension is a temperature or an angle.

    Raises
    ------
    QuantityError
        For no unit, a wrong or unknown unit, a comma, nan or infinity, an amount out of all reason.
    """
    line = _tidy(text)
    number, written_unit, digits = _split(line, dimension)
    unit = _unit(written_unit, dimension, line=line, digits=digits)
    amount = number if unit is None else number * unit.factor + unit.offset
    _refuse_out_of_reach(amount, dimension, line=line, signed=signed)
    if dimension is Dimension.COUNT and amount.denominator != 1:
        raise QuantityError(f"{quoted(line)} is not a whole number.", "Write a whole number, such as `4`.")
    return float(amount)


def read_range(text: str, dimension: Dimension, *, signed: bool = False) -> tuple[float, float]:
    """Read "0.2 s to 0.3 s" or "0.2 to 0.3 s" as its two ends in the base unit; one amount is both ends.

    Raises
    ------
    QuantityError
        Where `read` would, and for a range whose first end is the larger one.
    """
    line = _tidy(text)
    ends = re.split(r"\s+to\s+", line)
    if len(ends) == 1:
        _refuse_dashed_range(line)
        value = read(line, dimension, signed=signed)
        return value, value
    if len(ends) != 2:  # noqa: PLR2004  a range has two ends
        raise QuantityError(
            f"{quoted(line)} has more than two ends.", f"Write a range as `{_range_example(dimension)}`."
        )
    low_text, high_text = ends
    lone = _NUMBER.fullmatch(low_text)
    if lone and dimension not in _PLAIN and (tail := _NUMBER.match(high_text)):
        low_text = f"{low_text} {high_text[tail.end() :].strip()}"
    low, high = read(low_text, dimension, signed=signed), read(high_text, dimension, signed=signed)
    if low > high:
        raise QuantityError(
            f"{quoted(line)} runs backwards: its first end is the larger one.",
            f"Write `{high_text} to {low_text}`.",
        )
    return low, high


def show(value: float, dimension: Dimension, *, digits: int = 3) -> str:
    """Write an amount (in its base unit) shortly, in the unit that suits its size: 0.85 m is "85 cm".

    `digits` is how many figures are kept where there is a decimal part; whole figures are never dropped.
    What comes out can be read back by `read` to the same figures.

    Raises
    ------
    ValueError
        For nan or infinity, which are no amounts.
    """
    if not math.isfinite(value):
        raise ValueError(f"{value} is no amount that can be shown")
    if dimension in _PLAIN:
        return _figures(value, digits)
    shown = [u for u in unit_table().units if u.dimension is dimension and u.shown_from is not None]
    largest_first = sorted(shown, key=lambda unit: unit.factor, reverse=True)
    # Nothing is shown in the plain unit: "0 A", not "0 mA".
    for unit in largest_first if value else sorted(shown, key=lambda unit: abs(unit.factor - 1)):
        figures = _figures((value - float(unit.offset)) / float(unit.factor), digits)
        if value == 0 or abs(float(figures)) >= (unit.shown_from or 0):
            return f"{figures} {unit.name}"
    raise LookupError(f"no unit to show a {dimension} in")  # a test holds the table to this


def _figures(number: float, digits: int) -> str:
    if number == 0:
        return "0"
    if abs(number) < _SMALLEST_PLAIN:
        return f"{number:.{digits - 1}e}"
    decimals = max(0, digits - 1 - math.floor(math.log10(abs(number))))
    text = f"{number:.{decimals}f}"
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    return text


def _tidy(text: str) -> str:
    return " ".join(text.replace("−", "-").replace("⁄", "/").split())  # noqa: RUF001  the two look-alikes people paste


def _split(line: str, dimension: Dimension) -> tuple[Fraction, str, str]:
    """Take a line apart into its number, its unit as written and its number as written."""
    if not line:
        raise QuantityError(
            f"There is nothing here, and {_phrase(dimension)} belongs here.", _example_fix("40", dimension)
        )
    if _NOT_A_NUMBER.match(line):
        raise QuantityError(f"{quoted(line)} is not a number.", _example_fix("40", dimension))
    found = _NUMBER.match(line)
    if found is None:
        raise QuantityError(
            f"{quoted(line)} does not start with a number, and {_phrase(dimension)} belongs here.",
            _example_fix("40", dimension),
        )
    rest = line[found.end() :].strip()
    _refuse_odd_tail(line, rest, found[0], dimension)
    size = _fraction(found["size"], line)
    return (-size if found["sign"] == "-" else size), rest, found[0]


def _refuse_odd_tail(line: str, rest: str, digits: str, dimension: Dimension) -> None:
    """Name the usual slips behind a number before its unit is looked at."""
    if comma := _COMMA.match(line):
        tail = line[comma.end() :].strip()
        dotted = " ".join(part for part in (comma[0].replace(",", ".", 1).replace(",", ""), tail) if part)
        whole = " ".join(part for part in (comma[0].replace(",", ""), tail) if part)
        thousands = re.fullmatch(r"[+-]?[1-9]\d{0,2}(?:,\d{3})+", comma[0])
        raise QuantityError(
            f"{quoted(line)} has a comma in its number; the decimal sign is a point.",
            f"Write `{whole}`, or `{dotted}` if the comma is a decimal sign." if thousands else f"Write `{dotted}`.",
        )
    if rest.startswith("_"):
        raise QuantityError(
            f"{quoted(line)} has an underscore in its number.", f"Write `{line.replace('_', '')}`, digits only."
        )
    if re.search(r"\bto\b", rest) or ("/" not in line and _DASH_RANGE.fullmatch(line)):
        raise QuantityError(f"{quoted(line)} is a range, and one amount belongs here.", _example_fix(digits, dimension))
    if _STATE.search(rest):
        raise QuantityError(
            f"{quoted(line)} has words in brackets, which have no place here.",
            f"Write only `{_STATE.sub('', line).strip()}`.",
        )
    if re.match(r"[+.]?\d", rest):
        raise QuantityError(f"{quoted(line)} has more than one number in it.", _example_fix(digits, dimension))


def _refuse_dashed_range(line: str) -> None:
    found = _DASH_RANGE.fullmatch(line)
    if found and "/" not in line:
        unit = f" {found['unit']}" if found["unit"] else ""
        raise QuantityError(
            f"{quoted(line)} looks like a range; a dash could also be a minus sign.",
            f"Write `{found['low']}{unit} to {found['high']}{unit}`.",
        )


def _fraction(size: str, line: str) -> Fraction:
    """Turn digits into an exact number; limits come first, since 1e999999999 would never end."""
    mantissa, _, exponent = size.lower().partition("e")
    if len(mantissa) > _MOST_DIGITS or len(exponent) > _MOST_DIGITS or abs(int(exponent or 0)) > _LARGEST_EXPONENT:
        raise QuantityError(f"{quoted(line)} is a number out of all reach.", "Check the number and its unit.")
    if "/" not in size:
        return Fraction(size)
    before, _, bottom = size.partition("/")
    *whole, top = before.replace("-", " ").split()
    if int(bottom) == 0:
        raise QuantityError(
            f"{quoted(line)} divides by zero.", "Write a fraction such as `1/4` or a number such as `0.25`."
        )
    return int(whole[0] if whole else 0) + Fraction(int(top), int(bottom))


def _unit(written: str, dimension: Dimension, *, line: str, digits: str) -> Unit | None:
    """Find the unit; None for dimensions that have none."""
    table = unit_table()
    if dimension in _PLAIN:
        if written == "" or (dimension is Dimension.NUMBER and re.fullmatch(r":\s?1", written)):
            return None
        raise QuantityError(
            f"{quoted(line)} has more than a number; {_phrase(dimension)} belongs here.", f"Write `{digits}`."
        )
    if not written:
        raise QuantityError(f"{quoted(line)} has no unit.", _example_fix(digits, dimension))
    if unit := table.find(written, dimension):
        return unit
    if others := table.dimensions_of(written):
        kinds = listed([_phrase(other) for other in others])
        raise QuantityError(
            f"{quoted(line)} is {kinds}, and {_phrase(dimension)} belongs here.", _example_fix(digits, dimension)
        )
    if _GAUGE.fullmatch(written):
        raise QuantityError(
            f"{quoted(line)} is a wire size, and {_phrase(dimension)} belongs here.", _example_fix("40", dimension)
        )
    spellings = table.exact[dimension]
    if twins := [f"`{digits} {s}`" for s in spellings if s.casefold() == plain_unit(written).casefold()]:
        raise QuantityError(
            f"In {quoted(line)} large and small letters matter: m is a thousandth, M a million.",
            f"Write {listed(twins)}.",
        )
    close = nearest(written, spellings, limit=1)
    hint = f"Did you mean `{digits} {close[0]}`? " if close else ""
    raise QuantityError(
        f"{quoted(written)} is not a unit for {_phrase(dimension)} that I know.", hint + _example_fix(digits, dimension)
    )


def _refuse_out_of_reach(amount: Fraction, dimension: Dimension, *, line: str, signed: bool) -> None:
    reach = unit_table().reach[dimension]
    if amount < 0 and not (signed or reach.signed):
        raise QuantityError(
            f"{quoted(line)} is below zero, and {reach.phrase} can't be.", f"Write `{line.lstrip('+- ')}`."
        )
    if amount > reach.highest:
        raise QuantityError(
            f"{quoted(line)} is more than any robot has: {reach.phrase} here is at most {reach.highest_said}.",
            "Check the number and its unit.",
        )
    if amount < reach.lowest:
        raise QuantityError(
            f"{quoted(line)} is less than any robot has: {reach.phrase} here is at least {reach.lowest_said}.",
            "Check the number and its unit.",
        )


def _phrase(dimension: Dimension) -> str:
    return unit_table().reach[dimension].phrase


def _example_fix(digits: str, dimension: Dimension) -> str:
    examples = [f"`{digits} {unit}`" for unit in unit_table().reach[dimension].examples] or [f"`{digits}`"]
    return f"Write {listed(examples)}."


def _range_example(dimension: Dimension) -> str:
    unit = next(iter(unit_table().reach[dimension].examples), "")
    return f"2 {unit} to 3 {unit}" if unit else "2 to 3"
