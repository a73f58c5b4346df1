"""What every form of the robot file shares: keys with spaces, faults collected, places kept."""

from __future__ import annotations

from typing import Any, ClassVar

from pydantic import BaseModel, ConfigDict, Field, ValidationInfo, model_validator
from pydantic.json_schema import SkipJsonSchema

from loomwright.robotfile import readers as r
from loomwright.robotfile.facts import NotReadableError
from loomwright.robotfile.leaves import Branch, Faults, Leaf, Row
from loomwright.units import QuantityError
from loomwright.wording import listed, nearest, quoted


class Form(BaseModel):
    """A mapping of the file: keys are the field names with spaces; unknown keys are faults."""

    model_config = ConfigDict(
        alias_generator=lambda name: name.strip("_").replace("_", " "),
        arbitrary_types_allowed=True,
        extra="forbid",
        frozen=True,
        populate_by_name=True,
    )
    meaning: ClassVar[str] = "this"
    branch: SkipJsonSchema[Any] = Field(default=None, alias="\0branch", exclude=True)

    @model_validator(mode="before")
    @classmethod
    def _look_at_keys(cls, raw: object, info: ValidationInfo) -> object:
        """Note keys that have no place here, and go on with the others."""
        faults: Faults = info.context["faults"]  # type: ignore[index]
        if not isinstance(raw, Branch):
            if isinstance(raw, (Leaf, Row)):
                faults.add("bad-form", raw, *cls.instead(raw))
                return {"\0branch": Branch((), mark=raw.mark, path=raw.path, key_marks={})}
            return {}
        allowed = cls.keys()
        for key in raw:
            if key not in allowed:
                close = nearest(key, allowed)
                hint = f"Did you mean {listed([f'`{word}`' for word in close])}? " if close else ""
                faults.add(
                    "unknown-key",
                    raw[key],
                    f"{quoted(key)} is not something that {cls.meaning} has.",
                    f"{hint}It has {listed(allowed, 'and')}.",
                    mark=raw.key_marks[key],
                )
        return {key: value for key, value in raw.items() if key in allowed} | {"\0branch": raw}

    @classmethod
    def instead(cls, raw: Leaf | Row) -> tuple[str, str]:
        """Say what is wrong with a word or a list in the place of this form, and what to write."""
        stands = "a list" if isinstance(raw, Row) else quoted(raw.text)
        what = f"{cls.meaning.capitalize()} is written as keys and values, and here stands {stands}."
        return what, f"Write for example `{{{next(iter(cls.keys()))}: ...}}`."

    @classmethod
    def keys(cls) -> list[str]:
        """Return the keys that may be written, in the order of the form."""
        return [f.alias or name for name, f in cls.model_fields.items() if name != "branch"]


def text_of(raw: object, info: ValidationInfo) -> object:
    """Read one free text; anything else is noted as a fault and comes back empty."""
    if isinstance(raw, Leaf):
        return raw.text
    if isinstance(raw, (Branch, Row)):
        info.context["faults"].add("bad-form", raw, "Text belongs here.", "Write one text.")  # type: ignore[index]
        return ""
    return raw


def id_list_of(raw: object, info: ValidationInfo) -> object:
    """Read a list of ids, or one id alone; faults are noted."""
    faults: Faults = info.context["faults"]  # type: ignore[index]
    if isinstance(raw, Leaf):
        return (raw.text,)
    if isinstance(raw, Row):
        try:
            return r.ids_of(raw)
        except (QuantityError, NotReadableError) as error:
            spot = getattr(error, "spot", None) or raw
            faults.add("bad-form", spot, error.what, error.fix)
            return ()
    if isinstance(raw, Branch):
        faults.add("bad-form", raw, "A list of ids belongs here.", "Write `[one id, another id]`.")
        return ()
    return raw


def line_of(raw: object, info: ValidationInfo) -> object:
    """Read a list of places on the plate [m]; faults are noted."""
    if not isinstance(raw, (Leaf, Row, Branch)):
        return raw
    try:
        return r.points_of(raw)
    except NotReadableError as error:
        info.context["faults"].add(error.code, error.spot or raw, error.what, error.fix)  # type: ignore[index]
        return ()


def list_as(key: str, raw: object) -> object:
    """Let a plain list stand for a mapping with one key."""
    if not isinstance(raw, Row):
        return raw
    return Branch([(key, raw)], mark=raw.mark, path=raw.path, key_marks={key: raw.mark})
