"""Read one fact in any of the ways that people state it: plain, doubtful, disputed, open, unknown."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Generic, TypeVar

from pydantic import GetCoreSchemaHandler, GetJsonSchemaHandler, ValidationInfo
from pydantic_core import CoreSchema, core_schema

from loomwright.model.fact import Claim, Fact, Saying, State
from loomwright.robotfile.forms.leaves import Branch, Faults, Leaf, Row, as_written
from loomwright.robotfile.forms.not_readable import NotReadableError, Together
from loomwright.units import QuantityError
from loomwright.wording import listed, nearest, quoted

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from pydantic.json_schema import JsonSchemaValue

    from loomwright.robotfile.forms.leaves import Raw

__all__ = ["NAMED", "FactOf", "NotReadableError", "Reader", "read_fact", "refuse_doubt"]

T = TypeVar("T")
NAMED = "$name"
_BRACKET = re.compile(r"(?P<value>.*?)\s*\((?P<state>[^()]*)\)", re.DOTALL)
_LONG_KEYS = ("value", "state", "source", "note")
_SEVERAL = {"claims": Saying.CLAIMS, "any of": Saying.ANY_OF}
_SEVERAL_MEANING = {"claims": "values that disagree, each with its source", "any of": "values that are all possible"}
_STATES = [str(state) for state in State]
_NOTHING = {"unknown": Saying.UNKNOWN, "none found": Saying.NONE_FOUND}
_NO_ANSWER = {"none", "no", "nothing", "n/a", "na", "nil", "-", "--", "?", "??", "???", "tbd", "todo", "maybe"}
_CLOSE_TO_NOTHING = 0.8


@dataclass(frozen=True)
class Reader(Generic[T]):
    """How one kind of value is read, and how it looks in the JSON Schema.

    `scalar` reads raw text; `branch` and `row` read values that are written as a mapping or a list.
    Each raises QuantityError or NotReadableError. `if_none` says what to write where there is no such thing.
    """

    name: str
    scalar: Callable[[str], T] | None
    schema: dict[str, Any]
    branch: Callable[[Branch], T] | None = None
    branch_keys: frozenset[str] = frozenset()
    row: Callable[[Row], T] | None = None
    if_none: str = ""


@dataclass(frozen=True)
class FactOf(Generic[T]):
    """Annotation that makes a pydantic field read a Fact with the given reader."""

    reader: Reader[T]

    def __get_pydantic_core_schema__(self, source: object, handler: GetCoreSchemaHandler) -> CoreSchema:
        """Validate by reading the fact; faults go to the collector in the context."""
        reader = self.reader

        def validate(raw: object, info: ValidationInfo) -> Fact[T]:
            return raw if isinstance(raw, Fact) else read_fact(raw, reader, info.context["faults"])  # type: ignore[arg-type,index]

        return core_schema.with_info_plain_validator_function(validate)

    def __get_pydantic_json_schema__(self, core: CoreSchema, handler: GetJsonSchemaHandler) -> JsonSchemaValue:
        """Describe the plain form, the short form with its state, and the long forms.

        Each piece that comes back often has a name under NAMED, so that the whole schema can hold it once.
        """
        name, note = self.reader.name, {"type": "string", "description": "anything else, kept as written"}
        doubtful = {"type": "string", "pattern": rf"\S\s*\(\s*({'|'.join(_STATES)})\s*\)\s*$"}
        value = {NAMED: f"{name}, value", "anyOf": [self.reader.schema, doubtful]}
        nothing = {"enum": list(_NOTHING)}
        long = {
            NAMED: f"{name}, long form",
            "type": "object",
            "properties": {
                "value": {"anyOf": [value, nothing], "description": "the value itself"},
                "state": {"enum": _STATES, "description": "how sure it is"},
                "source": {"type": "string", "description": "where it is known from"},
                "note": note,
            },
            "required": ["value"],
            "additionalProperties": False,
        }
        several = [
            {
                "type": "object",
                "properties": {
                    key: {"type": "array", "items": {"anyOf": [value, long]}, "minItems": 2, "description": meaning},
                    "note": note,
                },
                "required": [key],
                "additionalProperties": False,
            }
            for key, meaning in _SEVERAL_MEANING.items()
        ]
        return {NAMED: name, "anyOf": [value, nothing, long, *several]}


def read_fact(raw: Raw, reader: Reader[T], faults: Faults) -> Fact[T]:
    """Read a fact; what can't be understood is noted in `faults` and comes back as absent."""
    try:
        return _fact(raw, reader)
    except NotReadableError as error:
        error.note(faults, raw)
    return Fact()


def refuse_doubt(raw: Raw) -> None:
    """Raise NotReadableError for a state in brackets inside a list or a limit, where it would be lost."""
    if isinstance(raw, Leaf) and not raw.quoted and (found := _BRACKET.fullmatch(raw.text)) and found["value"]:
        raise NotReadableError(
            "doubt-inside",
            f"The doubt in {quoted(raw.text)} stands on one piece of a value that has several.",
            f"Write it for the whole: `{{value: ..., state: {found['state'].strip() or 'guessed'}}}`; "
            "a text that has brackets goes in quotes.",
            raw,
        )


def _fact(raw: Raw, reader: Reader[T]) -> Fact[T]:
    if isinstance(raw, Leaf):
        nothing = _nothing(raw)
        return Fact(nothing, (), raw.mark) if nothing else Fact(Saying.VALUE, (_claim(raw, reader),), raw.mark)
    if isinstance(raw, Branch) and not (reader.branch_keys & raw.keys()):
        return _long_fact(raw, reader)
    return Fact(Saying.VALUE, (_claim(raw, reader),), raw.mark)


def _nothing(raw: Raw) -> Saying | None:
    """Tell whether a text says that nothing is known, or that nothing was found."""
    if not isinstance(raw, Leaf) or raw.quoted:
        return None
    return _NOTHING.get(" ".join(raw.text.split()).casefold())


def _long_fact(raw: Branch, reader: Reader[T]) -> Fact[T]:
    for key, saying in _SEVERAL.items():
        if key in raw:
            return _several(raw, key, saying, reader)
    if "value" not in raw:
        raise NotReadableError(
            "unknown-form",
            f"{quoted(as_written(raw))} has none of value, claims and any of, and {reader.name} belongs here.",
            "Write the value alone, or `{value: ..., state: guessed, source: ...}`.",
        )
    inner, all_ = raw["value"], Together()
    said = {"state": "", "source": "", "note": ""}
    with all_.reading(raw):
        _refuse_other_keys(raw, _LONG_KEYS)
    for key in said:
        with all_.reading(raw):
            said[key] = _words(raw, key)
    told: State | None = None
    if said["state"]:
        with all_.reading(raw["state"]):
            told = _state(said["state"])
    claim: Claim[T] | None = None
    nothing = _nothing(inner)
    if not nothing:
        with all_.reading(inner):
            _refuse_long_form(inner, reader)
            claim = _claim(inner, reader)
    all_.settle()
    note = said["note"]
    if claim is None:
        return Fact(nothing or Saying.ABSENT, (), raw.mark, note)
    if told and isinstance(inner, Leaf) and claim.state is not State.PLANNED and claim.state is not told:
        raise NotReadableError(
            "two-states", f"{quoted(inner.text)} has a state of its own, and `state:` says {told}.",
            "Keep one of the two.", inner,
        )  # fmt: skip
    whole = Claim(claim.value, told or claim.state, said["source"], note, claim.written, claim.mark)
    return Fact(Saying.VALUE, (whole,), raw.mark, note)


def _several(raw: Branch, key: str, saying: Saying, reader: Reader[T]) -> Fact[T]:
    """Read `claims` or `any of`; each item has to state a value."""
    listed_, all_ = raw[key], Together()
    with all_.reading(raw):
        _refuse_other_keys(raw, (key, "note"))
    note = ""
    with all_.reading(raw):
        note = _words(raw, "note")
    claims: list[Claim[T]] = []
    if isinstance(listed_, Row) and len(listed_) > 1:  # one claim alone can't disagree
        for item in listed_:
            with all_.reading(item):
                claims.append(_one_of_several(item, key, reader))
    else:
        with all_.reading(listed_):
            _refuse_too_few(key, saying)
    all_.settle()
    return Fact(saying, tuple(claims), raw.mark, note)


def _refuse_too_few(key: str, saying: Saying) -> None:
    example = "[{value: ..., source: ...}, {value: ..., source: ...}]" if saying is Saying.CLAIMS else "[..., ...]"
    raise NotReadableError("too-few-claims", f"`{key}` wants a list of two or more.", f"Write `{key}: {example}`.")


def _one_of_several(item: Raw, key: str, reader: Reader[T]) -> Claim[T]:
    fact = _fact(item, reader)
    if fact.saying is not Saying.VALUE:
        raise NotReadableError(
            "no-claim",
            f"{quoted(as_written(item))} states no value, so it has no place in `{key}`.",
            "Take it out, and say it in a `note:` beside the list.",
        )
    return fact.said[0]


def _refuse_long_form(raw: Raw, reader: Reader[T]) -> None:
    if isinstance(raw, Branch) and not (reader.branch_keys & raw.keys()):
        raise NotReadableError(
            "value-in-value",
            f"{quoted(as_written(raw))} is a long form inside a long form.",
            "Write the value alone behind `value:`, and state, source and note beside it.",
        )


def _claim(raw: Raw, reader: Reader[T]) -> Claim[T]:
    written = as_written(raw)
    if isinstance(raw, Branch):
        if reader.branch is None:
            raise NotReadableError("bad-form", f"A mapping stands where {reader.name} belongs.", "Write one value.")
        return Claim(reader.branch(raw), written=written, mark=raw.mark)
    if isinstance(raw, Row):
        if reader.row is None:
            raise NotReadableError("bad-form", f"A list stands where {reader.name} belongs.", "Write one value.")
        return Claim(reader.row(raw), written=written, mark=raw.mark)
    if reader.scalar is None:
        raise NotReadableError("bad-form", f"{quoted(raw.text)} is not {reader.name}.", f"Write {_example(reader)}.")
    text, state = _split_state(raw)
    try:
        return Claim(reader.scalar(text), state, written=text, mark=raw.mark)
    except QuantityError as error:
        _refuse_no_answer(text, reader)
        raise NotReadableError("bad-value", error.what, error.fix) from error
    except NotReadableError:
        _refuse_no_answer(text, reader)
        raise


def _refuse_no_answer(text: str, reader: Reader[T]) -> None:
    """Raise a fault of its own for words such as `none` or `?`, which could mean three things."""
    plain = " ".join(text.split()).casefold()
    if plain in _NO_ANSWER or nearest(plain, _NOTHING, closeness=_CLOSE_TO_NOTHING):
        ways = f"{reader.if_none} " if reader.if_none else ""
        raise NotReadableError(
            "no-answer",
            f"{quoted(text)} is no answer here: {reader.name} belongs here.",
            f"{ways}Write `unknown` if it has to be asked, `none found` if somebody looked and there was none, "
            "or leave it out.",
        ) from None


def _split_state(raw: Leaf) -> tuple[str, State]:
    """Take "H7 (guessed)" apart into "H7" and the state; plain text is planned, quoted text is left alone."""
    found = _BRACKET.fullmatch(raw.text)
    if found is None or raw.quoted:
        return raw.text, State.PLANNED
    value, state = found["value"], _state(found["state"])
    if not value:
        raise NotReadableError(
            "state-alone",
            f"{quoted(raw.text)} is a state without a value.",
            f"Write the value before it: `... ({state})`.",
        )
    if _BRACKET.fullmatch(value):
        raise NotReadableError(
            "two-states",
            f"{quoted(raw.text)} has two brackets.",
            "Keep one state; a text that has brackets goes in quotes.",
        )
    if " ".join(value.split()).casefold() in _NOTHING:
        raise NotReadableError(
            "two-states",
            f"{quoted(value)} has no state: there is no value that could have one.",
            f"Write `{value}` alone.",
        )
    return value, state


def _state(word: str) -> State:
    try:
        return State(word.strip().casefold())
    except ValueError:
        close = nearest(word, _STATES)
        hint = f"Did you mean `({close[0]})`? " if close else ""
        raise NotReadableError(
            "unknown-state",
            f"{quoted(word)} is not a state.",
            f"{hint}States are {listed(_STATES, 'and')}. For anything longer write "
            "`{value: ..., state: ..., source: ...}`; a text that has brackets goes in quotes.",
        ) from None


def _refuse_other_keys(raw: Branch, allowed: Sequence[str]) -> None:
    all_ = Together()
    for key in raw:
        if key not in allowed:
            with all_.reading(raw[key]):
                raise NotReadableError(
                    "unknown-key", f"`{key}` has no place beside `{allowed[0]}`.", f"Use {listed(allowed, 'and')}."
                )
    all_.settle()


def _words(raw: Branch, key: str) -> str:
    held = raw.get(key)
    if held is not None and not isinstance(held, Leaf):
        raise NotReadableError("bad-form", f"`{key}` wants one text.", f"Write `{key}: ...` on one line.", held)
    return held.text if held is not None else ""


def _example(reader: Reader[T]) -> str:
    examples = reader.schema.get("examples", ())
    return listed([f"`{_typed(example)}`" for example in examples]) or reader.name


def _typed(example: object) -> str:
    return f"[{', '.join(map(str, example))}]" if isinstance(example, list) else str(example)
