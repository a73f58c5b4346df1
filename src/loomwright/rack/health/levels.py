"""Where each battery's level is (the logarithm of a share of its class), how it moves with wear, and how sure that is.

ln y = new level + slope x wear + error. New levels lie around the team's level, which lies around the part's value;
errors follow Student's t, and a few readings are blunders, so that a bad one moves little. Between any two readings the
battery may, rarely, have become another: then what was read before counts no more, and it no longer tells anything of
the team's others. One reading far off is more likely a blunder, two that agree are a change. All of
it is summed on grids, exactly but for their steps: no sampling, the same readings give the same numbers.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import gamma, pi, sqrt
from typing import TYPE_CHECKING

import numpy as np

from loomwright.rack.health.result import Estimate

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

_STEP = 0.025
_TINY = 1e-300


@dataclass(frozen=True, slots=True, kw_only=True)
class Read:
    """One reading: its day and key (the order of the team's readings), wear [cycles], logarithm of share, doubt."""

    day: float
    key: str
    wear: float
    log_share: float
    doubt: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Track:
    """One battery's readings in order of time, its wear now, and the logarithms of share that it is held against."""

    reads: tuple[Read, ...]
    wear: float
    limits: tuple[float, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Supposed:
    """What is supposed before any reading: levels of a class and of its batteries, slopes, errors, changes."""

    least: float
    most: float
    class_doubt: float
    spreads: tuple[float, ...]
    slopes: tuple[float, ...]
    slope: float
    slope_doubt: float
    tail: float
    blunder: float
    change: float
    changed_to: float
    changed_doubt: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Level:
    """One battery: the logarithm of its share now, its slope, the chance of being above each limit (and now, last).

    `above` has a row for every reading, as known then, and one for now, as known now; a column for every limit.
    """

    now: Estimate
    slope: Estimate
    above: tuple[tuple[float, ...], ...]


def levels(tracks: Sequence[Track], supposed: Supposed) -> tuple[Level, ...]:
    """Return the level of every battery of a team, in the order given."""
    if not tracks:
        return ()
    grid = _Grid.of(tracks, supposed)
    read = _read(tracks, grid, supposed)
    told = _told_by_team(tracks, grid, read)
    return tuple(_level(track, n, grid, read, told[n]) for n, track in enumerate(tracks))


@dataclass(frozen=True, slots=True)
class _Grid:
    """Axes: battery n; level at its middle wear a; slope b; level and spread of the team m.

    `of_new` are the chances of a new battery's level (a) given the team's (m). `new_cell` is the cell of `level` where
    a battery of (n, a, b) began, `inside` whether there is one.
    """

    level: Floats
    slope: Floats
    slope_chance: Floats
    team_chance: Floats
    of_new: Floats
    changed: Floats
    middle_wear: Floats
    new_cell: NDArray[np.int64]
    inside: NDArray[np.bool_]

    @classmethod
    def of(cls, tracks: Sequence[Track], supposed: Supposed) -> _Grid:
        level = np.arange(supposed.least, supposed.most + _STEP / 2, _STEP)
        slope = np.array(supposed.slopes)
        slope_chance = _bell(slope, supposed.slope, supposed.slope_doubt)
        middles = np.array([np.mean([one.wear for one in t.reads]) if t.reads else t.wear for t in tracks])
        shift = np.rint(middles[:, None] * slope[None, :] / _STEP).astype(np.int64)
        cell = np.arange(len(level))[None, :, None] - shift[:, None, :]
        team_at = np.linspace(-3.0, 3.0, 25) * supposed.class_doubt
        of_new = [_bell(level, at, spread) for spread in supposed.spreads for at in team_at]
        return cls(
            level=level,
            slope=slope,
            slope_chance=slope_chance,
            team_chance=np.tile(_bell(team_at, 0.0, supposed.class_doubt), len(supposed.spreads))
            / len(supposed.spreads),
            of_new=np.array(of_new).T,
            changed=_bell(level, supposed.changed_to, supposed.changed_doubt)[:, None] * slope_chance[None, :],
            middle_wear=middles,
            new_cell=np.clip(cell, 0, len(level) - 1),
            inside=(cell >= 0) & (cell < len(level)),
        )

    def began(self, new_chance: Floats, n: int) -> Floats:
        """Return the chances of (..., a, b) of a battery, from those of its level when new (..., a)."""
        found: Floats = new_chance[..., self.new_cell[n]] * (self.inside[n] * self.slope_chance)
        return found


@dataclass(frozen=True, slots=True)
class _Taken:
    """What the first k readings of battery n say of (a, b): still the `same`, or another since; times exp(`scale`)."""

    same: Floats
    other: Floats
    scale: Floats


def _read(tracks: Sequence[Track], grid: _Grid, supposed: Supposed) -> _Taken:
    """Read all batteries side by side, a reading of each at a time."""
    most = max(len(track.reads) for track in tracks)
    shape = (most + 1, len(tracks), len(grid.level), len(grid.slope))
    same, other, scale = np.ones(shape), np.zeros(shape), np.zeros(shape[:2])
    began = np.array([grid.began(grid.of_new @ grid.team_chance, n) for n in range(len(tracks))])
    for k in range(1, most + 1):
        here = np.array([n for n, track in enumerate(tracks) if len(track.reads) >= k])
        chance = _chance_of([tracks[n].reads[k - 1] for n in here], grid, here, supposed)
        was, moved = same[k - 1, here], other[k - 1, here]
        change = 0.0 if k == 1 else supposed.change
        mass = (was * began[here]).sum(axis=(1, 2)) + moved.sum(axis=(1, 2))
        was = (1 - change) * was * chance
        moved = ((1 - change) * moved + change * mass[:, None, None] * grid.changed) * chance
        total = (was * began[here]).sum(axis=(1, 2)) + moved.sum(axis=(1, 2)) + _TINY
        same[k, here] = was / total[:, None, None]
        other[k, here] = moved / total[:, None, None]
        scale[k, here] = scale[k - 1, here] + np.log(total)
    return _Taken(same, other, scale)


def _chance_of(reads: Sequence[Read], grid: _Grid, here: NDArray[np.int64], supposed: Supposed) -> Floats:
    """Return the density of one reading each of some batteries, for every (n, a, b)."""
    y, doubt, wear = (np.array([getattr(one, name) for one in reads]) for name in ("log_share", "doubt", "wear"))
    aged = (wear - grid.middle_wear[here])[:, None, None] * grid.slope[None, None, :]
    off = (y[:, None, None] - grid.level[None, :, None] - aged) / doubt[:, None, None]
    tail = supposed.tail
    area = gamma(tail / 2) / gamma((tail + 1) / 2) * sqrt(tail * pi)
    sound = (1 + off * off / tail) ** (-(tail + 1) / 2) / (area * doubt[:, None, None])
    found: Floats = (1 - supposed.blunder) * sound + supposed.blunder / (supposed.most - supposed.least)
    return found


def _told_by_team(tracks: Sequence[Track], grid: _Grid, read: _Taken) -> list[Floats]:
    """Return what the others lead to expect of each new battery (k, a): at each of its readings, and now (last)."""
    ends = [len(track.reads) for track in tracks]
    evidence = [_evidence(n, end, grid, read) for n, end in enumerate(ends)]
    order = sorted((one.day, one.key, n, k) for n, track in enumerate(tracks) for k, one in enumerate(track.reads, 1))
    steps = [evidence[n][k] - evidence[n][k - 1] for _, _, n, k in order]
    team = np.cumsum(np.array([np.log(grid.team_chance), *steps]), axis=0)
    told = []
    for n, end in enumerate(ends):
        at = [place for place, (_, _, of, _) in enumerate(order, 1) if of == n]
        others = team[[*at, -1]] - evidence[n][[*range(1, end + 1), end]]
        chance = np.exp(others - others.max(axis=1, keepdims=True))
        told.append((chance / chance.sum(axis=1, keepdims=True)) @ grid.of_new.T)
    return told


def _evidence(n: int, end: int, grid: _Grid, read: _Taken) -> Floats:
    """Return how well each level and spread of the team explains the first k readings of a battery (k, m), as a log."""
    weighted = read.same[: end + 1, n] * (grid.inside[n] * grid.slope_chance)
    new = np.zeros((end + 1, len(grid.level)))
    for b in range(len(grid.slope)):
        inside = grid.inside[n][:, b]
        new[:, grid.new_cell[n][inside, b]] += weighted[:, inside, b]
    found: Floats = np.log(new @ grid.of_new + read.other[: end + 1, n].sum(axis=(1, 2))[:, None] + _TINY)
    return found + read.scale[: end + 1, n][:, None]


def _level(track: Track, n: int, grid: _Grid, read: _Taken, told: Floats) -> Level:
    end = len(track.reads)
    ks = [*range(1, end + 1), end]
    chance = read.same[ks, n] * grid.began(told, n) + read.other[ks, n]
    chance /= chance.sum(axis=(1, 2), keepdims=True)
    wear = np.array([*(one.wear for one in track.reads), track.wear]) - grid.middle_wear[n]
    at = grid.level[None, :, None] + wear[:, None, None] * grid.slope[None, None, :]
    above = [(chance * np.clip((at - limit) / _STEP + 0.5, 0.0, 1.0)).sum(axis=(1, 2)) for limit in track.limits]
    return Level(
        now=_estimate(at[-1].ravel(), chance[-1].ravel(), _STEP),
        slope=_estimate(grid.slope, chance[-1].sum(axis=0), float(grid.slope[1] - grid.slope[0])),
        above=tuple(tuple(float(one[k]) for one in above) for k in range(end + 1)),
    )


def _estimate(at: Floats, chance: Floats, step: float) -> Estimate:
    """Return the middle and the 90 % range of chances on a grid: each spread evenly over its step."""
    edges = np.arange(at.min() - 1.5 * step, at.max() + 1.5 * step, step / 4)
    place = (at - edges[0]) / (step / 4)
    first = place.astype(np.int64)
    part = place - first
    held = np.bincount(first, chance * (1 - part), len(edges)) + np.bincount(first + 1, chance * part, len(edges))
    spread = np.convolve(held, np.full(4, 0.25), mode="same")
    below = np.cumsum(spread) / spread.sum()
    low, middle, high = (float(np.interp(share, below, edges)) for share in (0.05, 0.5, 0.95))
    return Estimate(middle, low, high)


def _bell(at: Floats, middle: float, doubt: float) -> Floats:
    """Return normal chances on a grid; they sum to 1."""
    chance = np.exp(-0.5 * ((at - middle) / doubt) ** 2)
    found: Floats = chance / chance.sum()
    return found
