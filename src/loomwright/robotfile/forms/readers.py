"""The kinds of values in a robot file: how each is read and how it looks in the JSON Schema."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any, Final, TypeVar

from loomwright.model.device import Limit
from loomwright.robotfile.forms.amounts import WITH_UNIT, any_case, one_of_schemas, whole
from loomwright.robotfile.forms.facts import NotReadableError, Reader, refuse_doubt
from loomwright.robotfile.forms.leaves import Branch, Leaf, Row
from loomwright.robotfile.forms.not_readable import Together
from loomwright.units import Dimension, Gauge, QuantityError, read, read_range
from loomwright.wording import listed, nearest, quoted

if TYPE_CHECKING:
    from collections.abc import Callable

    from loomwright.robotfile.forms.leaves import Raw

T = TypeVar("T")
_YES = {"yes", "true", "on"}
_NO = {"no", "false", "off"}
SHORTEST: Final = "shortest"
#: What it is read as: no list of ids is empty, so the empty one stands for an order that the tool may choose.
CHOSEN: Final[tuple[str, ...]] = ()
_LONGEST_WORD = 120
_LONGEST_RANGE = 63
_COLOURS = re.compile(r"[A-Z]{2}(?:[/-]?[A-Z]{2})?")
_LIMIT_KEYS: Final = {
    "hold": (Dimension.CURRENT, "35 A", "what is allowed for as long as it pushes"),
    "peak": (Dimension.CURRENT, "60 A", "what is allowed for a short time"),
    "for": (Dimension.TIME, "0.3 s", "how long the peak lasts"),
}
_LIMIT_EXAMPLE = "{hold: 35 A, peak: 60 A, for: 0.3 s}"
_COMMA_LIST = re.compile(r"\d\s*,\s*\S")
_NUMBER_RANGE = re.compile(r"(?P<stem>\D*?)\s*(?P<low>\d+)\s*(?:-|to)\s*(?P<high>\d+)")


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

    loose = {"type": "string", "pattern": rf"^\s*({'|'.join(map(any_case, options))})\s*$"}
    return Reader(name, one_of, one_of_schemas([{"enum": list(options)}, loose]))


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


def _shortest(text: str) -> tuple[str, ...]:
    """Read the word that leaves an order to the tool."""
    plain = " ".join(text.split()).casefold()
    if plain == SHORTEST:
        return CHOSEN
    hint = f"Did you mean `{SHORTEST}`? " if nearest(plain, [SHORTEST]) else ""
    raise NotReadableError(
        "bad-form",
        f"{quoted(text)} is not a list of ids.",
        f"{hint}Write `[one id, another id]`, or `{SHORTEST}` to let the tool choose.",
    )


def array(schema: dict[str, Any]) -> dict[str, Any]:
    """Describe a list of one kind of value."""
    return {"type": "array", "items": schema, "minItems": 1}


def _scalar_counts(text: str) -> tuple[int, ...]:
    names = _words_text(text)
    if not all(name.isascii() and name.isdigit() for name in names):
        raise NotReadableError("bad-channel", f"{quoted(text)} is not a channel number.", "Write `3` or `[3, 2]`.")
    return tuple(map(int, names))


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
            "pattern": rf"^\s*({'|'.join(map(any_case, sorted(_YES | _NO)))})\s*$",
            "examples": ["yes", "no"],
        },
    ]
)
_LIMIT_SCHEMA = one_of_schemas(
    [
        {"type": "string", "pattern": WITH_UNIT, "examples": ["40 A", _LIMIT_EXAMPLE]},
        {
            "type": "object",
            "properties": {
                key: {"type": "string", "pattern": WITH_UNIT, "examples": [example], "description": meaning}
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
RAMP: Reader[tuple[float, float]] = Reader(
    "a time such as 0.2 s",
    lambda text: read_range(text, Dimension.TIME),
    {"type": "string", "pattern": WITH_UNIT, "examples": ["0.2 s", "0.2 s to 0.3 s"]},
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
ORDER: Reader[tuple[str, ...]] = Reader(
    "a list of ids",
    _shortest,
    one_of_schemas([IDS.schema, {"type": "string", "pattern": rf"^\s*({any_case(SHORTEST)})\s*$"}]),
    row=ids_of,
)
