"""Invented matches that the tests of the Sag draw. No number here is one of a real robot."""

from __future__ import annotations

import math
from functools import cache
from random import Random

from loomwright.documents.sag.axes import Axis, Plot
from loomwright.documents.sag.sheet import SagMatch, SagSheet
from loomwright.documents.scene import Box
from loomwright.match.trace import Done, Trace

STEP_S = 0.02
PHASES = (("auto", 0.0, 15.0), ("pause", 15.0, 18.0), ("driving", 18.0, 128.0), ("end", 128.0, 150.0))
MECHANISMS = ("drive", "lift", "shooter", "intake", "turret", "pump", "electronics")
WORDS = {
    "across": {"drive": 1.0},
    "aim": {"drive": 0.35, "turret": 1.0},
    "shoot": {"shooter": 1.0, "turret": 0.3},
    "pick up": {"drive": 0.5, "intake": 1.0},
    "lift up": {"lift": 1.0, "drive": 0.2},
    "wait": {},
}
FULL_A = {"drive": 150.0, "lift": 60.0, "shooter": 55.0, "intake": 28.0, "turret": 12.0, "pump": 9.0}


def trace(
    seed: int,
    *,
    ohm: float,
    number: int = 1,
    rest_v: float = 12.9,
    count: int = 7500,
    restarts: tuple[tuple[float, float], ...] = (),
    opened: tuple[tuple[str, float], ...] = (),
) -> Trace:
    """Play something like a match: steps ask for currents, a battery of so many ohm gives way, a dip switches off."""
    random = Random(seed)  # noqa: S311  an invented match is no secret
    steps = _steps(random, count * STEP_S)
    now = dict.fromkeys(MECHANISMS, 0.0)
    rows: dict[str, list[float]] = {name: [] for name in MECHANISMS}
    bus, low = [], []
    off: list[tuple[float, float]] = []
    off_until, begun, used = -1.0, 0.0, 0.0
    place = 0
    for i in range(count):
        time = i * STEP_S
        while place + 1 < len(steps) and steps[place + 1].at_s <= time:
            place += 1
        fresh = time - steps[place].at_s
        for name, full_a in FULL_A.items():
            share = WORDS[steps[place].name].get(name, 0.0)
            if name == "pump":
                share = 1.0 if time % 40 < 12 else 0.0
            wish = full_a * share * (0.3 + 0.7 * math.exp(-fresh / 0.9)) * (0.9 + 0.2 * random.random())
            now[name] += ((0.0 if time < off_until else wish) - now[name]) * 0.12
        now["electronics"] = 3.5 + 0.2 * random.random()
        if any(start <= time < end for start, end in restarts):
            now = dict.fromkeys(MECHANISMS, 0.0)
        total = sum(now.values())
        used += total * STEP_S / 3600
        volt = rest_v - 0.05 * used - total * ohm
        for name in MECHANISMS:
            rows[name].append(round(now[name], 3))
        bus.append(round(volt, 4))
        low.append(round(volt - abs(random.gauss(0, 0.06)) - 0.002 * total, 4))
        if low[-1] < 6.75 and time >= off_until:
            off_until, begun = time + 0.25 + random.random() * 0.5, time
            off.append((begun, off_until))
    return Trace(
        number, "steady", "club battery 3", rest_v, tuple(round(i * STEP_S, 2) for i in range(count)), tuple(bus),
        tuple(low), tuple(round(sum(a), 3) for a in zip(*rows.values(), strict=True)), MECHANISMS,
        tuple(tuple(row) for row in rows.values()), tuple(steps), tuple(off), restarts, opened, 6.75, 7.5, PHASES,
    )  # fmt: skip


def _steps(random: Random, lasts_s: float) -> list[Done]:
    steps = [Done("wait", 0.0)]
    time = 0.4
    while time < lasts_s:
        if 15 <= time < 18:
            steps.append(Done("wait", time))
            time = 18.0
        name = random.choice([word for word in WORDS if word not in {steps[-1].name, "wait"}])
        steps.append(Done(name, round(time, 2)))
        time += random.uniform(1.2, 5.5)
    return steps


def small() -> Trace:
    """Make five samples, one a second, that can be worked by hand."""
    drive, arm, roller, fan = (
        (10.0, 20.0, 90.0, 20.0, 10.0),
        (0.0, 0.0, 41.0, 20.0, 0.0),
        (5.0,) * 2 + (8.0,) + (5.0,) * 2,
        (1.4,) * 5,
    )
    rows = (fan, drive, arm, roller)
    return Trace(
        9, "steady", "club battery 3", 12.8, (0.0, 1.0, 2.0, 3.0, 4.0), (12.0, 11.0, 7.5, 10.0, 12.0),
        (11.9, 10.8, 7.1, 9.8, 11.9), tuple(map(sum, zip(*rows, strict=True))), ("fan", "drive", "arm", "roller"), rows,
        (Done("rest", 0.0), Done("pull", 1.5), Done("pull", 1.8), Done("rest", 2.6)), (), (), (), 6.75, 7.5,
    )  # fmt: skip


def plot(times: Axis, values: Axis) -> Plot:
    """Make a plot of the size that a sheet has."""
    return Plot(Box(25, 100, 230, 140), times, values)


@cache
def flat(number: int = 3) -> Trace:
    """Nothing happens: nothing moves, nothing is drawn."""
    count = 7500
    still = (0.0,) * count
    times = tuple(round(i * STEP_S, 2) for i in range(count))
    level = (12.6,) * count
    return Trace(number, "", "", 12.6, times, level, level, still, ("drive",), (still,), (), (), (), (), 6.75, 7.5)


@cache
def median() -> Trace:
    """Nothing bad happens."""
    return trace(4, ohm=0.021, number=57)


@cache
def worst() -> Trace:
    """Make a match in which outputs go off a few times, two breakers open, and there is a restart."""
    opened = (("left front", 71.4), ("lift motor", 96.2))
    return trace(11, ohm=0.0475, number=73, rest_v=12.5, opened=opened, restarts=((85.0, 97.4),))


@cache
def to_the_end() -> Trace:
    """Make a match in which the computer starts again at 112 s, and is not done when the match is over."""
    return trace(11, ohm=0.039, number=73, rest_v=12.5, restarts=((112.0, 150.0),))


REST = (
    "Battery: internal resistance 14 to 22 mohm, drawn anew for every match (assumed).",
    "Drive: 55 kg, wheels slip at a friction of 1.1 (assumed; weigh the robot and say so).",
    "Every joint of the main leads: 0.1 to 0.6 mohm (common practice).",
    "How hard it is driven: three drivers, as the table says (own choice).",
)


def sheet(*matches: SagMatch, headline: str = "Brown-out in 12 of 100 matches") -> SagSheet:
    """Make a sheet of some matches."""
    return SagSheet("Heron", "spring build", "3f9c1a", headline, matches, REST, 7, 100)


def study() -> SagSheet:
    """Make a study with a match as they mostly are and one that went badly."""
    return sheet(SagMatch("median match", median()), SagMatch("worst match", worst()))
