"""What a machine rests on and what has to be asked, gathered while it is made."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from loomwright.findings import Finding, Place, Severity, by_weight
from loomwright.wording import listed

if TYPE_CHECKING:
    from loomwright.model.mark import Mark


@dataclass(slots=True)
class Notes:
    """A pad: assumptions with the things that each one is made for, and questions."""

    _assumed: dict[str, dict[str, None]] = field(default_factory=dict)
    _asked: list[Finding] = field(default_factory=list)

    def assume(self, sentence: str, thing: str = "") -> None:
        """Note that the machine rests on this; things that share a sentence are told together."""
        things = self._assumed.setdefault(sentence, {})
        if thing:
            things[thing] = None

    def ask(self, code: str, mark: Mark | None, path: str, what: str, fix: str) -> None:
        """Note a question (severity should) at a place of the robot file."""
        place = Place(mark.file, mark.line, mark.column, path) if mark else Place(thing=path)
        self._asked.append(Finding(code, Severity.SHOULD, place, what, fix, asks=True))

    @property
    def rests_on(self) -> tuple[str, ...]:
        """The assumptions in the order they were made: "no ramp is said, 100 ms is taken: arm and lift"."""
        return tuple(
            f"{sentence}: {listed(list(things), 'and')}" if things else sentence
            for sentence, things in self._assumed.items()
        )

    @property
    def findings(self) -> tuple[Finding, ...]:
        """The questions, by weight and place."""
        return by_weight(self._asked)
