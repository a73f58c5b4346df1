"""Facts that nobody may rely on yet: unknown, looked for in vain, guessed, disputed, left out."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from typing import TYPE_CHECKING

from loomwright.model.fact import Saying, State
from loomwright.rulebook.check import Check
from loomwright.rulebook.lookup import buses_of, drives, fed_from_slot, feeds, told_as
from loomwright.rulebook.parameters import Several, Word, words
from loomwright.rulebook.telling import at_device, names, place, question
from loomwright.rulebook.topics import fact_of, in_words, key_of, stated, topics
from loomwright.wording import listed

if TYPE_CHECKING:
    from loomwright.findings import Finding
    from loomwright.model.device import Device
    from loomwright.model.mark import Mark
    from loomwright.model.rules import Rule
    from loomwright.plan.result import Plan
    from loomwright.rulebook.topics import Stated, Topic


def _unknown(plan: Plan, rule: Rule) -> Iterator[Finding]:
    """Ask for what is unknown; lengths are asked for by sizing, which can say how far each gauge reaches."""
    for topic, facts in _by_topic(plan, Saying.UNKNOWN):
        if topic.topic in words(rule, "told elsewhere"):
            continue
        yield question(
            rule,
            "unknown",
            place(facts[0].mark, facts[0].path),
            f"The file says that the {topic.topic} is unknown for {_told(facts)}.",
            topic.fix,
        )


def _none_found(plan: Plan, rule: Rule) -> Iterator[Finding]:
    for topic, facts in _by_topic(plan, Saying.NONE_FOUND):
        yield question(
            rule,
            "none-found",
            place(facts[0].mark, facts[0].path),
            f"Somebody looked for the {topic.topic} of {_told(facts)} and found none.",
            topic.fix,
        )


def _guessed(plan: Plan, rule: Rule) -> Iterator[Finding]:
    for topic, facts in _by_topic(plan, Saying.VALUE):
        told = [f for f in facts if f.fact.state is State.GUESSED]
        if told:
            yield question(
                rule,
                "guessed",
                place(told[0].mark, told[0].path),
                f"The {topic.topic} is only guessed for {_told(told)}.",
                topic.fix,
            )


def _disputed(plan: Plan, rule: Rule) -> Iterator[Finding]:
    """Tell each disagreement by itself, since each has its own numbers; the slot's is told beside the slots."""
    for topic, facts in _by_topic(plan, Saying.CLAIMS):
        disagree: dict[Mark | None, list[Stated]] = defaultdict(list)
        for held in facts:
            if topic.topic not in words(rule, "told elsewhere") and len(set(held.fact.values)) > 1:
                disagree[held.mark].append(held)
        for same in disagree.values():
            told = listed([in_words(claim, topic.dimension) for claim in same[0].fact.said])
            yield question(
                rule,
                "claims-disagree",
                place(same[0].mark, same[0].path),
                f"The {topic.topic} of {names([held.name for held in same])} is said to be {told}.",
                topic.fix,
            )


def _by_topic(plan: Plan, saying: Saying) -> Iterator[tuple[Topic, list[Stated]]]:
    found: dict[Topic, list[Stated]] = defaultdict(list)
    for held in stated(plan.robot):
        if held.fact.saying is saying:
            found[held.topic].append(held)
    yield from found.items()


def _told(facts: list[Stated]) -> str:
    """Name the things; behind the first one, with the line where each is written."""
    once = {fact.name: fact for fact in reversed(facts)}
    first, *others = (once[name] for name in dict.fromkeys(fact.name for fact in facts))
    return names([first.name, *(f"{f.name} (line {f.mark.line})" if f.mark else f.name for f in others)])


def _left_out(plan: Plan, rule: Rule) -> Iterator[Finding]:
    """Ask for what a file with `unsaid: ask` leaves out, one question for each topic."""
    if not plan.robot.asks:
        return
    for topic in (topic for topic in topics() if topic.asked_of):
        missed = [d for d in plan.robot if _missed(plan, d, topic)]
        if missed:
            yield question(
                rule,
                "left-out",
                at_device(missed[0], key_of(missed[0], topic)),
                f"The file leaves out the {topic.topic} of {names([told_as(d) for d in missed])}.",
                topic.fix,
            )


def _missed(plan: Plan, device: Device, topic: Topic) -> bool:
    fact = fact_of(device, topic)
    if fact is None or not fact.open_to_decide:
        return False
    if topic.asked_of == "slot":
        return any(
            fed_from_slot(c) and (topic.key != "slot" or c.circuit.slot.open_to_decide) for c in feeds(plan, device.id)
        )
    if topic.asked_of == "drive":
        return drives(device) and bool(feeds(plan, device.id))
    if topic.asked_of == "bus":
        return device.kind in _NUMBERED and bool(buses_of(plan, device))
    return device.part.family


def _half_known(plan: Plan, rule: Rule) -> Iterator[Finding]:
    """Ask for the class where only the family is named; a file that asks does so with all it leaves out."""
    vague = [
        d
        for d in plan.robot
        if d.part.family and not d.part_said.asks and not (plan.robot.asks and d.part_said.open_to_decide)
    ]
    if vague:
        told = names([f"{told_as(d)} ({d.part.title or d.part.id})" for d in vague])
        yield question(
            rule,
            "half-known",
            at_device(vague[0], key_of(vague[0], _part()), vague[0].part_said),
            f"Only the family is known of {told}, so its currents and wires can't be judged.",
            "Read the type plate or the papers, and name the part class; docs/parts.md lists them.",
        )


def _part() -> Topic:
    return next(topic for topic in topics() if topic.fact == "part_said")


def _stale(plan: Plan, rule: Rule) -> Iterator[Finding]:
    for remark in plan.robot.remarks:
        if remark.topic == "stale":
            yield question(
                rule,
                "stale-remark",
                place(remark.mark, remark.topic),
                f"A remark is known to be out of date: {(remark.text or remark.subject).rstrip('.')}.",
                f"Put it right where it stands{f' ({remark.subject})' if remark.text and remark.subject else ''}, "
                "then take it out of `stale`.",
            )


def _build_differs(plan: Plan, rule: Rule) -> Iterator[Finding]:
    for remark in plan.robot.remarks:
        if remark.topic == "build differs":
            yield question(
                rule,
                "build-differs",
                place(remark.mark, f"builds.{remark.subject}.differs"),
                f"How the build {remark.subject} differs from the design is not written down ({remark.text}).",
                f"Walk along that robot with this plan, and write `change:` and `without:` under {remark.subject}.",
            )


def _switched_off(plan: Plan, rule: Rule) -> Iterator[Finding]:
    """Tell each rule that the team switched off; those of the book below are told in one line."""
    below = [off for off in plan.rules.off if off.mark is None or off.mark.file.startswith(_SHIPPED)]
    if below:
        yield question(
            rule,
            "rule-off",
            place(below[0].mark, "rules"),
            f"This robot is judged by a book that switches off {names([off.rule.id for off in below])}.",
            "Nothing to do if that book suits this robot; the inspection list of the packet has the reasons.",
        )
    for off in plan.rules.off:
        if off in below:
            continue
        yield question(
            rule,
            "rule-off",
            place(off.mark, f"rules.{off.rule.id}"),
            f"The rule {off.rule.id} is switched off: {off.reason.rstrip('.')}.",
            f"Nothing to do if that still holds. The rule says: {off.rule.sentence}",
        )


_SHIPPED = "shipped/"
_NUMBERED = ("controller", "motor", "sensor")
CHECKS = (
    Check(
        "unknown facts",
        "What the file says is unknown; one question for each topic.",
        _unknown,
        {},
        {"told elsewhere": Several(Word())},
    ),
    Check("nothing found", "What somebody looked for and did not find; one question for each topic.", _none_found),
    Check("guessed facts", "What is only guessed; one question for each topic.", _guessed),
    Check(
        "disputed facts", "What is said in two ways that disagree.", _disputed, {}, {"told elsewhere": Several(Word())}
    ),
    Check("facts left out", "What a file with `unsaid: ask` leaves out; one question for each topic.", _left_out),
    Check("half-known parts", "Parts of which only the family is known; one question for all.", _half_known),
    Check("stale remarks", "Remarks that the file says are out of date.", _stale),
    Check("builds that differ", "Builds of which nobody wrote down how they differ.", _build_differs),
    Check("rules switched off", "Rules that the team's own book switches off, with the reason.", _switched_off),
)
