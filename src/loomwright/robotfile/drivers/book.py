"""What a file of drivers holds: the drivers, where each comes from, and whom their wishes are for."""

from __future__ import annotations

import hashlib
import json
from dataclasses import asdict, dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from loomwright.match.driver import Driver
    from loomwright.model.mark import Mark


@dataclass(frozen=True, slots=True)
class Said:
    """A kind or name that wishes are for, and where it is written first."""

    whom: str
    mark: Mark
    path: str


@dataclass(frozen=True, slots=True)
class DriverBook:
    """The drivers of a match study by name; `sources` are (driver, key of docs/sources.toml or the team's own words).

    `said` is empty for shipped drivers: they speak to kinds alone.
    """

    drivers: tuple[Driver, ...]
    sources: tuple[tuple[str, str], ...] = ()
    said: tuple[Said, ...] = ()
    file: str = "drivers.yaml"

    @property
    def digest(self) -> str:
        """A digest of how they drive: the order of keys, comments and the way a time is written change nothing."""
        told = json.dumps([asdict(driver) for driver in self.drivers], sort_keys=True, separators=(",", ":"))
        return hashlib.sha256(told.encode("ascii")).hexdigest()[:16]
