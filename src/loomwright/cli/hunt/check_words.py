"""A check for the one who makes it: the state of work first, how, what to expect, what to type for each answer."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from loomwright.cli.hunt.lines import FAINT, HEAD, LOUD, TYPE, Line
from loomwright.hunting.robot.practice import halt_lengths

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from loomwright.cli.hunt.typed import Typed
    from loomwright.hunting.robot.robot_hunt import RobotHunt
    from loomwright.hunting.robot.shown import Shown
    from loomwright.jobs.hunt.result import CheckView

#: The states of work as people say them.
STATES: Final = {"dead": "battery out", "alive": "battery in, robot disabled", "driving": "one motor runs"}
_HANG: Final = 10
#: What an outcome would leave is told where the outcome is at least so likely.
_WORTH_TELLING: Final = 0.03
#: What is told of the match has no good and no bad.
_TOLD: Final = ("since", "halt", "brown-out", "drove")


def check_lines(robot: RobotHunt, check: CheckView, was: str, typed: Typed, title: str) -> Iterator[Line]:
    """Tell a check in full; `was` is the state of work of the last answer, "" where nobody knows it."""
    yield Line(f"{title}: {check.key}, about {check.seconds:.0f} s", HEAD)
    yield _state(check, was)
    yield Line(f"  Do      {check.words.how}", hang=_HANG)
    shown = robot.checks[check.key]
    if shown.scale is None:
        yield from _outcomes(check, shown, typed)
        return
    yield Line(f"  Expect  {_plain(check.words.expected)}", hang=_HANG)
    for n, (words, left) in enumerate(zip(check.words.otherwise, check.outcomes[1:], strict=True)):
        then = _then(left)
        yield Line(f"  {'' if n else 'Else':<8}{words}{f'; then {then}' if then else ''}", hang=_HANG + 2)
    yield Line(f"  Type    {typed.reading(shown, shown.scale)}", TYPE, whole=True)
    yield Line("          with the number and the unit that you read in place of these", hang=_HANG)


def short_lines(robot: RobotHunt, checks: Sequence[CheckView], typed: Typed) -> Iterator[Line]:
    """Tell other checks in short: how, in which state, and what to type where all is well."""
    for check in checks:
        shown = robot.checks[check.key]
        state = STATES.get(check.words.state, "look, ask, feel")
        good = "" if shown.kind.partition(" ")[0] in _TOLD else f" Good: {_plain(check.words.expected)}."
        yield Line(f"  - {check.words.how} State: {state}.{good}", hang=4)
        best, *others = [name for name, _, _ in check.outcomes]
        if shown.scale is not None:
            yield Line(f"    {typed.reading(shown, shown.scale)}", TYPE, whole=True)
            continue
        yield Line(f"    {typed.answer(shown, best)}", TYPE, whole=True)
        yield Line(f"    {typed.answer(shown, others[-1])}", TYPE, whole=True)
        if others[:-1]:
            yield Line(f"    or, in place of {others[-1]}: {', '.join(others[:-1])}", FAINT, hang=6)


def _outcomes(check: CheckView, shown: Shown, typed: Typed) -> Iterator[Line]:
    """Tell what to type for each outcome, and what it would leave as the first suspect."""
    names = [_named(shown.kind, n, name) for n, (name, _, _) in enumerate(check.outcomes)]
    wide = max(len(name) for name in names)
    for n, (name, left) in enumerate(zip(names, check.outcomes, strict=True)):
        head = f"  {'' if n else 'If':<8}{name:<{wide}}  "
        yield Line(f"{head}{typed.answer(shown, left[0])}", TYPE, whole=True, plain=len(head))
        if then := _then(left):
            yield Line(f"{'':<{_HANG + 4}}then {then}", FAINT, hang=_HANG + 4)


def _state(check: CheckView, was: str) -> Line:
    """Tell the state of work; a change of it, and the first one, loudly: the program can't see what state it is."""
    words, state = check.words, check.words.state
    if state not in STATES:
        return Line(f"  State   any. {words.asks}", hang=_HANG)
    if state == was:
        return Line(f"  State   as before. {words.asks}", hang=_HANG)
    change = f"CHANGE THE STATE, from {STATES[was]} to {STATES[state]}" if was else f"FIRST: {STATES[state].upper()}"
    return Line(f"  >>> {change}. {words.asks} Look that it is so: this program can't see it.", LOUD, hang=6)


def _then(left: tuple[str, float, str]) -> str:
    """Say what an outcome would leave as the first suspect, where it is no rare one."""
    _, chance, words = left
    return f"most likely {words}" if words and chance >= _WORTH_TELLING else ""


def _named(kind: str, place: int, name: str) -> str:
    told = next((one.words for one in halt_lengths() if kind == "halt" and one.outcome == name), name)
    return f"{told} (good)" if place == 0 and kind.partition(" ")[0] not in _TOLD else told


def _plain(expected: str) -> str:
    return expected.removeprefix("as expected: ")
