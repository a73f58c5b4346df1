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
    """One kind of fact: of what, its attribute, its word, its key in the file, how it is shown, how to find out.

    `of` is "device", "mechanism" or "house" (what holds for every wire). `asked_of` says of which devices
    such a fact is missed where a file leaves nothing to decide: "slot" (fed from a slot), "drive" (drives a
    motor), "bus" (on a data bus), "anything"; empty for none.
    """

    of: str
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
            row["of"],
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
    """Give every fact that is said of each thing, once: a motor and its controller share some."""
    seen: set[tuple[str, str, Mark | None]] = set()
    for topic in topics():
        for held in _holders(robot, topic):
            spot = (topic.topic, held.name, held.fact.mark)
            if held.fact.mark is not None and spot in seen:
                continue
            seen.add(spot)
            yield held


def _holders(robot: Robot, topic: Topic) -> Iterator[Stated]:
    """Give the facts of one topic, of every thing that may have one."""
    if topic.of == "house":
        yield from _facts(topic, robot.house, "the whole robot", "wires", topic.key, None)
    elif topic.of == "mechanism":
        for mechanism in robot.mechanisms:
            path = f"{mechanism.path}.does"
            yield from _facts(topic, mechanism, mechanism.name, path, topic.key, mechanism.mark)
    else:
        for device in robot:
            yield from _facts(topic, device, told_as(device), device.path, key_of(device, topic), device.mark)


def _facts(topic: Topic, thing: object, name: str, path: str, key: str, mark: Mark | None) -> Iterator[Stated]:
    """Give what is said of one topic and thing; each entry of a mapping (labels, settings) by its own name."""
    held = attrgetter(topic.fact)(thing)
    if not isinstance(held, Mapping):
        if not held.open_to_decide:
            yield Stated(topic, name, f"{path}.{key}", held.mark or mark, held)
        return
    for entry, fact in held.items():
        at = f"{path}.{key}.{entry}" if key else f"{path}.{entry}"
        yield Stated(topic, f"{name} ({entry})", at, fact.mark or mark, fact)


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
