"""What a study has to tell as findings: brown-outs, breakers that open, wires that get too hot, what is asked."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from loomwright.findings import Finding, Place, Severity
from loomwright.match.verdict import MAIN
from loomwright.wording import listed

if TYPE_CHECKING:
    from collections.abc import Iterator

    from loomwright.match.verdict import BranchTold, Chance, Verdict

#: Shares of matches from which something is looked at, and below which it is only considered (own-choice).
_OFTEN: Final = 0.05
#: Assumptions that a finding names.
_TOLD: Final = 3
_ASSUMED: Final = "the breaker's curve is assumed, not from its data sheet"


def told_by(verdict: Verdict, rests_on: tuple[str, ...], file: str) -> Iterator[Finding]:
    """Give the findings of a verdict; `rests_on` is what the machine rests on, `file` the robot file."""
    rests_on = _short(rests_on)
    if verdict.brown_out.count:
        yield _brown_out(verdict, rests_on, file)
    if verdict.restart.count:
        what = f"The robot controller stops for lack of voltage in {_share(verdict.restart)} matches, and starts anew."
        fix = "See what helps most: `loomwright match --rank`. Measure the battery and every joint of the main leads."
        yield Finding("match-restart", Severity.SHOULD, Place(file, thing="match"), what, fix, rests_on=rests_on)
    for branch in verdict.branches:
        yield from _of_branch(branch, file)


def _brown_out(verdict: Verdict, rests_on: tuple[str, ...], file: str) -> Finding:
    severity = Severity.SHOULD if verdict.brown_out.share >= _OFTEN else Severity.CONSIDER
    what = (
        f"Outputs go off in {_share(verdict.brown_out)} matches; the lowest bus voltage is {verdict.lowest_v:.1f} V, "
        f"and below {verdict.lowest_5_v:.1f} V in one match of twenty."
    )
    if verdict.together:
        who = [name for name, _ in verdict.together[0].who]
        what += f" At the dips {listed(who, 'and')} {'run together' if len(who) > 1 else 'takes nearly all'}."
    fix = "See what helps most: `loomwright match --rank`; or limits for all at once: `loomwright match --advise`."
    return Finding("match-brown-out", severity, Place(file, thing="match"), what, fix, rests_on=rests_on)


def _of_branch(branch: BranchTold, file: str) -> Iterator[Finding]:
    place = Place(file, thing=branch.name)
    if branch.opened is not None and branch.opened.count:
        often = Severity.SHOULD if branch.opened.share >= _OFTEN or branch.name == MAIN else Severity.CONSIDER
        breaker = "The main breaker" if branch.name == MAIN else f"The breaker of {branch.name}"
        what = (
            f"{breaker} opens in {_share(branch.opened)} matches; it sees up to {branch.worst_a:.0f} A over 10 s and "
            f"{branch.peak_a:.0f} A at most."
        )
        fix = "Lower the supply-side limit of what hangs on it, or drive it less; never put in a larger one."
        yield Finding("match-breaker", often, place, what, fix, rests_on=(_ASSUMED,) if branch.curve_assumed else ())
    if branch.hottest_c is not None and branch.limit_c is not None and branch.hottest_c > branch.limit_c:
        what = (
            f"A wire of {branch.name} gets {branch.hottest_c:.0f} C warm; its insulation bears {branch.limit_c:.0f} C."
        )
        fix = "Take a thicker gauge (`wire:`), a better insulation class, or a lower supply-side limit."
        yield Finding("match-wire-hot", Severity.SHOULD, place, what, fix)


def _short(rests_on: tuple[str, ...]) -> tuple[str, ...]:
    """Name the first few assumptions; all of them stand in match.json."""
    more = len(rests_on) - _TOLD
    return (*rests_on[:_TOLD], f"{more} more things that out/match.json names") if more > 1 else rests_on


def _share(chance: Chance) -> str:
    return f"{chance.count} of {chance.of}"
