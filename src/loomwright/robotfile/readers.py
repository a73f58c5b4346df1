"""The kinds of values in a robot file: how each is read and how it looks in the JSON Schema."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any

from loomwright.model.device import Limit
from loomwright.robotfile.facts import NotReadableError, Reader
from loomwright.robotfile.leaves import Branch, Leaf, Row
from loomwright.units import Dimension, Gauge, QuantityError, read, read_range
from loomwright.wording import listed, nearest, quoted

if TYPE_CHECKING:
    from collections.abc import Iterable

    from loomwright.robotfile.leaves import Raw

_YES = {"yes", "true", "on"}
_NO = {"no", "false", "off"}
_LONGEST_WORD = 120
_COLOURS = re.compile(r"[A-Z]{2}(?:[/-]?[A-Z]{2})?")
_NUMBER_RANGE = re.compile(r"(?P<stem>\D*?)\s*(?P<low>\d+)\s*(?:-|to)\s*(?P<high>\d+)")


def quantity(dimension: Dimension, *examples: str, signed: bool = False) -> Reader[float]:
    """Make a reader for one amount with a unit; the value is in the base unit of its dimension."""
    return Reader(
        name=f"an amount such as {examples[0]}",
        scalar=lambda text: read(text, dimension, signed=signed),
        schema={"type": "string", "examples": list(examples)},
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

    return Reader(f"an amount such as {examples[0]}", above_zero, {"type": "string", "examples": list(examples)})


def whole(*, least: int = 0, most: int = 10_000, examples: tuple[int, ...] = (4,)) -> Reader[int]:
    """Make a reader for a whole number in a range."""

    def count(text: str) -> int:
        value = int(read(text, Dimension.COUNT))
        if not least <= value <= most:
            raise QuantityError(
                f"{value} is outside {least} to {most}.", f"Write a whole number from {least} to {most}."
            )
        return value

    return Reader("a whole number", count, {"type": ["integer", "string"], "examples": list(examples)})


def word(name: str, *examples: str) -> Reader[str]:
    """Make a reader for a short text (an id, a slot, a label)."""
    return Reader(name, _word, {"type": ["string", "integer"], "examples": list(examples)})


def choice(name: str, *options: str) -> Reader[str]:
    """Make a reader for one word of a fixed list."""

    def one_of(text: str) -> str:
        found = " ".join(text.split()).casefold()
        if found not in options:
            close = nearest(found, options, limit=1)
            hint = f"Did you mean `{close[0]}`? " if close else ""
            raise NotReadableError("unknown-word", f"{quoted(text)} is not {name}.", f"{hint}Use {listed(options)}.")
        return found

    return Reader(name, one_of, {"enum": list(options)})


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


def _gauge(text: str) -> Gauge:
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
    allowed = ("hold", "peak", "for")
    for key in raw:
        if key not in allowed:
            raise NotReadableError(
                "unknown-key", f"`{key}` has no place in a limit.", f"Use {listed(allowed)}.", raw[key]
            )
    hold = _amount(raw, "hold", Dimension.CURRENT)
    peak = _amount(raw, "peak", Dimension.CURRENT)
    seconds = _amount(raw, "for", Dimension.TIME)
    if hold is None and peak is None:
        raise NotReadableError(
            "empty-limit", "This limit has neither hold nor peak.", "Write `{hold: 35 A, peak: 60 A, for: 0.3 s}`.", raw
        )
    return Limit(hold if hold is not None else peak or 0.0, peak, seconds)


def _amount(raw: Branch, key: str, dimension: Dimension) -> float | None:
    held = raw.get(key)
    if held is None:
        return None
    if not isinstance(held, Leaf):
        raise NotReadableError("bad-form", f"`{key}` wants one amount.", f"Write `{key}: 35 A`.", held)
    try:
        return read(held.text, dimension)
    except QuantityError as error:
        raise NotReadableError("bad-value", error.what, error.fix, held) from error


def point_of(raw: Raw) -> tuple[float, float]:
    """Read `[120 mm, 340 mm]` as a place on the plate [m]; raise NotReadableError."""
    if not isinstance(raw, Row) or len(raw) != 2 or not all(isinstance(item, Leaf) for item in raw):  # noqa: PLR2004
        raise NotReadableError(
            "bad-place", "A place has two lengths: right and forward.", "Write `[120 mm, 340 mm]`.", raw
        )
    lengths = []
    for item in raw:
        try:
            # A lone zero needs no unit: it is the corner of the plate.
            lengths.append(0.0 if item.text.strip() == "0" else read(item.text, Dimension.LENGTH, signed=True))
        except QuantityError as error:
            raise NotReadableError("bad-value", error.what, error.fix, item) from error
    return lengths[0], lengths[1]


def points_of(raw: Raw) -> tuple[tuple[float, float], ...]:
    """Read a list of places as a line on the plate [m]; raise NotReadableError."""
    if not isinstance(raw, Row):
        raise NotReadableError(
            "bad-line", "A line on the plate is a list of places.", "Write `[[0, 0], [640 mm, 0]]`.", raw
        )
    return tuple(point_of(item) for item in raw)


def _words_text(text: str) -> tuple[str, ...]:
    """Read one socket name; "digital 2-3" means digital 2 and digital 3."""
    tidy = _word(text)
    spread = _NUMBER_RANGE.fullmatch(tidy)
    if spread is None:
        return (tidy,)
    low, high = int(spread["low"]), int(spread["high"])
    if not low <= high <= low + 63:
        raise NotReadableError(
            "bad-range", f"{quoted(tidy)} is not a range that I can count through.", "Write `digital 2-3`."
        )
    stem = spread["stem"]
    return tuple(f"{stem} {n}".strip() for n in range(low, high + 1))


def _words_row(raw: Row) -> tuple[str, ...]:
    return tuple(name for item in raw for name in _words_text(leaf_text(item)))


def _counts_row(raw: Row) -> tuple[int, ...]:
    reader = whole()
    assert reader.scalar is not None  # noqa: S101  made with a scalar just above
    return tuple(reader.scalar(leaf_text(item)) for item in raw)


def leaf_text(raw: Raw) -> str:
    """Return the text of a leaf; raise NotReadableError for a list or a mapping."""
    if isinstance(raw, Leaf):
        return raw.text
    raise NotReadableError("bad-form", "One word belongs here, not a list or a mapping.", "Write one word.", raw)


def ids_of(raw: Row) -> tuple[str, ...]:
    """Read a list of ids; raise NotReadableError."""
    return tuple(_word(leaf_text(item)) for item in raw)


def array(schema: dict[str, Any]) -> dict[str, Any]:
    """Describe a list of one kind of value."""
    return {"type": "array", "items": schema}


def one_of_schemas(schemas: Iterable[dict[str, Any]]) -> dict[str, Any]:
    """Describe a value that is written in one of several ways."""
    return {"anyOf": list(schemas)}


def _scalar_counts(text: str) -> tuple[int, ...]:
    return tuple(int(name) for name in _words_text(text) if name.isdigit()) or _not_channels(text)


def _not_channels(text: str) -> tuple[int, ...]:
    raise NotReadableError("bad-channel", f"{quoted(text)} is not a channel number.", "Write `3` or `[3, 2]`.")


_POINT_SCHEMA = {"type": "array", "items": {"type": ["string", "integer"]}, "minItems": 2, "maxItems": 2}
_TEXT = {"type": ["string", "integer"]}

YES_NO: Reader[bool] = Reader("yes or no", _yes_or_no, {"type": ["boolean", "string"], "examples": ["yes", "no"]})
GAUGE: Reader[Gauge] = Reader("a wire gauge", _gauge, {"type": "string", "examples": ["12 AWG", "1/0 AWG"]})
COLOUR: Reader[str] = Reader("a wire colour", _colour, {"type": "string", "examples": ["red", "BK"]})
LIMIT: Reader[Limit] = Reader(
    "a current limit",
    _limit_text,
    one_of_schemas(
        [
            {"type": "string", "examples": ["40 A"]},
            {
                "type": "object",
                "properties": {k: {"type": "string"} for k in ("hold", "peak", "for")},
                "additionalProperties": False,
            },
        ]
    ),
    branch=_limit_branch,
    branch_keys=frozenset({"hold", "peak", "for"}),
)
POINT: Reader[tuple[float, float]] = Reader("a place such as [120 mm, 340 mm]", None, _POINT_SCHEMA, row=point_of)
RAMP: Reader[tuple[float, float]] = Reader(
    "a time such as 0.2 s",
    lambda text: read_range(text, Dimension.TIME),
    {"type": "string", "examples": ["0.2 s", "0.2 s to 0.3 s"]},
)
NAMES: Reader[tuple[str, ...]] = Reader(
    "a name or a list of names", _words_text, one_of_schemas([_TEXT, array(_TEXT)]), row=_words_row
)
CHANNELS: Reader[tuple[int, ...]] = Reader(
    "a channel or a list of channels",
    _scalar_counts,
    one_of_schemas([_TEXT, array({"type": ["integer", "string"]})]),
    row=_counts_row,
)
IDS: Reader[tuple[str, ...]] = Reader("a list of ids", None, array(_TEXT), row=ids_of)
