"""How results look on a terminal: colours where a person reads, plain text where a script does."""

from __future__ import annotations

import json
import os
import sys
from collections.abc import Iterable
from typing import TYPE_CHECKING, Final, TextIO

from loomwright.findings import Finding, Severity, by_weight

if TYPE_CHECKING:
    from rich.text import Text  # heavy: only loaded when something is coloured

_STYLES: Final = {Severity.MUST: "bold red", Severity.SHOULD: "yellow", Severity.CONSIDER: "cyan"}
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
            out.write(f"{finding.as_text()}\n")
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


def _print_rich(finding: Finding, out: TextIO) -> None:
    from rich.console import Console  # noqa: PLC0415  heavy: only loaded when something is coloured

    # Soft wrap: the terminal breaks long lines itself, so that a copied line is the line that was written.
    Console(file=out).print(_rich_text(finding), soft_wrap=True)


def _rich_text(finding: Finding) -> Text:
    """Colour the very text that a plain console gets: place dim, code and severity by weight, "Fix:" green."""
    from rich.text import Text  # noqa: PLC0415  heavy: only loaded when something is coloured

    text = Text(finding.as_text())
    heading = f"[{finding.code}] {finding.severity}"
    place = len(str(finding.place))
    text.stylize("dim", 0, place)
    text.stylize(_STYLES[finding.severity], place, place + len(f"  {heading}"))
    fix = len(text) - len(f"Fix: {finding.fix}")
    text.stylize("green", fix, fix + len("Fix:"))
    return text
