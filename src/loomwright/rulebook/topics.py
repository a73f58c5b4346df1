"""Every fact that a robot file may state of a thing, by the word that people use for it."""

from __future__ import annotations

import csv
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache
from importlib.resources import files
from operator import attrgetter
from typing import TYPE_CHECKING, Any

from loomwright.model.device import Limit
from loomwright.rulebook.lookup import told_as
from loomwright.rulebook.telling import lasting
from loomwright.units import Dimension, show

if TYPE_CHECKING:
    from loomwright.model.device import Device
    from loomwright.model.fact import Claim, Fact
    from loomwright.model.mark import Mark
    from loomwright.model.robot import Robot


@dataclass(frozen=True, slots=True)
class Topic:
    """One kind of fact: its attribute, its word, its key in the file, how it is shown, how to find out.

    `asked_of` says of which devices such a fact is missed where a file leaves nothing to decide: "slot"
    (fed from a slot), "drive" (drives a motor), "bus" (on a data bus), "anything"; empty for none.
    """

    fact: str
    topic: str
    key: str
    dimension: Dimension | None
    asked_of: str
    fix: str


@dataclass(frozen=True, slots=True)
class Stated:
    """One fact of one thing: the id that the file uses, its path, and what is said."""

    topic: Topic
    name: str
    path: str
    mark: Mark | None
    fact: Fact[Any]


@lru_cache(maxsize=1)
def topics() -> tuple[Topic, ...]:
    """Return the table of topics, in the order in which people are asked."""
    text = (files("loomwright") / "data" / "rules" / "topics.csv").read_text(encoding="utf-8")
    return tuple(
        Topic(
            row["fact"],
            row["topic"],
            row["key"],
            Dimension(row["dimension"]) if row["dimension"] else None,
            row["asked_of"],
            row["fix"],
        )
        for row in csv.DictReader(text.splitlines())
    )


def stated(robot: Robot) -> Iterator[Stated]:
    """Give every fact that stands in the file, each once: a motor and its controller share some."""
    seen: set[tuple[str, Mark | None]] = set()
    for topic in topics():
        for device in robot:
            for name, fact, key in _facts(device, topic):
                spot = (topic.topic, fact.mark)
                if fact.open_to_decide or (fact.mark is not None and spot in seen):
                    continue
                seen.add(spot)
                yield Stated(topic, name, f"{device.path}.{key}", fact.mark or device.mark, fact)


def _facts(device: Device, topic: Topic) -> Iterator[tuple[str, Fact[Any], str]]:
    """Give the facts of one topic with the words that name the thing: a device, or a slot of a device."""
    held = attrgetter(topic.fact)(device)
    if not isinstance(held, Mapping):
        yield told_as(device), held, key_of(device, topic)
        return
    for key, fact in held.items():
        yield f"{told_as(device)} ({key})", fact, f"{topic.key}.{key}" if topic.key else key


def key_of(device: Device, topic: Topic) -> str:
    """Return the key under which the file holds this fact; a motor's and the battery path's have names of their own."""
    if topic.key == "part" and device.mechanism:
        return device.kind
    lead = {"wire": "leads", "length": "lead length"} if device.kind in ("battery", "breaker") else {}
    motor = {"wire": "motor wire", "length": "motor length"} if device.driven_by else {}
    return {**lead, **motor}.get(topic.key, topic.key)


def fact_of(device: Device, topic: Topic) -> Fact[Any] | None:
    """Return a device's fact of a topic, None where the topic has many."""
    held = attrgetter(topic.fact)(device)
    return None if isinstance(held, Mapping) else held


def in_words(claim: Claim[Any], dimension: Dimension | None) -> str:
    """Write one claim with its state and source: "0.5 s (notebook)", "hold 35 A, peak 60 A for 0.3 s (guessed)"."""
    doubt = [word for word in (str(claim.state) if claim.state != "planned" else "", claim.source) if word]
    as_typed = claim.written if not isinstance(claim.value, (tuple, Limit)) or dimension is Dimension.TIME else ""
    told = as_typed or _value(claim.value, dimension)
    return f"{told} ({', '.join(doubt)})" if doubt else told


def _value(value: object, dimension: Dimension | None) -> str:
    if isinstance(value, Limit):
        return _limit(value)
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float) and dimension is not None:
        return show(value, dimension)
    if isinstance(value, tuple):
        return "[" + ", ".join(_value(item, dimension) for item in value) + "]"
    return str(value)


def _limit(limit: Limit) -> str:
    hold = show(limit.hold_a, Dimension.CURRENT)
    if limit.peak_a is None:
        return hold
    lasts = f" for {lasting(limit.peak_s)}" if limit.peak_s is not None else ""
    return f"hold {hold}, peak {show(limit.peak_a, Dimension.CURRENT)}{lasts}"
