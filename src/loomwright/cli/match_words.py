"""How a match study is told on a terminal: in words first, then the branches, then what helps."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from loomwright.jobs.match import LEAST_FOR_DUTY, says_enough
from loomwright.match.lasts import MOST, how_many
from loomwright.match.verdict import MAIN
from loomwright.wording import listed

if TYPE_CHECKING:
    from collections.abc import Iterator

    from loomwright.jobs.match import Studied
    from loomwright.match.advise import Advice
    from loomwright.match.rank import Effect
    from loomwright.match.verdict import Chance, HangsOn, Verdict

_SHOWN: Final = 8
_STRONG: Final = 0.5


def match_lines(done: Studied) -> list[str]:
    """Say what a study found."""
    verdict, robot = done.verdict, done.plan.robot
    build = f", build {robot.build}" if robot.build else ""
    if verdict is None:
        return [f"{robot.name}{build}: no match was played."]
    asked = done.asked
    lines = [
        f"{robot.name}{build}: {verdict.played} matches, battery {asked.battery}, seed {asked.seed}"
        + (f", with {', '.join(asked.sets)}" if asked.sets else "")
        + f". Plan {done.plan.revision}.",
        *_left_out(done.left_out),
        "",
        *_in_words(verdict),
        *_lasts(done),
        "",
        *_branches(verdict),
    ]
    if done.compared is not None:
        lines += [
            "",
            "Beside the robot as it is, the same drivers, batteries and joints:",
            f"  {_effect(done.compared)}",
        ]
    if done.effects:
        # "late": how long mechanisms are not yet where they should be, in all of a match.
        ranked = [f"  {i}. {_effect(one)}" for i, one in enumerate(done.effects[:_SHOWN], 1)]
        lines += ["", f"What helps most, each by itself, on the first {done.effects[0].of} of these matches:", *ranked]
    if done.advice:
        lines += ["", "Supply-side limits a motor, from least risk to least loss:", *map(_advice, done.advice)]
    if done.papers and not says_enough(done):
        why = _why_not(done)
        lines += ["", f"The next plan does not rest on this study: {why}. duty.json is left as it was."]
    if done.rests_on:
        lines += ["", "This rests on:", *(f"  {words}" for words in done.rests_on)]
    return [*lines, ""]


def _why_not(done: Studied) -> str:
    """Say why no plan rests on a study."""
    if done.left_out:
        return "a mechanism is left out"
    if done.own_battery:
        return "wires are made for every battery of the class, so it wants one of its states, as --battery fresh"
    return f"it wants {LEAST_FOR_DUTY} matches of all drivers"


def _left_out(names: tuple[str, ...]) -> Iterator[str]:
    if names:
        yield f"NOT played, for the file says too little: {listed(names, 'and')}. All numbers are without it."


def _in_words(verdict: Verdict) -> Iterator[str]:
    yield f"Brown-out (outputs off): {_odds(verdict.brown_out)}."
    if verdict.restart.count:
        yield f"Robot controller starts anew: {_odds(verdict.restart)}."
    yield (
        f"Lowest bus voltage: {verdict.lowest_50_v:.1f} V in the middle match, {verdict.lowest_5_v:.1f} V or less in "
        f"one of twenty, {verdict.lowest_v:.1f} V in the worst."
    )
    for one in verdict.together[:2]:
        who = listed([f"{name} {current:.0f} A" for name, current in one.who], "and")
        together = "run together" if len(one.who) > 1 else "takes nearly all"
        yield f"At the dips {who} {together} ({one.share:.0%} of the matches)."
    if verdict.hangs_on:
        yield f"That hangs on {listed([_hangs(one) for one in verdict.hangs_on], 'and')}."
    if (hot := verdict.hottest) is not None and hot.hottest_c is not None and hot.limit_c is not None:
        yield (
            f"Hottest wire: {hot.name}, {hot.hottest_c:.0f} C of {hot.limit_c:.0f} C, "
            f"{hot.limit_c - hot.hottest_c:.0f} C to spare."
        )
    opening = [branch for branch in verdict.branches if branch.opened is not None and branch.opened.count]
    for branch in opening:
        breaker = "The main breaker" if branch.name == MAIN else f"The breaker of {branch.name}"
        rests = " (its curve is assumed)" if branch.curve_assumed else ""
        if branch.opened is not None:
            yield f"{breaker} opens: {_odds(branch.opened)}{rests}."
    if not opening:
        judged = [branch for branch in verdict.branches if branch.opened is not None]
        assumed = ", by curves that are assumed" if any(branch.curve_assumed for branch in judged) else ""
        yield f"No breaker opens{assumed}." if judged else "No breaker is judged: no part has a curve."
    known = {branch.circuit for branch in verdict.branches if branch.opened is not None}
    unknown = [branch.name for branch in verdict.branches if branch.circuit and branch.circuit not in known]
    if unknown and known:
        yield f"Not judged, for their breakers have no curve: {listed(unknown, 'and')}."
    yield (
        f"Charge: {verdict.charge_ah:.1f} Ah a match ({verdict.charge_95_ah:.1f} Ah in one of twenty), "
        f"{verdict.energy_wh:.0f} Wh. Driven: {verdict.metres:.0f} m."
        + (f" The compressor runs {verdict.pump_share:.0%} of the time." if verdict.pump_share is not None else "")
    )


def _lasts(done: Studied) -> Iterator[str]:
    if not done.row:
        return
    lasts = how_many(done.row)
    more = " or more" if lasts == MOST else ""
    odds = ", ".join(f"{one.brown_out.share:.0%}" for one in done.row)
    matches = "match" if lasts == 1 else "matches"
    yield f"One battery lasts {lasts}{more} {matches} in a row without charging; brown-outs in each: {odds}."


def _branches(verdict: Verdict) -> Iterator[str]:
    wide = max(len(branch.name) for branch in verdict.branches)
    yield f"{'branch':{wide}}  {'peak':>6}  {'10 s':>6}  {'match':>6}  wire"
    for branch in verdict.branches:
        warm = "" if branch.hottest_c is None else f"{branch.hottest_c:.0f} C"
        limit = "" if branch.limit_c is None else f" of {branch.limit_c:.0f} C"
        row = f"{branch.peak_a:4.0f} A  {branch.worst_a:4.0f} A  {branch.rms_a:4.0f} A  {warm}{limit}"
        yield f"{branch.name:{wide}}  {row}".rstrip()


def _odds(chance: Chance) -> str:
    low, high = chance.span
    return f"{chance.count} of {chance.of} matches, so {low:.1%} to {high:.1%}"


def _hangs(one: HangsOn) -> str:
    strong = "strongly " if abs(one.correlation) >= _STRONG else ""
    # Drivers are no scale, so who drives goes neither up nor down with anything.
    value = f"{one.correlation:.2f}" if one.key == "driver" else f"{one.correlation:+.2f}"
    return f"{one.what} ({strong}{value})"


def _effect(effect: Effect) -> str:
    costs = [f"brown-outs {effect.before} to {effect.after} of {effect.of}"] if effect.before or effect.after else []
    costs += [f"{effect.lowest_5_v:+.2f} V at the dips", f"{effect.metres:+.1%} driven"]
    if abs(effect.late_s) >= 0.05:  # noqa: PLR2004  less is not told
        costs.append(f"{effect.late_s:+.1f} s late")
    return f"{effect.words}: {', '.join(costs)}"


def _advice(advice: Advice) -> str:
    if not advice.limits:
        return f"  as it is: brown-outs {advice.effect.before} of {advice.effect.of}"
    return f"  {_effect(advice.effect)}"
