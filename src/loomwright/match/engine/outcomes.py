"""What a study found, match by match: arrays with names, and nothing decided yet."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from loomwright.match.engine import layout as at
from loomwright.match.engine.arrays import LotArrays

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from loomwright.match.engine.hot import Floats


@dataclass(frozen=True)
class Outcomes:
    """What was drawn for each match, and how it went; columns are named in `layout`.

    Shapes: `matches` (matches, O_COLUMNS), `branches` (matches, branches and main leads, R_COLUMNS), `ways`
    (matches, mechanisms, Y_COLUMNS), `drawn` (matches, D_COLUMNS), `joints` (matches, branches and main leads) [ohm].
    """

    matches: Floats
    branches: Floats
    ways: Floats
    drawn: Floats
    joints: Floats

    def __len__(self) -> int:
        """Tell how many matches there are."""
        return len(self.matches)

    @classmethod
    def empty(cls, drawn: Floats, joints: Floats, branches: int, mechanisms: int) -> Outcomes:
        """Return room for as many matches as were drawn."""
        n = len(drawn)
        return cls(
            np.full((n, at.O_COLUMNS), np.nan),
            np.full((n, branches, at.R_COLUMNS), np.nan),
            np.full((n, mechanisms, at.Y_COLUMNS), np.nan),
            drawn,
            joints,
        )

    def part(self, first: int, end: int) -> Outcomes:
        """Return some of the matches; what is written there is written here."""
        own = slice(first, end)
        return Outcomes(self.matches[own], self.branches[own], self.ways[own], self.drawn[own], self.joints[own])

    @property
    def arrays(self) -> LotArrays:
        """The same arrays, as the kernel takes them."""
        return LotArrays(self.drawn, self.joints, self.matches, self.branches, self.ways)

    @property
    def lowest_v(self) -> Floats:
        """The lowest bus voltage of each match [V]."""
        return self.matches[:, at.O_LOWEST]

    @property
    def browned_out(self) -> NDArray[np.bool_]:
        """Whether outputs were switched off in each match."""
        return self.matches[:, at.O_OFF] > 0

    @property
    def opened(self) -> NDArray[np.bool_]:
        """Whether each breaker opened, the main breaker last: (matches, branches)."""
        return self.branches[:, :, at.R_OPENED] > 0
