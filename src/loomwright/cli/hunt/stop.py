"""What is said while a danger stands open: first, and nothing else."""

from __future__ import annotations

from typing import TYPE_CHECKING

from loomwright.cli.hunt.lines import STOP, TYPE, Line

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from loomwright.cli.hunt.typed import Typed


def stop_lines(dangers: Sequence[tuple[str, str, str]], typed: Typed) -> Iterator[Line]:
    """Tell what to do now; each danger is its words, its place and who told it, the last two perhaps ""."""
    yield Line("STOP. This comes before everything else, and nothing is probed.", STOP)
    for words, place, who in dangers:
        where = f" at {place}" if place else ""
        yield Line(f"  {words.capitalize()}{where}{f', told by {who}' if who else ''}.")
    yield Line("  1. Main breaker off.")
    yield Line("  2. Unplug the battery, if that is safe. If it is swollen, hissing or hot: don't touch it.", hang=5)
    yield Line("  3. Stand clear, everybody. Don't breathe the smoke, stay away from spilled acid.", hang=5)
    yield Line(
        "  4. Fetch the mentor. Fire, or somebody is hurt: call for help at once, as the event tells you.", hang=5
    )
    yield Line("The hunt stands still until a mentor has looked. When it is over, the mentor types:")
    yield Line(f"  {typed.command('--cleared', '--who', 'NAME')}", TYPE, whole=True)
