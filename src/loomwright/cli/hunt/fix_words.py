"""What to mend, in lines for a terminal: how, its card, what shows that it helped, what to type then."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from loomwright.cli.hunt.lines import GOOD, LOUD, TYPE, Line
from loomwright.cli.hunt.typed import quote
from loomwright.hunting.robot.faults import FaultKind
from loomwright.hunting.robot.practice import work_states
from loomwright.proof.ends import all_ends

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from loomwright.cli.hunt.typed import Typed
    from loomwright.jobs.hunt.result import FixView
    from loomwright.plan.result import Plan

#: What is mended with the battery in, by a tool on a screen.
_BY_PROGRAM: Final = (FaultKind.FACTORY_ID, FaultKind.DOUBLE_ID)
_HANG: Final = 10


def fix_lines(plan: Plan, fixes: Sequence[FixView], typed: Typed, *, found: bool) -> Iterator[Line]:
    """Tell what is worth mending now, the best first."""
    for n, fix in enumerate(fixes):
        sure = (
            f"FOUND, {fix.probability:.0%} sure" if found and n == 0 else "WORTH MENDING NOW, it is quicker than checks"
        )
        yield Line(f"{sure}: {fix.what}", GOOD, hang=2)
        if fix.seat and fix.fault.rpartition(f" {fix.seat}")[0] not in _BY_PROGRAM:
            yield Line(f"  >>> FIRST: {work_states()['dead'][0]} Look that it is so.", LOUD, hang=6)
        yield Line(f"  Mend    {fix.words}", hang=_HANG)
        if fix.end:
            yield Line(f"  Card    {card_words(plan, fix.wire, fix.end, typed)}", hang=_HANG)
        yield Line(f"  Test    {fix.again}", hang=_HANG)
        then = typed.command("--mended", quote(fix.seat)) if fix.seat else typed.command("--no-fault")
        yield Line(f"  Type    {then}", TYPE, whole=True)
        yield Line("")


def card_words(plan: Plan, wire: str, end: str, typed: Typed) -> str:
    """Say which card shows how an end is made, and where it is signed."""
    card = next((one.card for one in all_ends(plan) if one.name == (wire, end)), None)
    out = f"out/{typed.build}/packet.pdf" if typed.build else "out/packet.pdf"
    if card is None:
        return f"none; nobody makes this end by hand. See {wire} in {out}."
    return f"number {card} in {out}; or tap {wire} {end} on the screen Ends, and sign it there ({typed.other('bench')})"
