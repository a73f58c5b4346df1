"""What a check shows in every case, and how a number that is not known for sure falls into outcomes."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, TypeAlias

import numpy as np

if TYPE_CHECKING:
    import numpy.typing as npt

    from loomwright.network import Node

    Floats: TypeAlias = npt.NDArray[np.float64]

#: How near to a limit a reading may be on either side of it, as a share, and how likely the other side then is.
_NEAR = 0.1
_NEAR_V = 0.15
_AS_WELL = 0.6
#: How sharply a resistance counts as above a limit: at half of it one in seventeen does.
_SHARPNESS = 4.0
#: How far a voltage is off for a meter, a battery and a load that are not quite as planned [V].
_SPREAD_V = 0.15


@dataclass(frozen=True, slots=True, kw_only=True)
class Scale:
    """What a meter's number means: its unit ("V", "ohm", "A"), what is healthy, and outcomes up to their limits.

    `bands` stand from the least number to the greatest, each outcome with the number it goes up to.
    """

    unit: str
    healthy: float
    bands: tuple[tuple[str, float], ...]

    def outcomes(self, value: float) -> tuple[tuple[str, float], ...]:
        """Return the outcome of a reading, or two with odds where it is within a tenth of the limit between them."""
        place = next(n for n, (_, most) in enumerate(self.bands) if value <= most)
        found = {self.bands[place][0]: 1.0}
        for other, limit in ((place - 1, self._limit(place - 1)), (place + 1, self._limit(place))):
            if 0 <= other < len(self.bands) and abs(value - limit) <= self._near(limit):
                found[self.bands[other][0]] = _AS_WELL
        return tuple(found.items())

    def _near(self, limit: float) -> float:
        """Return how near to a limit a reading may be on its other side; volts of a battery differ by little."""
        return min(_NEAR * abs(limit), _NEAR_V) if self.unit == "V" else _NEAR * abs(limit)

    def _limit(self, place: int) -> float:
        return self.bands[place][1] if 0 <= place < len(self.bands) - 1 else math.inf


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Shown:
    """One check of a robot: its kind, what it is about, and the chance of each outcome `[case, outcome]`.

    `place` says where, for people. `probes` are the nodes where a meter's red and black probe go, in the network
    `meter` ("alive", "dead", "pulled", "chains"); "" where it stands in none. `scale` is there where a number is read;
    `red` and `black` say in words where the probes go, and `how` how it is done
    where that differs from other checks of its kind; so does `seconds`.
    """

    kind: str
    about: str
    place: str
    chances: Floats
    meter: str = ""
    probes: tuple[Node, Node] | None = None
    scale: Scale | None = None
    red: str = ""
    black: str = ""
    how: str = ""
    seconds: float | None = None

    @property
    def key(self) -> str:
        """The check's name: its kind and what it is about."""
        return f"{self.kind} {self.about}".strip()


def columns(*worse: Floats) -> Floats:
    """Put the chances of all outcomes but the first side by side; the first has what is left to 1."""
    rest = [np.clip(one, 0.0, 1.0) for one in worse]
    shrink = np.maximum(np.sum(rest, axis=0), 1.0)
    rest = [one / shrink for one in rest]
    return np.stack([np.maximum(1 - np.sum(rest, axis=0), 0.0), *rest], axis=1)


def below_ohm(ohm: Floats, limit_ohm: float) -> Floats:
    """Return the chance that a resistance reads below a limit."""
    return np.asarray(1 / (1 + (np.maximum(ohm, 1e-9) / limit_ohm) ** _SHARPNESS), dtype=np.float64)


def below_v(volts: Floats, limit_v: float) -> Floats:
    """Return the chance that a voltage reads below a limit."""
    return np.asarray(1 / (1 + np.exp(np.clip((volts - limit_v) / _SPREAD_V, -500, 500))), dtype=np.float64)
