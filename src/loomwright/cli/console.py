"""How results look on a terminal: colours where a person reads, plain text where a script does."""

from __future__ import annotations

import json
import os
import shutil
import sys
import textwrap
from collections.abc import Iterable
from typing import TYPE_CHECKING, Final, TextIO

from loomwright.findings import Finding, Severity, by_weight

if TYPE_CHECKING:
    from rich.text import Text  # heavy: only loaded when something is coloured

_STYLES: Final = {Severity.MUST: "bold red", Severity.SHOULD: "yellow", Severity.CONSIDER: "cyan"}
_NARROWEST: Final = 30
_COUNTED: Final = {
    Severity.MUST: "must be fixed",
    Severity.SHOULD: "should be looked at",
    Severity.CONSIDER: "to consider",
}


def coloured(stream: TextIO) -> bool:
    """Tell whether colours belong on this stream: a terminal that can show them, and no NO_COLOR set."""
    return stream.isatty() and not os.environ.get("NO_COLOR") and os.environ.get("TERM") != "dumb"


def print_findings(findings: Iterable[Finding], *, stream: TextIO | None = None) -> None:
    """Write findings, the gravest first, and a line that counts them; to stdout if no stream is named."""
    out = stream or sys.stdout
    ordered = by_weight(findings)
    for finding in ordered:
        if coloured(out):
            _print_rich(finding, out)
        else:
            out.write(f"{for_reading(finding.as_text(), out)}\n")
    out.write(f"{count_line(ordered)}\n")


def count_line(findings: Iterable[Finding]) -> str:
    """Say how many findings of each weight there are: "2 must be fixed, 1 should be looked at."."""
    weights = [finding.severity for finding in findings]
    counts = [f"{weights.count(weight)} {words}" for weight, words in _COUNTED.items() if weight in weights]
    return f"{', '.join(counts)}." if counts else "Nothing to fix."


def print_json(data: object, *, stream: TextIO | None = None) -> None:
    """Write data for a script: stable, indented, with the signs that people wrote."""
    out = stream or sys.stdout
    out.write(json.dumps(data, ensure_ascii=False, indent=2, allow_nan=False) + "\n")


def program() -> str:
    """Return what a person types to start this program: its name, or `python3 loom.py` where that started it."""
    return os.environ.get("LOOMWRIGHT_CALLED") or "loomwright"


def for_reading(text: str, stream: TextIO) -> str:
    """Break long lines between words where a person reads at a terminal; leave them whole for a pipe."""
    if not stream.isatty():
        return text
    width = max(_NARROWEST, shutil.get_terminal_size().columns)
    return "\n".join(_broken(line, width) for line in text.splitlines())


def _broken(line: str, width: int) -> str:
    indent = line[: len(line) - len(line.lstrip())]
    return textwrap.fill(line, width, subsequent_indent=f"{indent}  ", break_long_words=False, break_on_hyphens=False)


def _print_rich(finding: Finding, out: TextIO) -> None:
    from rich.console import Console  # noqa: PLC0415  heavy: only loaded when something is coloured

    # The lines are broken between words already; rich must not break them once more.
    Console(file=out).print(_rich_text(finding, out), soft_wrap=True)


def _rich_text(finding: Finding, out: TextIO) -> Text:
    """Colour the very text that a plain console gets: place dim, code and severity by weight, "Fix:" green."""
    from rich.text import Text  # noqa: PLC0415  heavy: only loaded when something is coloured

    words = for_reading(finding.as_text(), out)
    text = Text(words)
    place = len(str(finding.place))
    text.stylize("dim", 0, place)
    text.stylize(_STYLES[finding.severity], place, words.find("\n"))
    # The last "Fix:" that opens a line: the words of a finding may speak of another one.
    fix = words.rfind("\n  Fix:") + len("\n  ")
    text.stylize("green", fix, fix + len("Fix:"))
    return text
