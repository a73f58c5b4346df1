"""The order of findings on paper: by weight and by what they are about, wherever that stands in the file."""

from __future__ import annotations

from typing import TYPE_CHECKING

from loomwright.wording import natural

if TYPE_CHECKING:
    from collections.abc import Iterable

    from loomwright.findings import Finding


def on_paper(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Return each finding once; the same robot in a file of another order has them in the same order."""
    once = dict.fromkeys(findings)
    return tuple(sorted(once, key=lambda f: (f.severity.rank, natural(f.place.thing), f.code, f.what)))
