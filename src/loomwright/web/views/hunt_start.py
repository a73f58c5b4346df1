"""What somebody can say at first of a robot that does not do as it should: groups of taps, by what people notice."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Final

from loomwright.hunting.robot.practice import halt_lengths
from loomwright.wording import natural

if TYPE_CHECKING:
    from loomwright.hunting.robot.robot_hunt import RobotHunt


@dataclass(frozen=True, slots=True)
class _Group:
    """One group: the kind of its checks, its title, and each outcome with the word on its button, the usual first."""

    kind: str
    title: str
    ask: str
    outcomes: tuple[tuple[str, str], ...]


#: Of these, first what is wrong, then the things by name.
_BY_NAME: Final = (
    _Group(
        "look",
        "A light",
        "How is the light? Then tap each device that has it so.",
        (("dark", "dark"), ("flickers", "flickers"), ("odd", "odd"), ("lit", "as always")),
    ),
    _Group(
        "seen",
        "The program's list",
        "How is it on the list of devices? Then tap each one.",
        (("missing", "missing"), ("comes and goes", "comes and goes"), ("seen", "there")),
    ),
    _Group(
        "drove",
        "A motor in the match",
        "What did it do? Then tap each motor.",
        (
            ("dead", "dead"),
            ("weak", "weak"),
            ("backward", "backward"),
            ("always", "ran always"),
            ("as ever", "as ever"),
        ),
    ),
    _Group(
        "breaker",
        "A breaker",
        "How is it? The back of a finger, no tool. Then tap each one.",
        (("warm", "warm"), ("open", "open"), ("cold", "cold, in")),
    ),
)
#: Of these one answer each.
_AT_ONCE: Final = (
    _Group(
        "halt",
        "The robot stood still",
        "For how long?",
        (
            *((one.outcome, one.words) for one in halt_lengths()),
            ("none", "it did not"),
        ),
    ),
    _Group("brown-out", "Brown-out", "Does the log, or whoever drove, say so?", (("yes", "yes"), ("no", "no"))),
)
_JUST_BEFORE: Final = (
    ("since hit", "it took a hit"),
    ("since battery", "the battery was swapped"),
    ("since work", "somebody worked on the wiring"),
)


def start_groups(robot: RobotHunt) -> list[dict[str, Any]]:
    """Return the groups of taps that this robot has, each with its outcomes and the things that it is asked of."""
    found: list[dict[str, Any]] = []
    for group in _BY_NAME:
        things = _things(robot, group.kind)
        if things:
            found.append(_told(group) | {"things": things})
    found += [_told(group) | {"check": group.kind} for group in _AT_ONCE if group.kind in robot.checks]
    before = [(check, words) for check, words in _JUST_BEFORE if check in robot.checks]
    if before:
        told = {"kind": "since", "title": "Just before", "ask": "What happened? Tap all that did.", "before": before}
        found.append({"things": [], "check": "", "outcomes": []} | told)
    return found


def _told(group: _Group) -> dict[str, Any]:
    return {
        "kind": group.kind,
        "title": group.title,
        "ask": group.ask,
        "outcomes": group.outcomes,
        "things": [],
        "check": "",
        "before": [],
    }


def _things(robot: RobotHunt, kind: str) -> list[tuple[str, str]]:
    """Return the checks of a kind with the name of what each is about, by name."""
    held = [(key, shown.about) for key, shown in robot.checks.items() if shown.kind == kind]
    return sorted(held, key=lambda one: natural(one[1]))
