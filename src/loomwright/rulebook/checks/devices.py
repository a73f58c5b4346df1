"""What has to be on the robot, and where it has to be fed from."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from loomwright.findings import Place
from loomwright.rulebook.check import Check
from loomwright.rulebook.lookup import feeds, is_a, named_by, outlet_of, source_of, told_as
from loomwright.rulebook.parameters import Several, Word, word, words
from loomwright.rulebook.telling import at_circuit, at_device, fault, fault_or_question, guessed, question
from loomwright.wording import listed

if TYPE_CHECKING:
    from loomwright.findings import Finding
    from loomwright.model.device import Device
    from loomwright.model.part import Socket
    from loomwright.model.rules import Rule
    from loomwright.plan.result import Plan


def _required(plan: Plan, rule: Rule) -> Iterator[Finding]:
    what, where_there_is = word(rule, "what"), word(rule, "where there is")
    if where_there_is and not any(is_a(device.part, where_there_is) for device in plan.robot):
        return
    found = [device for device in plan.robot.devices if named_by(rule, device)]
    if any(not device.absent for device in found):
        yield from _doubtful_presence(rule, found)
        return
    removed = next(iter(found), None)
    where = at_device(removed, "present", removed.present) if removed else Place(file=plan.robot.file, thing="robot")
    if removed is None and plan.robot.asks:
        yield question(
            rule, "required-device", where, f"The file does not name {what}. Is there one?", word(rule, "write")
        )
        return
    says = (
        f"The file says that {told_as(removed)} is not on this robot" if removed else f"The file does not name {what}"
    )
    yield fault(rule, "required-device", where, f"{says}. {rule.sentence}", word(rule, "write"))


def _doubtful_presence(rule: Rule, found: list[Device]) -> Iterator[Finding]:
    """Ask where the only device that would do may not be there."""
    sure = [device for device in found if not device.absent and not device.present.asks and not guessed(device.present)]
    unsure = [device for device in found if not device.absent and device not in sure]
    if not sure:
        yield question(
            rule,
            "required-device",
            at_device(unsure[0], "present", unsure[0].present),
            f"Nobody knows whether {told_as(unsure[0])} is on the robot. {rule.sentence}",
            "Look for it, and write `present: yes` or `present: no`.",
        )


def _fed_by(plan: Plan, rule: Rule) -> Iterator[Finding]:
    kinds, outlets = words(rule, "by"), words(rule, "outlet")
    for device in plan.robot:
        if not named_by(rule, device):
            continue
        for circuit in feeds(plan, device.id):
            source = plan.robot.device(source_of(circuit))
            if source is None or source.part.family:
                continue
            outlet = outlet_of(plan, circuit)
            right_kind = any(is_a(source.part, kind) for kind in kinds)
            right_outlet = not outlets or outlet is None or _is_like(outlet, outlets)
            if right_kind and right_outlet:
                continue
            spot = f"slot {outlet.name} of " if outlet is not None and right_kind else ""
            yield fault_or_question(
                rule,
                "fed-from-wrong-place",
                at_circuit(circuit, from_=device.feed.source, slot=device.feed.slot, feed=device.feed.group),
                f"{told_as(device)} is fed from {spot}{told_as(source)}. {rule.sentence}",
                _right_feed(plan, kinds, outlets),
                doubtful=guessed(device.feed.source, device.feed.slot),
            )


def _is_like(outlet: Socket, told: tuple[str, ...]) -> bool:
    """Tell whether an outlet's group, its use or what protects it is one of these words."""
    return any(word in (outlet.group, outlet.use, outlet.protection.split("/", 1)[0]) for word in told)


def _right_feed(plan: Plan, kinds: tuple[str, ...], outlets: tuple[str, ...]) -> str:
    """Say what to write, by the ids of what could feed it."""
    able = [told_as(device) for device in plan.robot if any(is_a(device.part, kind) for kind in kinds)]
    outlet = f", `feed: {outlets[0]}`" if outlets else ""
    if able:
        return f"Write {listed([f'`from: {name}`' for name in able])}{outlet}."
    return f"Add what can feed it ({listed(kinds)}), and name it with `from:`{outlet}."


_WHICH = {"part": Several(Word())}
_BY_SOCKET = {"input": Word()}
_SOME_ROBOTS = {"where there is": Word()}
CHECKS = (
    Check(
        "required device",
        "Whether a device is missing that every robot needs, or every robot that has a certain other one.",
        _required,
        {**_WHICH, "what": Word(), "write": Word()},
        {**_BY_SOCKET, **_SOME_ROBOTS},
    ),
    Check(
        "fed by",
        "Whether a device is fed from where it has to be.",
        _fed_by,
        {**_WHICH, "by": Several(Word())},
        {"outlet": Several(Word()), **_BY_SOCKET},
    ),
)
