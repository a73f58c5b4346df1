"""The kinds of values in a robot file: how each is read and how it looks in the JSON Schema."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any, Final, TypeVar

from loomwright.model.device import Limit
from loomwright.robotfile.forms.facts import NotReadableError, Reader, refuse_doubt
from loomwright.robotfile.forms.leaves import Branch, Leaf, Row
from loomwright.robotfile.forms.not_readable import Together
from loomwright.units import Dimension, Gauge, QuantityError, read, read_range
from loomwright.wording import listed, nearest, quoted

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

    from loomwright.robotfile.forms.leaves import Raw

T = TypeVar("T")
_YES = {"yes", "true", "on"}
_NO = {"no", "false", "off"}
_LONGEST_WORD = 120
_LONGEST_RANGE = 63
_COLOURS = re.compile(r"[A-Z]{2}(?:[/-]?[A-Z]{2})?")
# What an editor can see of an amount: a number first, and behind it something that could be a unit.
_NUMBER_FIRST = r"^\s*[-+\u2212]?\s*\.?\d"
_WITH_UNIT = _NUMBER_FIRST + "[^()]*[A-Za-z%°\"'′″’”Ω][^()]*$"
_LIMIT_KEYS: Final = {
    "hold": (Dimension.CURRENT, "35 A", "what is allowed for as long as it pushes"),
    "peak": (Dimension.CURRENT, "60 A", "what is allowed for a short time"),
    "for": (Dimension.TIME, "0.3 s", "how long the peak lasts"),
}
_LIMIT_EXAMPLE = "{hold: 35 A, peak: 60 A, for: 0.3 s}"
_COMMA_LIST = re.compile(r"\d\s*,\s*\S")
_NUMBER_RANGE = re.compile(r"(?P<stem>\D*?)\s*(?P<low>\d+)\s*(?:-|to)\s*(?P<high>\d+)")


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


def _amount_schema(dimension: Dimension, examples: Iterable[str]) -> dict[str, Any]:
    """Describe an amount: a number with something behind it that could be a unit, or a plain number."""
    if dimension is Dimension.NUMBER:
        return {"type": ["number", "string"], "pattern": _NUMBER_FIRST, "examples": list(examples)}
    return {"type": "string", "pattern": _WITH_UNIT, "examples": list(examples)}


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


def word(name: str, *examples: str) -> Reader[str]:
    """Make a reader for a short text (an id, a slot, a label)."""
    return Reader(name, _word, {"type": ["string", "number"], "minLength": 1, "examples": list(examples)})


def choice(name: str, *options: str) -> Reader[str]:
    """Make a reader for one word of a fixed list."""

    def one_of(text: str) -> str:
        found = " ".join(text.split()).casefold()
        if found not in options:
            close = nearest(found, options, limit=1)
            hint = f"Did you mean `{close[0]}`? " if close else ""
            raise NotReadableError("unknown-word", f"{quoted(text)} is not {name}.", f"{hint}Use {listed(options)}.")
        return found

    loose = {"type": "string", "pattern": rf"^\s*({'|'.join(map(_any_case, options))})\s*$"}
    return Reader(name, one_of, one_of_schemas([{"enum": list(options)}, loose]))


def _any_case(word: str) -> str:
    """Write a pattern for a word in large or small letters; JSON Schema has no switch for that."""
    return "".join(f"[{c}{c.upper()}]" if c.isalpha() else r"\s+" if c == " " else c for c in word)


def _word(text: str) -> str:
    tidy = " ".join(text.split())
    if not tidy:
        raise NotReadableError("empty-value", "There is nothing here.", "Write a value, or leave the line out.")
    if len(tidy) > _LONGEST_WORD:
        raise NotReadableError(
            "too-long", f"This text has {len(tidy)} characters; a name has at most {_LONGEST_WORD}.", "Shorten it."
        )
    return tidy


def _yes_or_no(text: str) -> bool:
    tidy = text.strip().casefold()
    if tidy in _YES | _NO:
        return tidy in _YES
    raise NotReadableError("not-yes-or-no", f"{quoted(text)} is neither yes nor no.", "Write `yes`, `no` or `unknown`.")


def read_gauge(text: str) -> Gauge:
    """Read a wire gauge with its unit; raise QuantityError."""
    tidy = text.strip()
    try:
        gauge = Gauge.parse(tidy)
    except ValueError as error:
        raise QuantityError(
            f"{quoted(tidy)} is not a wire gauge.", "Write a gauge such as `12 AWG` or `1/0 AWG`."
        ) from error
    if tidy.isdigit():
        raise QuantityError(f"{quoted(tidy)} has no unit.", f"Write `{tidy} AWG`.")
    return gauge


def _colour(text: str) -> str:
    from loomwright.catalogue.colours import colour_code, colour_names  # noqa: PLC0415  a table, read once asked for

    code = colour_code(text)
    if code is None:
        close = nearest(text, colour_names(), limit=1)
        hint = f"Did you mean `{close[0]}`? " if close else ""
        raise NotReadableError(
            "unknown-colour",
            f"{quoted(text)} is not a wire colour.",
            f"{hint}Use a word such as `red` or a code such as `RD`.",
        )
    return code


def _limit_text(text: str) -> Limit:
    return Limit(read(text, Dimension.CURRENT))


def _limit_branch(raw: Branch) -> Limit:
    all_ = Together()
    amounts: dict[str, float] = {}
    for key, held in raw.items():
        with all_.reading(held):
            if key not in _LIMIT_KEYS:
                raise NotReadableError(
                    "unknown-key", f"{quoted(key)} has no place in a limit.", f"Use {listed(list(_LIMIT_KEYS), 'and')}."
                )
            amounts[key] = _amount(held, key)
    all_.settle()
    hold, peak, seconds = (amounts.get(key) for key in _LIMIT_KEYS)
    if hold is None and peak is None:
        raise NotReadableError("empty-limit", "This limit has neither hold nor peak.", f"Write `{_LIMIT_EXAMPLE}`.")
    if seconds is not None and peak is None:
        raise NotReadableError(
            "time-without-peak",
            "`for:` says how long a peak lasts, and there is no peak.",
            f"Write `{_LIMIT_EXAMPLE}`.",
        )
    if hold is not None and peak is not None and peak < hold:
        raise NotReadableError(
            "peak-below-hold",
            "The peak of this limit is below what it holds.",
            f"Write `{_LIMIT_EXAMPLE}`.",
            raw["peak"],
        )
    return Limit(hold if hold is not None else peak or 0.0, peak, seconds)


def _amount(held: Raw, key: str) -> float:
    dimension, example, _ = _LIMIT_KEYS[key]
    if not isinstance(held, Leaf):
        raise NotReadableError("bad-form", f"`{key}` wants one amount.", f"Write `{key}: {example}`.", held)
    refuse_doubt(held)
    return read(held.text, dimension)


def point_of(raw: Raw) -> tuple[float, float]:
    """Read `[120 mm, 340 mm]` as a place on the plate [m]; raise NotReadableError."""
    if not isinstance(raw, Row) or len(raw) != 2 or not all(isinstance(item, Leaf) for item in raw):  # noqa: PLR2004
        raise NotReadableError(
            "bad-place", "A place has two lengths: right and forward.", "Write `[120 mm, 340 mm]`.", raw
        )
    all_, lengths = Together(), [0.0, 0.0]
    for number, item in enumerate(raw):
        with all_.reading(item):
            refuse_doubt(item)
            # A lone zero needs no unit: it is the corner of the plate.
            lengths[number] = 0.0 if item.text.strip() == "0" else read(item.text, Dimension.LENGTH, signed=True)
    all_.settle()
    return lengths[0], lengths[1]


def points_of(raw: Raw) -> tuple[tuple[float, float], ...]:
    """Read a list of two or more places as a line on the plate [m]; raise NotReadableError."""
    if not isinstance(raw, Row) or len(raw) < 2:  # noqa: PLR2004  a line has two ends
        raise NotReadableError(
            "bad-line", "A line on the plate is a list of two or more places.", "Write `[[0, 0], [640 mm, 0]]`.", raw
        )
    all_ = Together()
    points: list[tuple[float, float]] = []
    for item in raw:
        with all_.reading(item):
            points.append(point_of(item))
    all_.settle()
    return tuple(points)


def _words_text(text: str) -> tuple[str, ...]:
    """Read one socket name; "digital 2-3" means digital 2 and digital 3."""
    tidy = _word(text)
    if _COMMA_LIST.search(tidy):
        raise NotReadableError(
            "comma-list", f"{quoted(tidy)} is one text, and looks like several.", f"Write `[{tidy}]`."
        )
    spread = _NUMBER_RANGE.fullmatch(tidy)
    if spread is None:
        return (tidy,)
    low, high = int(spread["low"]), int(spread["high"])
    stem = spread["stem"]
    if not low <= high <= low + _LONGEST_RANGE:
        fix = f"Write `{f'{stem} {high}-{low}'.strip()}`." if high < low else "Write the few that are meant, as a list."
        raise NotReadableError("bad-range", f"{quoted(tidy)} is not a range that I can count through.", fix)
    return tuple(f"{stem} {n}".strip() for n in range(low, high + 1))


def _words_row(raw: Row) -> tuple[str, ...]:
    return tuple(name for names in _each(raw, _words_text) for name in names)


def _counts_row(raw: Row) -> tuple[int, ...]:
    reader = whole()
    assert reader.scalar is not None  # noqa: S101  made with a scalar just above
    return _each(raw, reader.scalar)


def _each(raw: Row, read_one: Callable[[str], T]) -> tuple[T, ...]:
    """Read every item of a list that is not empty, and raise all of their faults at once."""
    if not raw:
        raise NotReadableError("empty-list", "This list is empty.", "Write at least one, or leave the line out.")
    all_ = Together()
    done: list[T] = []
    for item in raw:
        with all_.reading(item):
            refuse_doubt(item)
            done.append(read_one(leaf_text(item)))
    all_.settle()
    return tuple(done)


def leaf_text(raw: Raw) -> str:
    """Return the text of a leaf; raise NotReadableError for a list or a mapping."""
    if isinstance(raw, Leaf):
        return raw.text
    raise NotReadableError("bad-form", "One word belongs here, not a list or a mapping.", "Write one word.", raw)


def ids_of(raw: Row) -> tuple[str, ...]:
    """Read a list of ids; raise NotReadableError."""
    return _each(raw, _word)


def array(schema: dict[str, Any]) -> dict[str, Any]:
    """Describe a list of one kind of value."""
    return {"type": "array", "items": schema, "minItems": 1}


def one_of_schemas(schemas: Iterable[dict[str, Any]]) -> dict[str, Any]:
    """Describe a value that is written in one of several ways."""
    return {"anyOf": list(schemas)}


def _scalar_counts(text: str) -> tuple[int, ...]:
    names = _words_text(text)
    if not all(name.isascii() and name.isdigit() for name in names):
        raise NotReadableError("bad-channel", f"{quoted(text)} is not a channel number.", "Write `3` or `[3, 2]`.")
    return tuple(map(int, names))


_LENGTH_OR_CORNER = {"anyOf": [{"const": 0}, {"const": "0"}, {"type": "string", "pattern": _WITH_UNIT}]}
_POINT_SCHEMA = {
    "type": "array",
    "items": _LENGTH_OR_CORNER,
    "minItems": 2,
    "maxItems": 2,
    "examples": [["120 mm", "340 mm"]],
}
_TEXT = {"type": ["string", "number"], "minLength": 1}
_GAUGE_SCHEMA = {
    "type": "string",
    "pattern": r"^\s*((#|[nN][oO]\.?\s*)?(\d{1,2}|[1-4]/0|0{2,4})\s*([aA][wW][gG]|[gG][aA]([uU][gG][eE])?)|"
    r"(#|[nN][oO]\.?\s*)\d{1,2}|[1-4]/0)\s*$",
    "examples": ["12 AWG", "1/0 AWG"],
}
_YES_NO_SCHEMA = one_of_schemas(
    [
        {"type": "boolean"},
        {
            "type": "string",
            "pattern": rf"^\s*({'|'.join(map(_any_case, sorted(_YES | _NO)))})\s*$",
            "examples": ["yes", "no"],
        },
    ]
)
_LIMIT_SCHEMA = one_of_schemas(
    [
        {"type": "string", "pattern": _WITH_UNIT, "examples": ["40 A", _LIMIT_EXAMPLE]},
        {
            "type": "object",
            "properties": {
                key: {"type": "string", "pattern": _WITH_UNIT, "examples": [example], "description": meaning}
                for key, (_, example, meaning) in _LIMIT_KEYS.items()
            },
            "additionalProperties": False,
            "minProperties": 1,
        },
    ]
)

YES_NO: Reader[bool] = Reader("yes or no", _yes_or_no, _YES_NO_SCHEMA)
GAUGE: Reader[Gauge] = Reader("a wire gauge", read_gauge, _GAUGE_SCHEMA)
COLOUR: Reader[str] = Reader("a wire colour", _colour, {"type": "string", "examples": ["red", "BK"]})
LIMIT: Reader[Limit] = Reader(
    "a current limit",
    _limit_text,
    _LIMIT_SCHEMA,
    branch=_limit_branch,
    branch_keys=frozenset(_LIMIT_KEYS),
    if_none="If the limit is switched off in the code, write `enabled: no` beside it.",
)
POINT: Reader[tuple[float, float]] = Reader("a place such as [120 mm, 340 mm]", None, _POINT_SCHEMA, row=point_of)
RAMP: Reader[tuple[float, float]] = Reader(
    "a time such as 0.2 s",
    lambda text: read_range(text, Dimension.TIME),
    {"type": "string", "pattern": _WITH_UNIT, "examples": ["0.2 s", "0.2 s to 0.3 s"]},
    if_none="If the code goes to full output at once, write `0 s`.",
)
NAMES: Reader[tuple[str, ...]] = Reader(
    "a name or a list of names",
    _words_text,
    one_of_schemas([{**_TEXT, "examples": ["pulse 3", "digital 2-3"]}, array(_TEXT)]),
    row=_words_row,
)
CHANNELS: Reader[tuple[int, ...]] = Reader(
    "a channel or a list of channels",
    _scalar_counts,
    one_of_schemas([{**_TEXT, "examples": ["3", "[3, 2]"]}, array({"type": ["integer", "string"]})]),
    row=_counts_row,
)
IDS: Reader[tuple[str, ...]] = Reader(
    "a list of ids", None, {**array(_TEXT), "examples": [["one id", "another id"]]}, row=ids_of
)
