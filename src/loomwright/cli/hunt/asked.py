"""What somebody typed after `loomwright hunt`, and which of it can't go together."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from loomwright.cli.hunt.answers import Said

#: So long may a name be in the records [characters].
_WHO = 24


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """Everything that was typed. `who` is "" where nobody said it; `ends` are the words of a hunt's end, or "".

    `read`, `saw` are pairs of a check and its answer; `dangers` of a danger in the words of records and a place.
    """

    folder: Path
    build: str
    who: str
    said: tuple[tuple[Said, str], ...]
    saw: tuple[tuple[str, str], ...]
    read: tuple[tuple[str, str], ...]
    halt: str
    brown_out: bool | None
    since: tuple[str, ...]
    dangers: tuple[tuple[str, str], ...]
    cleared: bool
    mended: tuple[str, ...]
    wrong: tuple[str, ...]
    ends: str
    new: str | None

    @property
    def signer(self) -> str:
        """Who is written down."""
        return self.who[:_WHO] or "laptop"

    @property
    def observes(self) -> bool:
        """Whether anything was seen, read or told of the match."""
        told = (self.said, self.saw, self.read, self.halt, self.since)
        return any(told) or self.brown_out is not None

    @property
    def tells(self) -> bool:
        """Whether there is anything to write down besides dangers and what a mentor cleared."""
        return self.observes or bool(self.mended or self.ends) or self.new is not None

    def refuse_beside_weak_points(self) -> None:
        """Raise a UsageError for anything that was told."""
        if self.tells or self.dangers or self.cleared:
            raise click.UsageError("--weak-points tells of the plan alone. Say what was seen without it.")

    def refuse_odd(self) -> None:
        """Raise a UsageError for what can't go together."""
        if len(self.who) > _WHO:
            raise click.UsageError(f"--who takes initials or a nickname of up to {_WHO} characters.")
        if self.cleared and (self.dangers or self.tells or self.wrong):
            raise click.UsageError("--cleared stands by itself, with --who. Tell everything else after it.")
        if self.cleared and not self.who:
            raise click.UsageError("Say which mentor has looked: --cleared --who NAME.")
        if self.new is not None and (self.mended or self.wrong):
            raise click.UsageError("--new begins another hunt. Tell --mended and --wrong of the old one before it.")
        if self.wrong and not self.observes:
            raise click.UsageError(
                "Give the right answer together with --wrong, by --saw, --read or an option like --lit."
            )


def pair(text: str, option: str, example: str) -> tuple[str, str]:
    """Return the two sides of CHECK=ANSWER."""
    check, sign, answer = text.partition("=")
    if not sign or not check.strip() or not answer.strip():
        raise click.UsageError(f'{option} "{text}" can\'t be read. Write it as {option} "{example}".')
    return " ".join(check.split()), " ".join(answer.split())


def only_dangers(folder: Path, build: str, who: str, dangers: tuple[tuple[str, str], ...]) -> Asked:
    """Return dangers as all that was asked."""
    return Asked(
        folder=folder,
        build=build,
        who=who,
        said=(),
        saw=(),
        read=(),
        halt="",
        brown_out=None,
        since=(),
        dangers=dangers,
        cleared=False,
        mended=(),
        wrong=(),
        ends="",
        new=None,
    )
