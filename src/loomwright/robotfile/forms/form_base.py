"""What every form of the robot file shares: keys with spaces, faults collected, places kept."""

from __future__ import annotations

import csv
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from importlib.resources import files
from typing import Any, ClassVar

from pydantic import BaseModel, ConfigDict, Field, GetJsonSchemaHandler, ValidationInfo, model_validator
from pydantic.json_schema import JsonSchemaValue, SkipJsonSchema
from pydantic_core import CoreSchema

from loomwright.robotfile.forms import readers as r
from loomwright.robotfile.forms.areas import area_of_corners
from loomwright.robotfile.forms.leaves import Branch, Faults, Leaf, Raw, Row, as_written
from loomwright.robotfile.forms.not_readable import NotReadableError
from loomwright.robotfile.forms.places import line_of_places
from loomwright.wording import listed, nearest, quoted

_MANUAL = "docs/robot-file.md"
_SHOWN_KEYS = 8


class Form(BaseModel):
    """A mapping of the file: keys are the field names with spaces; unknown keys are faults.

    `meaning` is how messages speak of it; `first` are the keys that a message names when it can't guess
    which one was meant.
    """

    model_config = ConfigDict(
        alias_generator=lambda name: name.strip("_").replace("_", " "),
        arbitrary_types_allowed=True,
        extra="forbid",
        frozen=True,
        populate_by_name=True,
    )
    meaning: ClassVar[str] = "this"
    first: ClassVar[Sequence[str]] = ()
    branch: SkipJsonSchema[Any] = Field(default=None, alias="\0branch", exclude=True)

    @model_validator(mode="before")
    @classmethod
    def _look_at_keys(cls, raw: object, info: ValidationInfo) -> object:
        """Note keys that have no place here, and go on with the others."""
        faults = faults_of(info)
        if not isinstance(raw, Branch):
            assert isinstance(raw, (Leaf, Row))  # noqa: S101  a tree has nothing else
            faults.add("bad-form", raw, *cls.instead(raw))
            return {"\0branch": Branch((), mark=raw.mark, path=raw.path, key_marks={})}
        allowed = cls.keys()
        for key in raw:
            if key not in allowed:
                what = f"{quoted(key)} is not something that {cls.meaning} has."
                faults.add("unknown-key", raw[key], what, cls.other_key(key), mark=raw.key_marks[key])
        return {key: value for key, value in raw.items() if key in allowed} | {"\0branch": raw}

    @classmethod
    def instead(cls, raw: Leaf | Row) -> tuple[str, str]:
        """Say what is wrong with a word or a list in the place of this form, and what to write."""
        stands = "a list" if isinstance(raw, Row) else quoted(raw.text)
        what = f"{cls.meaning[:1].upper()}{cls.meaning[1:]} is written as keys and values, and here stands {stands}."
        return what, f"Write for example `{{{(cls.first or tuple(cls.keys()))[0]}: ...}}`."

    @classmethod
    def other_key(cls, key: str) -> str:
        """Say which keys could have been meant by one that has no place here."""
        allowed = cls.keys()
        meant = _slips().get(" ".join(key.split()).casefold(), [])
        close = [word for word in meant if word in allowed] or nearest(key, allowed)
        if close:
            return f"Did you mean {listed([f'`{word}`' for word in close])}? All keys are in {_MANUAL}."
        shown = cls.first or tuple(allowed)
        if len(allowed) <= _SHOWN_KEYS:
            return f"It has {listed(allowed, 'and')}."
        return f"It has {', '.join(shown[:_SHOWN_KEYS])} and more; all keys are in {_MANUAL}."

    @classmethod
    def keys(cls) -> list[str]:
        """Return the keys that may be written, in the order of the form."""
        return [field.alias or name for name, field in cls.model_fields.items() if name != "branch"]


@dataclass(frozen=True)
class OrPlain:
    """Annotation that says in the JSON Schema that a plainer form will do; with no schema, one item of the list."""

    schema: tuple[tuple[str, Any], ...] = ()

    def __get_pydantic_json_schema__(self, core: CoreSchema, handler: GetJsonSchemaHandler) -> JsonSchemaValue:
        """Describe the full form and the plain one."""
        full = handler(core)
        return {"anyOf": [full, dict(self.schema) or full["items"]]}


def faults_of(info: ValidationInfo) -> Faults:
    """Return the collector that came with this reading."""
    faults: Faults = info.context["faults"]  # type: ignore[index]
    return faults


@lru_cache(maxsize=1)
def _slips() -> dict[str, list[str]]:
    """Return the words that people write for a key, and the keys that they may mean."""
    text = files("loomwright.robotfile.forms").joinpath("key_slips.csv").read_text(encoding="utf-8")
    meant: dict[str, list[str]] = {}
    for row in csv.DictReader(text.splitlines()):
        meant.setdefault(row["written"], []).append(row["meant"])
    return meant


def text_of(raw: object, info: ValidationInfo) -> object:
    """Read one free text; anything else is noted as a fault and comes back empty."""
    if isinstance(raw, Leaf):
        return raw.text
    if isinstance(raw, (Branch, Row)):
        faults_of(info).add("bad-form", raw, "One text belongs here.", "Write one text on one line.")
        return ""
    return raw


def id_list_of(raw: object, info: ValidationInfo) -> object:
    """Read a list of ids, or one id alone; faults are noted."""
    if not isinstance(raw, (Leaf, Row, Branch)):
        return raw
    if isinstance(raw, Branch):
        faults_of(info).add("bad-form", raw, "A list of ids belongs here.", "Write `[one id, another id]`.")
        return ()
    row = raw if isinstance(raw, Row) else Row([raw], mark=raw.mark, path=raw.path)
    try:
        return r.ids_of(row)
    except NotReadableError as error:
        error.note(faults_of(info), raw)
        return ()


def links_of(raw: object, info: ValidationInfo) -> object:
    """Pass a list of links on; anything else in its place is noted as a fault."""
    if isinstance(raw, (Leaf, Branch)):
        fix = "Write `[[one id, another id], [one id, a third id]]`."
        faults_of(info).add("bad-form", raw, "A list of cables belongs here, each between two devices.", fix)
        return ()
    return raw


def line_of(raw: object, info: ValidationInfo) -> object:
    """Read the line of a trunk [m]; faults are noted."""
    return _places_of(raw, line_of_places, info)


def area_of(raw: object, info: ValidationInfo) -> object:
    """Read the corners of an area [m]; faults are noted."""
    return _places_of(raw, area_of_corners, info)


def _places_of(raw: object, read: Callable[[Raw], object], info: ValidationInfo) -> object:
    if not isinstance(raw, (Leaf, Row, Branch)):
        return raw
    try:
        return read(raw)
    except NotReadableError as error:
        error.note(faults_of(info), raw)
        return ()


def remarks_of(raw: object, info: ValidationInfo) -> object:
    """Read remarks that are kept as written: one text, a list of texts, or texts by name."""
    if isinstance(raw, Leaf):
        return (raw.text,)
    if isinstance(raw, (Row, Branch)):
        items = list(raw.values() if isinstance(raw, Branch) else raw)
        for item in items:
            text_of(item, info)
        return tuple(item.text for item in items if isinstance(item, Leaf))
    return raw


def names_of(raw: object, info: ValidationInfo) -> object:
    """Read other names of a thing: one, a list, or each with where it is used."""
    if isinstance(raw, Branch):
        remarks_of(raw, info)
        return {name: held.text for name, held in raw.items() if isinstance(held, Leaf)}
    return dict.fromkeys(remarks_of(raw, info), "") if isinstance(raw, (Leaf, Row)) else raw  # type: ignore[call-overload]


def named(example: str, raw: object, info: ValidationInfo) -> object:
    """Pass things by name on; anything else in their place is noted as a fault."""
    if isinstance(raw, (Leaf, Row)):
        stands = "a list" if isinstance(raw, Row) else quoted(raw.text)
        what = f"Names with something under each belong here, and here stands {stands}."
        faults_of(info).add("bad-form", raw, what, f"Write `{example}`.")
        return {}
    return raw


def branches(raw: object, info: ValidationInfo) -> object:
    """Pass mappings by name on as they are; a name with anything else is noted as a fault."""
    raw = named("an id: {a key: the value that differs}", raw, info)
    if not isinstance(raw, Branch):
        return raw
    for name, held in raw.items():
        if not isinstance(held, Branch):
            what = f"{quoted(name)} has {quoted(as_written(held))} here, and keys with values belong here."
            faults_of(info).add("bad-form", held, what, f"Write `{name}: {{a key: the value that differs}}`.")
    return raw


def one_or_more(raw: object) -> object:
    """Let one of a kind stand for a list of one."""
    return Row([raw], mark=raw.mark, path=raw.path) if isinstance(raw, (Leaf, Branch)) else raw


def list_as(key: str, raw: object) -> object:
    """Let a plain list stand for a mapping with one key."""
    if not isinstance(raw, Row):
        return raw
    return Branch([(key, raw)], mark=raw.mark, path=raw.path, key_marks={key: raw.mark})
