"""Amounts with a unit and whole numbers: how they are read, and how they look in the JSON Schema."""

from __future__ import annotations

from math import inf
from typing import TYPE_CHECKING, Any

from loomwright.robotfile.forms.facts import Reader
from loomwright.units import Dimension, QuantityError, read
from loomwright.wording import nearest, quoted

if TYPE_CHECKING:
    from collections.abc import Iterable

# What an editor can see of an amount: a number first, and behind it something that could be a unit.
_NUMBER_FIRST = r"^\s*[-+\u2212]?\s*\.?\d"
WITH_UNIT = _NUMBER_FIRST + "[^()]*[A-Za-z%°\"'′″’”Ω][^()]*$"


def quantity(dimension: Dimension, *examples: str, signed: bool = False) -> Reader[float]:
    """Make a reader for one amount with a unit; the value is in the base unit of its dimension."""
    return Reader(
        name=f"an amount such as {examples[0]}",
        scalar=lambda text: read(text, dimension, signed=signed),
        schema=_amount_schema(dimension, examples),
    )


def positive(dimension: Dimension, *examples: str) -> Reader[float]:
    """Make a reader for an amount above zero."""

    def above_zero(text: str) -> float:
        value = read(text, dimension)
        if value <= 0:
            raise QuantityError(
                f"{quoted(text)} is nothing, and this has to be more than nothing.", f"Write `{examples[0]}`."
            )
        return value

    return Reader(f"an amount such as {examples[0]}", above_zero, _amount_schema(dimension, examples))


def up_to(most: str, dimension: Dimension, *examples: str, word: str = "", zero: bool = False) -> Reader[float]:
    """Make a reader for an amount above zero and up to `most`, where more can only be a slip of the unit.

    With `zero` a lone 0 will do too. `word` stands for an amount without an end (infinite).
    """
    highest = read(most, dimension)

    def amount(text: str) -> float:
        plain = " ".join(text.split()).casefold()
        if word and plain == word:
            return inf
        if word and nearest(plain, [word]):
            raise QuantityError(f"{quoted(text)} is not an amount.", f"Did you mean `{word}`?")
        value = 0.0 if zero and plain == "0" else read(text, dimension)
        if value > highest:
            raise QuantityError(
                f"{quoted(text)} is more than this can be on a robot: at most {most}.", "Check the number and its unit."
            )
        if value <= 0 and not zero:
            raise QuantityError(
                f"{quoted(text)} is nothing, and this has to be more than nothing.", f"Write `{examples[0]}`."
            )
        return value

    schema = _amount_schema(dimension, examples)
    more: list[dict[str, Any]] = [{"const": 0}, {"const": "0"}] if zero else []
    if word:
        more.append({"type": "string", "pattern": rf"^\s*({any_case(word)})\s*$"})
    fix = f"If it takes whatever is needed, write `{word}`." if word else "If there is none, write `0`." if zero else ""
    whole_schema = one_of_schemas([schema, *more]) if more else schema
    return Reader(f"an amount such as {examples[0]}", amount, whole_schema, if_none=fix)


def _amount_schema(dimension: Dimension, examples: Iterable[str]) -> dict[str, Any]:
    """Describe an amount: a number with something behind it that could be a unit, or a plain number."""
    if dimension is Dimension.NUMBER:
        return {"type": ["number", "string"], "pattern": _NUMBER_FIRST, "examples": list(examples)}
    return {"type": "string", "pattern": WITH_UNIT, "examples": list(examples)}


def whole(*, least: int = 0, most: int = 10_000, examples: tuple[int, ...] = (4,)) -> Reader[int]:
    """Make a reader for a whole number in a range."""

    def count(text: str) -> int:
        value = int(read(text, Dimension.COUNT))
        if not least <= value <= most:
            raise QuantityError(
                f"{value} is outside {least} to {most}.", f"Write a whole number from {least} to {most}."
            )
        return value

    schema = {"type": ["integer", "string"], "pattern": _NUMBER_FIRST, "minimum": least, "maximum": most}
    return Reader("a whole number", count, {**schema, "examples": list(examples)})


def any_case(word: str) -> str:
    """Write a pattern for a word in large or small letters; JSON Schema has no switch for that."""
    return "".join(f"[{c}{c.upper()}]" if c.isalpha() else r"\s+" if c == " " else c for c in word)


def one_of_schemas(schemas: Iterable[dict[str, Any]]) -> dict[str, Any]:
    """Describe a value that is written in one of several ways."""
    return {"anyOf": list(schemas)}
