"""What a study says: chances with their ranges, lowest voltages, who ran together at the dips, heat, charge."""

from __future__ import annotations

from collections import Counter, defaultdict
from dataclasses import dataclass
from math import sqrt
from typing import TYPE_CHECKING, Final

import numpy as np

from loomwright.match.chance import Chance
from loomwright.match.engine import layout as at
from loomwright.match.engine.hot import ALPHA
from loomwright.match.engine.study import COLUMN
from loomwright.match.teams import team_of

if TYPE_CHECKING:
    from loomwright.match.engine.hot import Floats
    from loomwright.match.engine.outcomes import Outcomes
    from loomwright.match.engine.study import Study
    from loomwright.match.machine import Trip, WireHeat

__all__ = ["MAIN", "BranchTold", "Chance", "HangsOn", "Together", "Verdict", "verdict_of"]

#: What takes less than this share of the current at a dip is not said to run there.
_RUNS: Final = 0.08
#: Correlations of ranks below this are not told.
_TOLD: Final = 0.15
MAIN: Final = "main leads"


@dataclass(frozen=True, slots=True)
class BranchTold:
    """A branch over all matches: currents [A], the hottest its wire got [C] and its class, how often it opened.

    `rms_a` is over the worst match, `worst_a` over the worst 10 s of any; `heat_a` would for ever heat its wire as
    much.
    `opened` is None where its breaker has no curve: then nothing is decided.
    """

    name: str
    circuit: str
    peak_a: float
    rms_a: float
    worst_a: float
    heat_a: float
    hottest_c: float | None
    limit_c: float | None
    opened: Chance | None
    curve_assumed: bool


@dataclass(frozen=True, slots=True)
class Together:
    """Mechanisms and loads that ran together at a dip, in which share of the matches, with their mean currents [A]."""

    who: tuple[tuple[str, float], ...]
    share: float


@dataclass(frozen=True, slots=True)
class HangsOn:
    """What the lowest voltage hangs on: a doubt, and how its ranks go with the voltage's (-1 to 1)."""

    key: str
    what: str
    correlation: float


@dataclass(frozen=True, slots=True)
class Verdict:
    """All of it; `worst` and `median` are numbers of matches. Voltages [V], charge [Ah], energy [Wh], way [m]."""

    played: int
    brown_out: Chance
    restart: Chance
    dead: Chance | None
    off_s: float
    lowest_v: float
    lowest_5_v: float
    lowest_50_v: float
    worst: int
    median: int
    branches: tuple[BranchTold, ...]
    together: tuple[Together, ...]
    hangs_on: tuple[HangsOn, ...]
    charge_ah: float
    charge_95_ah: float
    energy_wh: float
    metres: float
    late_s: float
    pump_share: float | None

    @property
    def hottest(self) -> BranchTold | None:
        """The branch whose wire comes nearest to its class."""
        judged = [b for b in self.branches if b.hottest_c is not None and b.limit_c is not None]
        return min(judged, key=lambda b: (b.limit_c or 0.0) - (b.hottest_c or 0.0), default=None)


def verdict_of(study: Study, outcomes: Outcomes) -> Verdict:
    """Return what the matches of a study say together."""
    n, matches = len(outcomes), outcomes.matches
    lowest = outcomes.lowest_v
    order = np.argsort(lowest, kind="stable")
    pumps = study.machine.air is not None
    main = study.machine.main_trip
    return Verdict(
        played=n,
        brown_out=Chance(int(outcomes.browned_out.sum()), n),
        restart=Chance(int((matches[:, at.O_RESTARTS] > 0).sum()), n),
        dead=Chance(int(outcomes.opened[:, -1].sum()), n) if main is not None else None,
        off_s=float(matches[:, at.O_OFF_S].mean()),
        lowest_v=float(lowest[order[0]]),
        lowest_5_v=float(np.quantile(lowest, 0.05)),
        lowest_50_v=float(np.quantile(lowest, 0.5)),
        worst=int(order[0]),
        median=int(order[n // 2]),
        branches=_branches(study, outcomes),
        together=_together(study, outcomes),
        hangs_on=_hangs_on(study, outcomes),
        charge_ah=float(np.median(matches[:, at.O_AH])),
        charge_95_ah=float(np.quantile(matches[:, at.O_AH], 0.95)),
        energy_wh=float(np.median(matches[:, at.O_JOULE])) / 3600.0,
        metres=float(matches[:, at.O_METRES].mean()),
        late_s=float(outcomes.ways[:, :, at.Y_LATE].sum(1).mean()),
        pump_share=float(matches[:, at.O_PUMP_S].mean()) / study.lasts_s if pumps else None,
    )


def _branches(study: Study, outcomes: Outcomes) -> tuple[BranchTold, ...]:
    machine, found = study.machine, []
    held: list[tuple[str, str, Trip | None, WireHeat | None]] = [
        *((motor.name, motor.circuit, motor.trip, motor.wire) for motor in machine.motors),
        *((load.name, load.circuit, load.trip, load.wire) for load in machine.loads),
        (MAIN, "main", machine.main_trip, machine.main_wire),
    ]
    for b, (name, circuit, trip, wire) in enumerate(held):
        told = outcomes.branches[:, b]
        found.append(
            BranchTold(
                name=name,
                circuit=circuit,
                peak_a=float(told[:, at.R_PEAK].max()),
                rms_a=float(np.sqrt(told[:, at.R_SQUARES].max())),
                worst_a=float(np.sqrt(told[:, at.R_WORST].max())),
                heat_a=_steady_a(wire, told[:, at.R_WARMEST], outcomes.drawn[:, at.D_WARMTH]) if wire else 0.0,
                hottest_c=float(told[:, at.R_WARMEST].max()) if wire else None,
                limit_c=wire.limit_c if wire else None,
                opened=Chance(int((told[:, at.R_OPENED] > 0).sum()), len(told)) if trip else None,
                curve_assumed=trip.assumed if trip else False,
            )
        )
    return tuple(found)


def _steady_a(wire: WireHeat, warmest_c: Floats, air_c: Floats) -> float:
    """Return the current that for ever keeps a wire as warm as it got at most: I^2 R(T) = G (T - air)."""
    resistance = wire.ohm_per_m * (1.0 + ALPHA * (warmest_c - 20.0))
    return float(np.sqrt(wire.watt_per_k_m * np.maximum(warmest_c - air_c, 0.0) / resistance).max())


def _together(study: Study, outcomes: Outcomes, most: int = 3) -> tuple[Together, ...]:
    """Count which mechanisms and loads took a good part of the current when the bus was lowest."""
    machine = study.machine
    teams = team_of(machine)
    groups = [teams[machine.mechanisms[motor.mechanism].name] for motor in machine.motors]
    groups += [load.name for load in machine.loads]
    seen: Counter[tuple[str, ...]] = Counter()
    amperes: defaultdict[tuple[str, ...], defaultdict[str, float]] = defaultdict(lambda: defaultdict(float))
    for dip in outcomes.branches[:, :-1, at.R_DIP]:
        taken: defaultdict[str, float] = defaultdict(float)
        for name, current in zip(groups, dip, strict=True):
            taken[name] += float(current)
        total = sum(current for current in taken.values() if current > 0)
        who = tuple(sorted(name for name, current in taken.items() if current > _RUNS * total))
        if not who:  # nothing ran in all of the match
            continue
        seen[who] += 1
        for name in who:
            amperes[who][name] += taken[name]
    return tuple(
        Together(
            tuple(sorted(((name, amperes[who][name] / count) for name in who), key=lambda pair: (-pair[1], pair[0]))),
            count / len(outcomes),
        )
        for who, count in sorted(seen.items(), key=lambda pair: (-pair[1], pair[0]))[:most]
    )


def _hangs_on(study: Study, outcomes: Outcomes) -> tuple[HangsOn, ...]:
    """Tell which doubts go with the lowest voltage, by Spearman's rank correlation (source: spearman-1904-memory)."""
    if len(outcomes) < 3:  # noqa: PLR2004  two points always lie on a line
        return ()
    lowest = _ranks(outcomes.lowest_v)
    found = []
    for doubt in study.doubts:
        drawn = outcomes.joints[:, :-1].sum(1) if doubt.key == "joint ohm" else outcomes.drawn[:, COLUMN[doubt.key]]
        if np.ptp(drawn) > 0 and np.ptp(lowest) > 0:
            value = float(np.corrcoef(_ranks(drawn), lowest)[0, 1])
            if abs(value) >= _TOLD:
                found.append(HangsOn(doubt.key, doubt.what, value))
    if len(study.drivers) > 1:
        eta = _by_driver(outcomes, lowest)
        if eta >= _TOLD:
            found.append(HangsOn("driver", "who drives", eta))
    return tuple(sorted(found, key=lambda one: -abs(one.correlation)))


def _by_driver(outcomes: Outcomes, ranks: Floats) -> float:
    """Return how much of the ranks' spread lies between drivers, as a correlation."""
    who = outcomes.drawn[:, at.D_DRIVER]
    whole = float(((ranks - ranks.mean()) ** 2).sum())
    between = sum(
        float((who == one).sum()) * float(ranks[who == one].mean() - ranks.mean()) ** 2 for one in np.unique(who)
    )
    return sqrt(between / whole) if whole else 0.0


def _ranks(values: Floats) -> Floats:
    """Return the place of each value among them; those that are alike share the mean of their places."""
    _, which, counts = np.unique(values, return_inverse=True, return_counts=True)
    ends = np.cumsum(counts)
    return np.asarray((ends - (counts + 1) / 2)[which])
