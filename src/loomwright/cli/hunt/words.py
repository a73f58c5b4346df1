"""Where a hunt stands, in lines for a terminal: doubts, suspects, what to mend, what to look at next."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from loomwright.cli.console import program
from loomwright.cli.hunt.check_words import check_lines, short_lines
from loomwright.cli.hunt.fix_words import fix_lines
from loomwright.cli.hunt.lines import FAINT, GOOD, HEAD, LOUD, Line
from loomwright.cli.hunt.typed import quote
from loomwright.hunting.robot.practice import work_states
from loomwright.jobs.hunt.result import TWO_LIKELY

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from loomwright.cli.hunt.typed import Typed
    from loomwright.hunting.robot.robot_hunt import RobotHunt
    from loomwright.jobs.hunt.result import AnswerView, CheckView, HuntView, SuspectView

_SUSPECTS: Final = 6
#: So many suspects are always told, the others only where they are likely enough.
_ALWAYS: Final = 2
_WORTH_A_LINE: Final = 0.01
_BAR: Final = 12
_COLUMN: Final = 21
_INSTEAD: Final = 2
_LEAST: Final = 0.005
_TOGETHER: Final = 2


def standing_lines(robot: RobotHunt, view: HuntView, typed: Typed) -> Iterator[Line]:
    """Tell where a hunt stands: the doubts, the suspects, then what to do now."""
    counted = [one for one in view.answers if not one.refused]
    yield Line(_headline(robot, view, len(counted)), HEAD)
    yield from _refused(view.answers)
    if view.doubt and len(counted) >= _TOGETHER:
        yield from _doubts(view, typed)
    if not view.suspects:
        yield from start_lines(robot, typed, begun=True)
        return
    if not (view.helped or view.again):  # what was mended would stand first still
        yield Line("")
        yield Line("SUSPECTS", HEAD)
        yield from _suspects(view.suspects)
        if view.two >= TWO_LIKELY:
            yield Line(f"  {_percent(view.two)} that two of these are wrong at once: each is told by itself.", FAINT)
    yield Line("")
    yield from _to_do(robot, view, typed)


def start_lines(robot: RobotHunt, typed: Typed, *, begun: bool = False) -> Iterator[Line]:
    """Tell how a hunt is begun, with names of this robot."""
    lights = [one.about for one in robot.checks.values() if one.kind == "look"]
    motors = [one.about for one in robot.checks.values() if one.kind == "drove"]
    nothing = "Nothing is told yet." if begun else "No hunt is open."
    yield Line(f"{nothing} Say what you see, as much as you know; every line by itself or all in one:", HEAD)
    if len(lights) >= _TOGETHER:
        yield Line(f"  {typed.command('--dark', quote(lights[0]), '--lit', quote(lights[-1]))}", whole=True)
    if motors:
        yield Line(f"  {typed.command('--dead', quote(motors[0]))}     it did not move in the match", whole=True)
    yield Line(
        f"  {typed.command('--halt', '45s', '--since', 'hit')}     the robot stood still, after a hit", whole=True
    )
    yield Line(f"Lights: {', '.join(lights)}.", hang=2)
    yield Line(f"Motors: {', '.join(motors)}.", hang=2)
    yield Line(
        f"Smoke, hiss, swelling, heat, a burnt smell: breaker off, stand clear, then {typed.command('--smoke')}", LOUD
    )
    yield Line(f"Everything that can be told: {program()} hunt --help", FAINT, whole=True)


def _headline(robot: RobotHunt, view: HuntView, count: int) -> str:
    told = f' "{view.hunt.begun.words}"' if view.hunt is not None and view.hunt.begun.words else ""
    many = "1 answer" if count == 1 else f"{count} answers"
    return f"Hunt on {robot.plan.robot.name}{told}: {many}."


def _refused(answers: Sequence[AnswerView]) -> Iterator[Line]:
    for one in answers:
        if one.refused:
            yield Line(f"  Counts for nothing on this plan: {one.words}. {one.refused}", LOUD, hang=4)


def _doubts(view: HuntView, typed: Typed) -> Iterator[Line]:
    yield Line(f"ANSWERS DISAGREE: {view.doubt.partition(': ')[2] or view.doubt}", LOUD, hang=2)
    if not any(one.doubtful for one in view.answers):
        yield Line("  A slip is put right by the right answer together with --wrong and its check:")
        yield Line(f"    {typed.command('--log')}", whole=True)
    for one in view.answers:
        if one.doubtful:
            yield Line(
                f"  Look again: {one.words} (told by {one.who}). Where it was wrong, give the right answer with", hang=4
            )
            yield Line(f"    {typed.command('--wrong', quote(one.check), '...')}", whole=True)


def _suspects(suspects: Sequence[SuspectView]) -> Iterator[Line]:
    before = ""
    told = [one for n, one in enumerate(suspects[:_SUSPECTS]) if n < _ALWAYS or one.probability >= _WORTH_A_LINE]
    for one in told:
        bar = "█" * round(_BAR * one.probability)
        head = f"{_percent(one.probability):>6}  {bar:<{_BAR}} "
        yield Line(f"{head}{one.words}", "cyan", hang=_COLUMN, styled=len(head))
        if one.because and one.because != before:
            yield Line(f"{'':<{_COLUMN}}{one.because}", FAINT, hang=_COLUMN)
        if one.raised:
            yield Line(f"{'':<{_COLUMN}}More likely because: {', '.join(one.raised)}.", FAINT, hang=_COLUMN)
        before = one.because
    rest = 1 - sum(one.probability for one in told)
    if rest >= _LEAST:
        yield Line(f"{_percent(rest):>6}  everything else together")


def _to_do(robot: RobotHunt, view: HuntView, typed: Typed) -> Iterator[Line]:
    """Tell the one thing to do now: end it, test a repair, mend, or check; other ways in short after it."""
    if view.helped:
        yield Line(f"IT HELPED: all that was tried since {view.helped} was mended is well.", GOOD)
        yield Line(f"  {work_states()['driving'][0]}", hang=2)
        yield Line("  Try everything once more as in a match. Then end the hunt:")
        yield Line(f"  {typed.command('--found')}", "cyan", whole=True)
        return
    if view.again:
        yield from check_lines(robot, view.again[0], view.state, typed, "MAKE AGAIN, it showed the trouble before")
        if view.again[1:]:
            yield Line("Then again, too:", HEAD)
            yield from short_lines(robot, view.again[1:], typed)
        return
    if view.fixes:
        yield from fix_lines(robot.plan, view.fixes, typed, found=view.found)
    checks = _fresh(view)
    if checks and not view.found:
        yield from check_lines(robot, checks[0], view.state, typed, "NEXT CHECK")
    others = checks if view.found else checks[1:]
    if others:
        if not view.found:
            yield Line("")
        yield Line("To be surer before you mend:" if view.found else "Can't do that? Then one of these:", HEAD)
        yield from short_lines(robot, others[:_INSTEAD], typed)


def _fresh(view: HuntView) -> list[CheckView]:
    """Return the next checks without those that were answered in this hunt: who has just looked sees the same again."""
    told = {one.check for one in view.answers if not one.doubtful}
    return [one for one in view.checks if one.key not in told] or list(view.checks)


def _percent(share: float) -> str:
    return f"{share:.0%}" if share >= _LEAST else "<1%"
