"""What is sent to the API and what it answers, but for the bench itself (`bench_forms`)."""

from __future__ import annotations

import unicodedata
from typing import Annotated, Any, Final, Literal

from pydantic import AfterValidator, BaseModel, ConfigDict, Field, WithJsonSchema

from loomwright.jobs.bench import MOST_AT_ONCE
from loomwright.records.event import Kind, Role
from loomwright.records.people import misnamed
from loomwright.records.reading import LONGEST, MOST_AS_PLANNED, MOST_CONDITIONS, MOST_NAMED

_KEY: Final = "^[0-9a-f]{32}$"
_UNSEEN: Final = ("Cc", "Cs", "Co", "Cn", "Zl", "Zp")

_TEXTS: Final = {
    "build": "the build, empty for the robot as it is",
    "wire": "a wire's id, as W12",
    "end": "A or B",
    "about": "what else it is about: a row of the Wake-up list, a look, a slot, how a sample ended, a battery",
    "tool": "the tool it was done with",
    "revision": "the plan's revision that the sender saw",
    "unit": "the unit of `value`: ohm, V, N, h or C",
    "words": "what is to say; `open` for a reading without end of ohms",
}

#: An event as it is sent. Each event of a batch is judged for itself, so that one that can't be taken keeps no other
#: one out; this is what they are held to, told to programs.
EVENT_SCHEMA: Final[dict[str, Any]] = {
    "type": "object",
    "title": "Event",
    "description": "One thing that somebody did or saw. Fields that do not apply are left out.",
    "required": ["key", "kind", "who", "measured_at"],
    "properties": {
        "key": {"type": "string", "pattern": _KEY, "description": "made by the sender, new for each event"},
        "kind": {"type": "string", "enum": [str(kind) for kind in Kind]},
        "who": {"type": "string", "maxLength": LONGEST["who"], "description": "initials or a nickname"},
        "measured_at": {"type": "string", "description": "the sender's clock in UTC, as 2026-02-07T09:30:00Z"},
        **{
            name: {"type": "string", "maxLength": LONGEST[name], "description": words} for name, words in _TEXTS.items()
        },
        "value": {"type": ["number", "null"], "description": "in `unit`; of a set of samples, how many"},
        "as_planned": {
            "type": "object",
            "maxProperties": MOST_AS_PLANNED,
            "additionalProperties": {"type": "string", "maxLength": LONGEST["about"]},
            "description": "as `as_planned` of the end in /api/v1/bench",
        },
        "of": {
            "type": "array",
            "maxItems": MOST_NAMED,
            "items": {"type": "string", "pattern": _KEY},
            "description": "keys of the events that it judges, replaces or takes back: `of` in /api/v1/bench",
        },
        "conditions": {
            "type": "object",
            "maxProperties": MOST_CONDITIONS,
            "additionalProperties": {"type": "number"},
            "description": "of a reading of the rack: numbers with their units in their names, as `low_a`",
        },
    },
}


def _printable(text: str) -> str:
    text = unicodedata.normalize("NFC", text).strip()
    if not text or len(text) > LONGEST["who"] or any(unicodedata.category(sign) in _UNSEEN for sign in text):
        raise ValueError(f"initials or a nickname, 1 to {LONGEST['who']} characters that can be printed")
    if why := misnamed(text):
        raise ValueError(why)
    return text


class _Asked(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True, strict=True)


class _Told(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)


class JoinAsked(_Asked):
    """A code and who it is."""

    code: Annotated[str, Field(min_length=1, max_length=60, description="as the laptop shows it; spaces do not count")]
    who: Annotated[
        str,
        Field(min_length=1, max_length=60, description="initials or a nickname"),
        AfterValidator(_printable),
    ]


class SeatTold(_Told):
    """What somebody is let in as."""

    role: Role
    who: str


class EventsAsked(_Asked):
    """Events in the order in which they happened."""

    events: Annotated[list[Annotated[Any, WithJsonSchema(EVENT_SCHEMA)]], Field(max_length=MOST_AT_ONCE)]


class AnswerTold(_Told):
    """What became of one event; `why` are sentences."""

    key: str
    outcome: Literal["added", "known", "refused"]
    why: list[str]


class EventsTold(_Told):
    """The answers in the order of the events; what is added is on the laptop's disk."""

    answers: list[AnswerTold]
    arrival: int


class RecordTold(_Told):
    """An event as a laptop wrote it down; the same keys as in an export, and its hash."""

    origin: str
    sequence: int
    before: str
    received_at: str
    role: Role
    key: str
    kind: Kind
    who: str
    measured_at: str
    hash: str
    build: str = ""
    wire: str = ""
    end: str = ""
    about: str = ""
    tool: str = ""
    revision: str = ""
    value: float | None = None
    unit: str = ""
    words: str = ""
    as_planned: dict[str, str] = {}
    of: list[str] = []
    conditions: dict[str, float] = {}


class RecordsTold(_Told):
    """Records in the order of their arrival. Ask again after `arrival` while `more`."""

    records: list[RecordTold]
    arrival: int
    more: bool


class RefusalTold(_Told):
    """Why something is not done: a word for programs, what is so, and how to put it right."""

    code: str
    what: str
    fix: str
