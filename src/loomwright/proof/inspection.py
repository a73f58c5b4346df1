"""The inspection list: what of the rule book in force somebody can look at, where, and how it stands on paper."""

from __future__ import annotations

import csv
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from enum import StrEnum
from functools import lru_cache
from importlib.resources import files
from typing import TYPE_CHECKING, Final

from loomwright.findings import Finding
from loomwright.model.fact import Fact
from loomwright.proof.on_paper import on_paper
from loomwright.proof.whereabouts import Whereabouts, whereabouts
from loomwright.rulebook.lookup import drives, is_a, named_by, on_bus
from loomwright.rulebook.parameters import amount, amounts, word
from loomwright.wiring.result import CircuitKind
from loomwright.wording import natural

if TYPE_CHECKING:
    from loomwright.model.device import Device
    from loomwright.model.rules import Rule
    from loomwright.plan.result import Plan


class Verdict(StrEnum):
    """What the tool can say of a rule before anybody has looked at the robot."""

    MET = "met on paper"
    BROKEN = "broken"
    WAITS = "waits for an answer"
    LOOK = "to be looked at"


@dataclass(frozen=True, slots=True)
class Item:
    """One rule to look at: its id, edition and sentence, what to look at, the devices concerned and where each is.

    `findings` are what the tool found against it or has to ask; `told` says what the verdict rests on. `everywhere`
    marks a rule that speaks of the whole robot.
    """

    rule: str
    edition: str
    severity: str
    sentence: str
    look: str
    places: tuple[Whereabouts, ...]
    everywhere: bool
    verdict: Verdict
    told: str
    findings: tuple[Finding, ...]


@dataclass(frozen=True, slots=True)
class SwitchedOff:
    """A rule that the book in force switches off: its id, its sentence, and the team's reason."""

    rule: str
    sentence: str
    reason: str


@dataclass(frozen=True, slots=True)
class Inspection:
    """The list with the book that it comes from, in that book's order; what it switches off stays in sight."""

    book: str
    edition: str
    based_on: str
    items: tuple[Item, ...]
    off: tuple[SwitchedOff, ...]


@dataclass(frozen=True, slots=True)
class _Row:
    judged_by: str
    things: str
    look: str


_EVERYWHERE: Final = ("everything", "frame")


def inspection(plan: Plan) -> Inspection:
    """Return every rule in force that somebody can look at on this robot.

    A rule that speaks of things that this robot has not got is left out, unless something was found.
    """
    book = plan.rules
    items = (_item(plan, rule, row) for rule in book.rules if (row := looked_at(rule)) is not None)
    off = tuple(SwitchedOff(held.rule.id, held.rule.sentence, held.reason) for held in book.off)
    return Inspection(book.name, book.dated, book.based_on, tuple(item for item in items if item is not None), off)


def looked_at(rule: Rule) -> _Row | None:
    """Return how a rule is looked at; None for one that is about code, numbers or the file."""
    row = rows()[rule.check]
    return row if row.things else None


def _item(plan: Plan, rule: Rule, row: _Row) -> Item | None:
    found = on_paper(finding for finding in plan.findings if finding.source == rule.id)
    devices = sorted(_THINGS[row.things](plan, rule), key=lambda device: (natural(device.id), device.id))
    everywhere = row.things in _EVERYWHERE
    if not devices and not found and not everywhere:
        return None
    verdict = _verdict(row, found)
    return Item(
        rule=rule.id,
        edition=rule.dated or plan.rules.dated,
        severity=str(rule.severity),
        sentence=rule.sentence,
        look=row.look or word(rule, "ask"),
        places=tuple(whereabouts(plan, device) for device in devices),
        everywhere=everywhere,
        verdict=verdict,
        told=_told(rule, row, verdict, found, devices),
        findings=found,
    )


def _verdict(row: _Row, found: tuple[Finding, ...]) -> Verdict:
    """Judge on paper; what people or a meter judge is never said to be so, whatever the file says."""
    if any(not finding.asks for finding in found):
        return Verdict.BROKEN
    if found:
        return Verdict.WAITS
    return Verdict.MET if row.judged_by == "tool" else Verdict.LOOK


def _told(rule: Rule, row: _Row, verdict: Verdict, found: tuple[Finding, ...], devices: list[Device]) -> str:
    if found:
        return " ".join(finding.what for finding in found)
    if verdict is Verdict.MET:
        return "The plan keeps it. Look whether the robot does."
    if row.judged_by == "meter":
        return "A meter decides."
    about = word(rule, "about")
    if about and all(device.checks.get(about, Fact()).value is True for device in devices):
        return f"The file says `{about}: yes`. Look again."
    return "The file names it. Look at it." if devices else "Look."


def _named(plan: Plan, rule: Rule) -> Iterator[Device]:
    return (device for device in plan.robot if named_by(rule, device))


def _asked_of(plan: Plan, rule: Rule) -> Iterator[Device]:
    """Give the devices that a yes-or-no question is about."""
    for device in plan.robot:
        if is_a(device.part, word(rule, "of")) and (word(rule, "with") != "jumper" or device.part.jumper is not None):
            yield device


def _breakers(plan: Plan, rule: Rule) -> Iterator[Device]:
    return (device for device in plan.robot if is_a(device.part, word(rule, "breaker")))


def _blocks(plan: Plan, _rule: Rule) -> tuple[Device, ...]:
    return plan.robot.of_kind("block")


def _kept(plan: Plan, _rule: Rule) -> Iterator[Device]:
    return (device for device in plan.robot if device.reserved)


def _labelled(plan: Plan, _rule: Rule) -> Iterator[Device]:
    return (device for device in plan.robot if device.labels)


def _limited(plan: Plan, rule: Rule) -> Iterator[Device]:
    return (device for device in plan.robot if any(is_a(device.part, kind) for kind in amounts(rule, "of")))


def _fed_blocks(plan: Plan, _rule: Rule) -> Iterator[Device]:
    fed = {circuit.circuit.load for circuit in plan.circuits if circuit.circuit.kind is CircuitKind.FEEDER}
    return (device for device in plan.robot if device.id in fed)


def _battery_path(plan: Plan, _rule: Rule) -> Iterator[Device]:
    wires = [wire for wire in plan.wires if wire.kind is CircuitKind.MAIN]
    met = {end.device for wire in wires for end in (wire.a, wire.b)}
    return (device for device in plan.robot if device.id in met)


def _battery(plan: Plan, _rule: Rule) -> tuple[Device, ...]:
    return plan.robot.of_kind("battery")


def _drives(plan: Plan, _rule: Rule) -> Iterator[Device]:
    return (device for device in plan.robot if drives(device))


def _with_jumper(plan: Plan, _rule: Rule) -> Iterator[Device]:
    return (device for device in plan.robot if device.part.jumper is not None)


def _outputs(plan: Plan, _rule: Rule) -> Iterator[Device]:
    sources = {circuit.source for circuit in plan.circuits if circuit.circuit.kind is CircuitKind.OUTPUT}
    return (device for device in plan.robot if device.id in sources)


def _slow(plan: Plan, rule: Rule) -> Iterator[Device]:
    longer_s = amount(rule, "longer than")
    return (device for device in plan.robot if (device.part.number("recovery time") or 0.0) > longer_s)


def _chain_ends(plan: Plan, _rule: Rule) -> Iterator[Device]:
    """Give the devices at the ends of each chain, all of its members where the order is not known."""
    found: dict[str, Device] = {}
    for bus in plan.robot.buses:
        if bus.kind == "bus":
            names = bus.order.value[:: max(1, len(bus.order.value) - 1)] if bus.order.value else bus.members
            found |= {device.id: device for name in names if (device := on_bus(plan, name)) is not None}
    return iter(found.values())


def _nothing(_plan: Plan, _rule: Rule) -> tuple[Device, ...]:
    return ()


_THINGS: Mapping[str, Callable[[Plan, Rule], Iterator[Device] | tuple[Device, ...]]] = {
    "named": _named,
    "asked of": _asked_of,
    "kept": _kept,
    "labelled": _labelled,
    "breaker": _breakers,
    "blocks": _blocks,
    "limited": _limited,
    "sub-blocks": _fed_blocks,
    "battery path": _battery_path,
    "battery": _battery,
    "drives": _drives,
    "jumper": _with_jumper,
    "outputs": _outputs,
    "slow": _slow,
    "chains": _chain_ends,
    "everything": _nothing,
    "frame": _nothing,
}


@lru_cache(maxsize=1)
def rows() -> Mapping[str, _Row]:
    """Return how the rules of each check are looked at."""
    text = (files("loomwright") / "data" / "rules" / "inspection.csv").read_text(encoding="utf-8")
    return {
        row["check"]: _Row(row["judged_by"], row["things"], row["look"]) for row in csv.DictReader(text.splitlines())
    }
