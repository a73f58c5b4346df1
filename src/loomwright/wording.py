"""Small helpers for sentences that people read: near misses, lists, short quotes."""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterable, Sequence


def nearest(word: str, candidates: Iterable[str], *, limit: int = 3, closeness: float = 0.6) -> list[str]:
    """Give the candidates that look most like a word, best first.

    Case and the space around a word do not count; `closeness` runs from 0 (anything) to 1 (equal).
    Of two that are equally close, the one that starts alike comes first, then the one named first.
    """
    wanted = word.strip().casefold()
    matcher = difflib.SequenceMatcher(autojunk=False)
    matcher.set_seq2(wanted)
    scored: list[tuple[float, int, int, str]] = []
    for order, candidate in enumerate(dict.fromkeys(candidates)):
        other = candidate.strip().casefold()
        matcher.set_seq1(other)
        if matcher.quick_ratio() >= closeness and (ratio := matcher.ratio()) >= closeness:
            scored.append((-ratio, -_shared_start(wanted, other), order, candidate))
    return [candidate for *_, candidate in sorted(scored)[:limit]]


def _shared_start(one: str, other: str) -> int:
    return next((i for i, (a, b) in enumerate(zip(one, other, strict=False)) if a != b), min(len(one), len(other)))


def natural(text: str) -> tuple[tuple[int, int, str], ...]:
    """Make a sort key in which "H2" comes before "H10"."""
    pieces = re.findall(r"\d+|\D+", text)
    return tuple((0, int(piece), "") if piece.isdecimal() else (1, 0, piece.casefold()) for piece in pieces)


def listed(words: Sequence[str], joiner: str = "or") -> str:
    """Join words as a sentence does: "a", "a or b", "a, b or c"."""
    if len(words) <= 1:
        return "".join(words)
    return f"{', '.join(words[:-1])} {joiner} {words[-1]}"


def quoted(text: str, *, longest: int = 40) -> str:
    """Put text between backticks, cut when it is long, with characters that can't be seen spelled out."""
    visible = "".join(c if c.isprintable() else f"<U+{ord(c):04X}>" for c in text[: longest + 1])
    if len(text) > longest or len(visible) > 2 * longest:
        visible = f"{visible[:longest]}..."
    return f"`{visible}`"
