"""Read one fact in any of the ways that people state it: plain, doubtful, disputed, open, unknown."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Generic, TypeVar

from pydantic import GetCoreSchemaHandler, GetJsonSchemaHandler, ValidationInfo
from pydantic_core import CoreSchema, core_schema

from loomwright.model.fact import Claim, Fact, Saying, State
from loomwright.robotfile.leaves import Branch, Faults, Leaf, Row
from loomwright.units import QuantityError
from loomwright.wording import listed, nearest, quoted

if TYPE_CHECKING:
    from collections.abc import Callable

    from pydantic.json_schema import JsonSchemaValue

    from loomwright.robotfile.leaves import Raw

T = TypeVar("T")
_WITH_STATE = re.compile(r"(?P<value>.*\S)\s*\((?P<state>[^()]*)\)", re.DOTALL)
_BARE_STATE = re.compile(r"\((?P<state>[^()]*)\)")
_LONG_KEYS = ("value", "state", "source", "note")
_STATES = [str(state) for state in State]
_NOTHING = {"unknown": Saying.UNKNOWN, "none found": Saying.NONE_FOUND}


class NotReadableError(ValueError):
    """One value that can't be understood: a code, what is wrong, how to fix it, and where if not at its head."""

    def __init__(self, code: str, what: str, fix: str, spot: Raw | None = None) -> None:
        super().__init__(what)
        self.code, self.what, self.fix, self.spot = code, what, fix, spot


@dataclass(frozen=True)
class Reader(Generic[T]):
    """How one kind of value is read, and how it looks in the JSON Schema.

    `scalar` reads raw text; `branch` and `row` read values that are written as a mapping or a list.
    Each raises QuantityError or NotReadableError.
    """

    name: str
    scalar: Callable[[str], T] | None
    schema: dict[str, Any]
    branch: Callable[[Branch], T] | None = None
    branch_keys: frozenset[str] = frozenset()
    row: Callable[[Row], T] | None = None


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
        """Describe the plain form and the long forms."""
        plain = self.reader.schema
        long = {
            "type": "object",
            "properties": {
                "value": plain,
                "state": {"enum": _STATES},
                "source": {"type": "string"},
                "note": {"type": "string"},
            },
            "required": ["value"],
            "additionalProperties": False,
        }
        either = {"type": "array", "items": {"anyOf": [plain, long]}, "minItems": 2}
        said = {
            "type": "object",
            "properties": {"claims": either, "any of": either, "note": {"type": "string"}},
            "additionalProperties": False,
            "minProperties": 1,
        }
        return {"anyOf": [plain, {"enum": list(_NOTHING)}, long, said]}


def read_fact(raw: Raw, reader: Reader[T], faults: Faults) -> Fact[T]:
    """Read a fact; what can't be understood is noted in `faults` and comes back as absent."""
    try:
        return _fact(raw, reader)
    except QuantityError as error:
        faults.add("bad-value", raw, error.what, error.fix)
    except NotReadableError as error:
        faults.add(error.code, error.spot or raw, error.what, error.fix)
    return Fact()


def _fact(raw: Raw, reader: Reader[T]) -> Fact[T]:
    if isinstance(raw, Leaf):
        nothing = _NOTHING.get(" ".join(raw.text.split()).casefold()) if not raw.quoted else None
        return Fact(nothing, (), raw.mark) if nothing else Fact(Saying.VALUE, (_claim(raw, reader),), raw.mark)
    if isinstance(raw, Branch) and not (reader.branch_keys & raw.keys()):
        return _long_fact(raw, reader)
    return Fact(Saying.VALUE, (_claim(raw, reader),), raw.mark)


def _long_fact(raw: Branch, reader: Reader[T]) -> Fact[T]:
    note = _words(raw.get("note"))
    for key, saying in (("claims", Saying.CLAIMS), ("any of", Saying.ANY_OF)):
        if key in raw:
            _refuse_other_keys(raw, (key, "note"))
            return Fact(saying, _several(raw[key], reader, key), raw.mark, note)
    if "value" not in raw:
        raise NotReadableError(
            "unknown-form",
            f"This says none of value, claims and any of, so there is no {reader.name} in it.",
            "Write the value alone, or `{value: ..., state: guessed, source: ...}`.",
        )
    _refuse_other_keys(raw, _LONG_KEYS)
    inner = _fact(raw["value"], reader)
    if not inner.said:
        return Fact(inner.saying, (), raw.mark, note)
    claim = inner.said[0]
    state = _state(raw["state"].text, raw["state"]) if isinstance(raw.get("state"), Leaf) else claim.state
    said = Claim(claim.value, state, _words(raw.get("source")), note, claim.written)
    return Fact(Saying.VALUE, (said,), raw.mark, note)


def _several(raw: Raw, reader: Reader[T], key: str) -> tuple[Claim[T], ...]:
    if not isinstance(raw, Row) or len(raw) < 2:  # noqa: PLR2004  one claim can't disagree
        raise NotReadableError(
            "too-few-claims", f"`{key}` wants a list of two or more.", f"Write `{key}: [one, other]`.", raw
        )
    facts = [_fact(item, reader) for item in raw]
    return tuple(fact.said[0] for fact in facts if fact.said)


def _claim(raw: Raw, reader: Reader[T]) -> Claim[T]:
    if isinstance(raw, Branch):
        if reader.branch is None:
            raise NotReadableError("bad-form", f"A mapping stands where {reader.name} belongs.", "Write one value.")
        return Claim(reader.branch(raw), written=raw.path)
    if isinstance(raw, Row):
        if reader.row is None:
            raise NotReadableError("bad-form", f"A list stands where {reader.name} belongs.", "Write one value.")
        return Claim(reader.row(raw), written=raw.path)
    if reader.scalar is None:
        raise NotReadableError("bad-form", f"{quoted(raw.text)} is not {reader.name}.", f"Write {_example(reader)}.")
    text, state = split_state(raw)
    return Claim(reader.scalar(text), state, written=text)


def split_state(raw: Leaf) -> tuple[str, State]:
    """Take "H7 (guessed)" apart into "H7" and the state; plain text is planned."""
    found = _WITH_STATE.fullmatch(raw.text)
    if found is None or raw.quoted:
        return raw.text, State.PLANNED
    return found["value"], _state(found["state"], raw)


def _state(word: str, spot: Raw) -> State:
    try:
        return State(word.strip().casefold())
    except ValueError:
        close = nearest(word, _STATES)
        hint = f"Did you mean `({close[0]})`? " if close else ""
        raise NotReadableError(
            "unknown-state",
            f"{quoted(word)} in brackets is not a state.",
            f"{hint}States are {listed(_STATES)}; for anything longer write `{{value: ..., state: ..., source: ...}}`.",
            spot,
        ) from None


def _refuse_other_keys(raw: Branch, allowed: tuple[str, ...]) -> None:
    for key in raw:
        if key not in allowed:
            raise NotReadableError(
                "unknown-key", f"`{key}` has no place beside `{allowed[0]}`.", f"Use {listed(list(allowed))}.", raw[key]
            )


def _words(raw: Raw | None) -> str:
    return raw.text if isinstance(raw, Leaf) else ""


def _example(reader: Reader[T]) -> str:
    examples = reader.schema.get("examples", ())
    return listed([f"`{example}`" for example in examples]) or reader.name
