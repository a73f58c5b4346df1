"""Lines for a terminal: broken between words under their own column, coloured where a person reads."""

from __future__ import annotations

import shutil
import textwrap
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final, TextIO

from loomwright.cli.console import coloured

_NARROWEST: Final = 40
STOP: Final = "bold white on red"
LOUD: Final = "bold yellow"
HEAD: Final = "bold"
TYPE: Final = "cyan"
GOOD: Final = "bold green"
FAINT: Final = "dim"


@dataclass(frozen=True, slots=True)
class Line:
    """One line: its text, its style, and the column at which it goes on where it is broken.

    The style is that of the signs from `plain` on up to `styled`, to the end where that is None. A line that is
    `whole` is never broken: somebody copies it.
    """

    text: str
    style: str = ""
    hang: int = 0
    plain: int = 0
    styled: int | None = None
    whole: bool = False


def print_lines(lines: Iterable[Line], out: TextIO) -> None:
    """Write lines; a pipe gets them unbroken and plain."""
    for line in lines:
        words = _broken(line, out)
        if coloured(out) and line.style:
            _print_rich(words, line, out)
        else:
            out.write(f"{words}\n")


def _broken(line: Line, out: TextIO) -> str:
    if line.whole or not out.isatty():
        return line.text
    width = max(_NARROWEST, shutil.get_terminal_size().columns)
    indent = " " * (line.hang or len(line.text) - len(line.text.lstrip()))
    return textwrap.fill(line.text, width, subsequent_indent=indent, break_long_words=False, break_on_hyphens=False)


def _print_rich(words: str, line: Line, out: TextIO) -> None:
    from rich.console import Console  # noqa: PLC0415  heavy: only loaded when something is coloured
    from rich.text import Text  # noqa: PLC0415

    text = Text(words)
    text.stylize(line.style, line.plain, len(words) if line.styled is None else line.styled)
    # The lines are broken between words already; rich must not break them once more.
    Console(file=out, highlight=False).print(text, soft_wrap=True)
