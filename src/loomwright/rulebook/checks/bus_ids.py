"""Numbers on a data bus: one key a device, the factory number gone, doubts told."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from itertools import combinations
from typing import TYPE_CHECKING

from loomwright.rulebook.check import Check
from loomwright.rulebook.lookup import buses_of, told_as
from loomwright.rulebook.parameters import Amount, Several, Table, Word, amount, told_words, words
from loomwright.rulebook.telling import at_device, fault, guessed, names, place, question
from loomwright.units import Dimension

if TYPE_CHECKING:
    from loomwright.findings import Finding
    from loomwright.model.device import Device
    from loomwright.model.rules import Rule
    from loomwright.plan.result import Plan


def _unique(plan: Plan, rule: Rule) -> Iterator[Finding]:
    """Compare devices of one bus, one type and one number; the same number on another type is legal."""
    counts_as = told_words(rule, "counts as")
    groups: dict[tuple[str, str, int], list[Device]] = defaultdict(list)
    for device in plan.robot:
        number = device.key.number.value
        for bus in buses_of(plan, device) if number is not None else ():
            groups[bus, _type(device, counts_as), number or 0].append(device)
    for (bus, _, number), devices in groups.items():
        clashing = [pair for pair in combinations(devices, 2) if not _other_makers(*pair)]
        sure = [pair for pair in clashing if _same_maker(*pair) and not any(_unsure(plan, d) for d in pair)]
        if sure:
            yield _clash(rule, bus, number, [device for pair in sure for device in pair])
        elif clashing:
            yield _perhaps(rule, bus, number, [device for pair in clashing for device in pair])


def _type(device: Device, counts_as: dict[str, str]) -> str:
    """Return the device type of a bus key; what no table names is a type of its own part class."""
    return device.part.word("bus type") or counts_as.get(device.kind, device.part.id)


def _other_makers(one: Device, other: Device) -> bool:
    a, b = one.key.maker.value, other.key.maker.value
    return a is not None and b is not None and a.casefold() != b.casefold()


def _same_maker(one: Device, other: Device) -> bool:
    """Tell whether two devices surely are of one group of makers: both say so, or they are of one class."""
    a, b = one.key.maker, other.key.maker
    if a.value is not None and b.value is not None:
        return True
    silent = a.open_to_decide and b.open_to_decide
    return silent and one.part.id == other.part.id and not one.part.family


def _unsure(plan: Plan, device: Device) -> bool:
    swapped = {name for doubt in plan.robot.doubts for name in doubt.which}
    present = device.present.asks or guessed(device.present)
    return (
        guessed(device.key.number, device.key.bus, device.key.maker)
        or present
        or bool(swapped & {device.id, device.called})
    )


def _clash(rule: Rule, bus: str, number: int, devices: list[Device]) -> Finding:
    last = max(devices, key=lambda d: d.key.number.mark or d.mark)
    return fault(
        rule,
        "bus-id-used-twice",
        at_device(last, "id", last.key.number),
        f"{names(sorted(told_as(d) for d in devices))} share the number {number} on {bus}, with one type and maker.",
        "Give one of them another number, on the bench, with only that device connected.",
    )


def _perhaps(rule: Rule, bus: str, number: int, devices: list[Device]) -> Finding:
    last = max(devices, key=lambda d: d.key.number.mark or d.mark)
    return question(
        rule,
        "bus-id-used-twice",
        at_device(last, "id", last.key.number),
        f"{names(sorted(told_as(d) for d in devices))} may have the same number {number} on {bus}.",
        "Look at the devices. Different makers may share a number: write `maker: A` and `maker: B`; else change one.",
    )


def _factory(plan: Plan, rule: Rule) -> Iterator[Finding]:
    kinds = words(rule, "of")
    for device in plan.robot:
        number = device.key.number
        if number.value == int(amount(rule, "number")) and device.kind in kinds:
            yield fault(
                rule,
                "factory-id",
                at_device(device, "id", number),
                f"{told_as(device)} still has the number {number.value} that every new one comes with.",
                "Give it a number of its own, so that a spare can be plugged in beside it.",
            )


def _swapped(plan: Plan, rule: Rule) -> Iterator[Finding]:
    for doubt in plan.robot.doubts:
        yield question(
            rule,
            "maybe-swapped",
            place(doubt.mark, "maybe swapped"),
            f"The {doubt.what or 'facts'} of {names(doubt.which)} may be swapped.",
            "Move one of them at a time, wheels off the floor, and write down which is which.",
        )


CHECKS = (
    Check(
        "bus number unique",
        "Whether two devices of one type and maker share a number on one bus. Other types may share it.",
        _unique,
        {"counts as": Table(Word(), Word())},
    ),
    Check(
        "factory number",
        "Whether a device still has the number that it came with.",
        _factory,
        {"number": Amount(Dimension.COUNT), "of": Several(Word())},
    ),
    Check("maybe swapped", "What the file says may be swapped.", _swapped),
)
