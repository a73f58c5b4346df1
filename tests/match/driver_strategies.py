"""Valid drivers of every sort, for tests that a law holds whoever drives; and the laws of a valid driver by themselves.

Times are whole milliseconds and shares whole percents, so that a driver can be written down and read back to the same
floats. What is drawn looks as a file gives it: names in order, phases without gaps.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from hypothesis import strategies as st

from loomwright.match.driver import Cycle, Driver, Phase, Range, Step, Wish

#: What a wish can be for besides the drive, in the order that a step has them.
KINDS: Final = ("steering", "lift", "arm", "roller", "flywheel", "climber", "other")
UPWARD: Final = {"steering", "lift", "arm", "flywheel", "climber"}
_WORDS: Final = st.text("abcdefghijklmnopqrstuvwxyz", min_size=1, max_size=8)
_NAMES: Final = st.lists(_WORDS, min_size=1, max_size=3).map(" ".join)


def ranges(least: int, most: int, *, of: int = 100) -> st.SearchStrategy[Range]:
    """Draw a range between two whole numbers, told in parts (`of` 100: percents)."""
    ends = st.tuples(st.integers(least, most), st.integers(least, most)).map(sorted)
    return ends.map(lambda two: (two[0] / of, two[1] / of))


@st.composite
def wishes(draw: st.DrawFn, *, names: Sequence[str] = ()) -> tuple[Wish, ...]:
    """Draw what a step asks for: of some kinds and, after them, of some of the mechanisms in `names`."""
    asked: list[Wish] = []
    if draw(st.booleans()):
        goal, load, turn = draw(ranges(-100, 100)), draw(ranges(0, 100)), draw(ranges(-100, 100))
        asked.append(Wish("drive", goal, load, turn))
    for whom in draw(st.lists(st.sampled_from((*KINDS, *names)), unique=True, max_size=5)):
        goal = draw(ranges(0 if whom in UPWARD else -100, 100))
        asked.append(Wish(whom, goal, draw(ranges(0, 100))))
    order = ["drive", *KINDS, *sorted(names)]
    return tuple(sorted(asked, key=lambda wish: order.index(wish.whom)))


def steps(*, names: Sequence[str] = (), longest_s: float = 20.0) -> st.SearchStrategy[Step]:
    """Draw one step of 20 ms or more."""
    return st.builds(
        Step,
        _NAMES,
        ranges(20, round(1000 * longest_s), of=1000),
        wishes(names=names),
        shots=st.integers(0, 5),
        strokes=st.integers(0, 5),
    )


@st.composite
def drivers(draw: st.DrawFn, *, names: Sequence[str] = (), longest_s: float = 150.0, weight: int = 10) -> Driver:
    """Draw a driver of a match of at most `longest_s`; `names` are mechanisms that it may speak to beside the kinds."""
    called = sorted(draw(st.lists(_NAMES, unique=True, min_size=1, max_size=4)))
    step = steps(names=names, longest_s=min(20.0, longest_s))
    held = {name: Cycle(name, tuple(draw(st.lists(step, min_size=1, max_size=4)))) for name in called}
    ends = sorted(draw(st.sets(st.integers(1, round(10 * longest_s)), min_size=1, max_size=4)))
    titles = draw(st.lists(_NAMES, unique=True, min_size=len(ends), max_size=len(ends)))
    phases = tuple(
        Phase(title, start / 10, end / 10, draw(_choices(called)))
        for title, start, end in zip(titles, [0, *ends], ends, strict=False)
    )
    used = sorted({name for phase in phases for name, _ in phase.cycles})
    often = float(draw(st.integers(1, max(1, weight))))
    return Driver(draw(_NAMES), draw(st.just("") | _NAMES), often, phases, tuple(held[name] for name in used))


@st.composite
def _choices(draw: st.DrawFn, called: Sequence[str]) -> tuple[tuple[str, float], ...]:
    """Draw the cycles of a phase with weights, some of them 0 but not all; or none: everything stands still."""
    chosen = sorted(draw(st.lists(st.sampled_from(called), unique=True)))
    weights = draw(st.lists(st.integers(0, 4), min_size=len(chosen), max_size=len(chosen)).filter(_some))
    return tuple(zip(chosen, map(float, weights), strict=True))


def _some(weights: Sequence[int]) -> bool:
    return not weights or any(weights)


def wrong_with(driver: Driver) -> Iterator[str]:
    """Tell what breaks the laws that a kernel may rely on; nothing for a valid driver."""
    now_s = 0.0
    for phase in driver.phases:
        if phase.start_s != now_s or phase.end_s <= phase.start_s:
            yield f"phase {phase.name}: not from {now_s} on, or of no length"
        now_s = phase.end_s
        if phase.cycles and sum(weight for _, weight in phase.cycles) <= 0:
            yield f"phase {phase.name}: no cycle has a weight"
        yield from (f"no cycle {name}" for name, _ in phase.cycles if driver.cycle(name) is None)
    if not driver.phases or now_s > 600 or driver.weight < 0:
        yield "no match, a match of more than 10 minutes, or a weight below zero"
    for cycle in driver.cycles:
        if not cycle.steps:
            yield f"cycle {cycle.name}: nothing to do"
        for step in cycle.steps:
            yield from _wrong_with_step(step)


def _wrong_with_step(step: Step) -> Iterator[str]:
    if not 0.02 <= step.lasts_s[0] <= step.lasts_s[1] or min(step.shots, step.strokes) < 0:
        yield f"step {step.name}: too short, backwards, or fewer than no shots"
    asked = [wish.whom for wish in step.wishes]
    if len(set(asked)) < len(asked):
        yield f"step {step.name}: two wishes for one"
    for wish in step.wishes:
        least = 0.0 if wish.whom in UPWARD else -1.0
        spans = ((least, wish.goal), (0.0, wish.load), (-1.0, wish.turn))
        if not all(low <= span[0] <= span[1] <= 1.0 for low, span in spans):
            yield f"step {step.name}: {wish.whom} out of bounds"
