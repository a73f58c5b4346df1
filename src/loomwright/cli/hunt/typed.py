"""What to type, word for word, so that a next command needs no thought: this folder, this build, this answer."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from loomwright.cli.console import program
from loomwright.cli.hunt.answers import DANGERS, SAID
from loomwright.hunting.robot.practice import check_kinds, halt_lengths

if TYPE_CHECKING:
    from pathlib import Path

    from loomwright.hunting.robot.shown import Scale, Shown

_PLAIN: Final = re.compile(r"[\w./:+-]+")
_RISKY: Final = re.compile(r'["$`\\!]')
_BURNT: Final = next(option for option, words in DANGERS.items() if words == "burnt smell")


@dataclass(frozen=True, slots=True)
class Typed:
    """Writes commands for one folder and build."""

    folder: Path
    build: str

    def command(self, *words: str) -> str:
        """Return a command of the hunt as a person types it."""
        where = ["-C", quote(str(self.folder))] if str(self.folder) != "." else []
        build = ["--build", quote(self.build)] if self.build else []
        return " ".join([program(), "hunt", *words, *where, *build])

    def other(self, name: str, *words: str) -> str:
        """Return another command for the same folder and build."""
        where = [quote(str(self.folder))] if str(self.folder) != "." else []
        build = ["--build", quote(self.build)] if self.build else []
        return " ".join([program(), name, *where, *words, *build])

    def answer(self, shown: Shown, outcome: str) -> str:
        """Return the command that tells one outcome of a check."""
        return self.command(answer_words(shown, outcome))

    def reading(self, shown: Shown, scale: Scale) -> str:
        """Return the command that tells a meter's number, with the one that a healthy robot shows."""
        return self.command("--read", quote(f"{shown.key}={_number(scale)}"))


def answer_words(shown: Shown, outcome: str) -> str:
    """Return the option that tells one outcome of a check, by the shortest way."""
    name = quote(shown.about)
    if shown.kind == "halt":
        return f"--halt {next((f'{one.example_s:g}s' for one in halt_lengths() if one.outcome == outcome), 'none')}"
    if shown.kind == "brown-out":
        return "--brown-out" if outcome == "yes" else "--no-brown-out"
    if shown.kind.startswith("since ") and outcome == "yes":
        return f"--since {shown.kind.removeprefix('since ')}"
    if shown.kind == "smell" and outcome != check_kinds()["smell"].outcomes[0]:
        return f"--{_BURNT} {name}"
    for one in SAID:
        if (one.kind, one.outcome) == (shown.kind, outcome):
            return f"--{one.option} {name}"
    return f"--saw {quote(f'{shown.key}={outcome}')}"


def quote(text: str) -> str:
    """Put quotes around words that a shell would take apart; double ones, which every shell knows."""
    if _PLAIN.fullmatch(text):
        return text
    return f"'{text}'" if _RISKY.search(text) and "'" not in text else f'"{text}"'


def _number(scale: Scale) -> str:
    healthy = scale.healthy
    if healthy == float("inf"):
        return "open"
    return f"{healthy or 0.05:.3g}{scale.unit}" if healthy < 1000 else f"{healthy / 1000:.3g}k{scale.unit}"  # noqa: PLR2004
