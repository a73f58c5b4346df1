"""Things that people answer by looking: yes is fine, no is a fault, silence is a question."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from loomwright.model.fact import Fact
from loomwright.rulebook.check import Check
from loomwright.rulebook.lookup import is_a, told_as
from loomwright.rulebook.parameters import Word, word
from loomwright.rulebook.telling import at_device, fault_or_question, guessed, question

if TYPE_CHECKING:
    from loomwright.findings import Finding
    from loomwright.model.device import Device
    from loomwright.model.rules import Rule
    from loomwright.plan.result import Plan


def _answered_yes(plan: Plan, rule: Rule) -> Iterator[Finding]:
    about = word(rule, "about")
    code = f"{word(rule, 'of').replace('/', '-')}-{about.replace(' ', '-')}"
    for device in plan.robot:
        if not is_a(device.part, word(rule, "of")) or (word(rule, "with") == "jumper" and device.part.jumper is None):
            continue
        answer = device.checks.get(about, Fact())
        if answer.value is True and not guessed(answer):
            continue
        yield _no(rule, code, device, answer) if answer.value is False else _open(rule, code, device, answer)


def _no(rule: Rule, code: str, device: Device, answer: Fact[bool]) -> Finding:
    about = word(rule, "about")
    return fault_or_question(
        rule,
        code,
        at_device(device, about, answer),
        f"The file says `{about}: no` of {told_as(device)}. {rule.sentence}",
        f"{word(rule, 'to do')} Then write `{about}: yes`.",
        doubtful=guessed(answer),
    )


def _open(rule: Rule, code: str, device: Device, answer: Fact[bool]) -> Finding:
    about = word(rule, "about")
    return question(
        rule,
        code,
        at_device(device, about, answer),
        f"{word(rule, 'ask')} {_why_open(answer, told_as(device))}",
        f"Look at it, and write `{about}: yes` or `{about}: no`.",
    )


def _why_open(answer: Fact[bool], name: str) -> str:
    if guessed(answer):
        return "The answer in the file is a guess."
    if answer.said:
        return "The file has answers that disagree."
    return f"The file does not say it of {name}."


CHECKS = (
    Check(
        "answered yes",
        "Whether something that people have to look at is so. No answer is a question, not a fault.",
        _answered_yes,
        {"of": Word(), "about": Word(), "ask": Word(), "to do": Word()},
        {"with": Word(("jumper",))},
    ),
)
