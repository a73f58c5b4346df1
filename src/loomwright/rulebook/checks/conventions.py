"""Rules that a team keeps by itself, where a plan can show whether it does."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import TYPE_CHECKING

from loomwright.model.part import Role
from loomwright.rulebook.check import Check
from loomwright.rulebook.lookup import drives, fed_from_slot, feeds, source_of, told_as
from loomwright.rulebook.parameters import Several, Word, words
from loomwright.rulebook.telling import at_device, fault_or_question, guessed

if TYPE_CHECKING:
    from loomwright.findings import Finding
    from loomwright.model.device import Device
    from loomwright.model.rules import Rule
    from loomwright.plan.result import Plan

_DIGITS = re.compile(r"(\d+)$")


def _number_is_slot(plan: Plan, rule: Rule) -> Iterator[Finding]:
    """Compare numbers with pinned slots only: where the plan may still choose, nothing is broken."""
    said = [
        remark
        for remark in plan.robot.remarks
        if remark.topic == "conventions"
        and _plain(remark.subject) in map(_plain, words(rule, "subject"))
        and _plain(remark.text) in map(_plain, words(rule, "says"))
    ]
    for device in plan.robot if said else ():
        number = device.key.number
        numbers = _slot_numbers(plan, device)
        if number.value is None or not numbers or number.value in numbers:
            continue
        yield fault_or_question(
            rule,
            "convention-broken",
            at_device(device, "id", number),
            f"{told_as(device)} has the number {number.value} and is on slot {device.feed.slot.value}; "
            f"the team's convention is that the {said[0].subject} is {said[0].text}.",
            "Change the number or the slot, or write the convention as it really is.",
            doubtful=guessed(number, device.feed.slot),
        )


def _slot_numbers(plan: Plan, device: Device) -> set[int]:
    """Return what a drive's pinned slot may count as: the number in its name, or its place on the block."""
    slot, feed = device.feed.slot.value, next((c for c in feeds(plan, device.id) if fed_from_slot(c)), None)
    source = plan.robot.device(source_of(feed)) if feed else None
    if slot is None or source is None or not drives(device):
        return set()
    slots = [socket.name for socket in source.part.with_role(Role.OUTLET)]
    place = [slots.index(slot), slots.index(slot) + 1] if slot in slots else []
    digits = _DIGITS.search(slot)
    return {*place, *([int(digits[1])] if digits else [])}


def _plain(text: str) -> str:
    return " ".join(text.casefold().split()).rstrip(".")


CHECKS = (
    Check(
        "number is slot",
        "Whether numbers on the bus follow the slots, where the team says that they do.",
        _number_is_slot,
        {"subject": Several(Word()), "says": Several(Word())},
    ),
)
