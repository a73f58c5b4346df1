"""Where YAML gave up in a file, and the text around that place."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

import yaml

if TYPE_CHECKING:
    from loomwright.findings import Finding
    from loomwright.robotfile.marked.source_text import SourceText

COMMENT = re.compile(r"(?:^|(?<=\s))#.*")


@dataclass(frozen=True, slots=True)
class Trouble:
    """Where YAML gave up (`at`), in the middle of what (`since`), and its own words for it."""

    source: SourceText
    at: int
    since: int
    problem: str
    context: str

    @property
    def char(self) -> str:
        """The character that YAML stumbled over, empty at the end of the file."""
        return self.source.text[self.at : self.at + 1]

    @property
    def line(self) -> str:
        """The whole line of the trouble."""
        return self.source.line_of(self.at)

    @property
    def before(self) -> str:
        """The part of the line in front of the trouble."""
        return self.source.text[self.source.line_start(self.at) : self.at]

    @property
    def rest(self) -> str:
        """The part of the line from the trouble on, without a comment."""
        return COMMENT.sub("", self.source.text[self.at : self.source.rest_end(self.at)]).strip()

    @property
    def previous(self) -> str:
        """The last character that is no space in front of the trouble."""
        return self.source.text[: self.at].rstrip()[-1:]

    def fault(self, code: str, what: str, fix: str, *, at: int | None = None) -> Finding:
        """Make a fault at the trouble, or at another character."""
        return self.source.fault(code, self.at if at is None else at, what, fix)


def trouble_of(error: yaml.YAMLError, source: SourceText) -> Trouble:
    """Find the place that an error of the YAML library speaks of."""
    if not isinstance(error, yaml.MarkedYAMLError):
        return Trouble(source, 0, 0, str(error), "")
    marks = [mark.index for mark in (error.problem_mark, error.context_mark) if mark is not None]
    at = min(marks[0], len(source.text)) if marks else 0
    since = min(marks[-1], len(source.text)) if marks else 0
    return Trouble(source, at, since, error.problem or "", error.context or "")


def indent_of(line: str) -> int:
    """Count the spaces a line starts with."""
    return len(line) - len(line.lstrip())


def in_quotes(value: str) -> str:
    """Write a value in the kind of quotes that fit it."""
    return f"'{value}'" if '"' in value or "\\" in value else f'"{value}"'
