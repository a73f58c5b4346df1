"""drivers.yaml: how the team drives, for the match study; without it, shipped drivers are used."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache
from importlib.resources import files
from typing import TYPE_CHECKING, Final

from loomwright.findings import UnreadableInputError
from loomwright.match.driver import Driver
from loomwright.robotfile.drivers.book import DriverBook, Said
from loomwright.robotfile.drivers.cycles import CycleReader
from loomwright.robotfile.drivers.names import name_is_good
from loomwright.robotfile.drivers.phases import PHASES_FORM, PhaseReader
from loomwright.robotfile.drivers.ranges import read_or_note, weight
from loomwright.robotfile.forms.leaves import Branch, Faults, plain
from loomwright.robotfile.marked.yaml_tree import read_tree
from loomwright.robotfile.parts.part_fields import Fields
from loomwright.wording import listed, natural, nearest, quoted

if TYPE_CHECKING:
    from collections.abc import Iterable

    from loomwright.match.driver import Cycle, Phase
    from loomwright.robotfile.forms.leaves import Raw

NAME: Final = "drivers.yaml"
_KEYS = ("drivers", "cycles")
_DRIVER_KEYS = ("weight", "note", "source", "phases")
_DRIVERS_FORM = "Write `drivers: {ours: {phases: ...}}`; docs/drivers.md shows a whole file."
_CYCLES_FORM = "Write `cycles: {score: [{sprint: {lasts: 2 s, drive: 100 %}}]}`."
_NONE: Final = DriverBook(())


def read_drivers(data: bytes | None, *, file: str = NAME) -> DriverBook:
    """Read a team's drivers, by name; without a file, those that come with the tool.

    A driver without `phases` is the shipped one of its name, with what else is said laid over it.

    Raises
    ------
    UnreadableInputError
        With the first fault of YAML itself, or with every fault of the content.
    """
    shipped = shipped_drivers()
    if data is None:
        return shipped
    return _read(data, file, shipped)


@lru_cache(maxsize=1)
def shipped_drivers() -> DriverBook:
    """Return the drivers that come with the tool; each has a file of its own."""
    folder = files("loomwright") / "data" / "drivers"
    names = sorted(entry.name for entry in folder.iterdir() if entry.name.endswith(".yaml"))
    books = [_read(folder.joinpath(name).read_bytes(), f"shipped/{name}", _NONE) for name in names]
    return DriverBook(
        tuple(driver for book in books for driver in book.drivers),
        tuple(source for book in books for source in book.sources),
        file="shipped",
    )


def _read(data: bytes, file: str, below: DriverBook) -> DriverBook:
    root = plain(read_tree(data, file=file))
    reading = _Reading(Fields(root, Faults(), what="a file of drivers", keys=_KEYS), below)
    book = reading.book(file)
    if reading.faults.found:
        raise UnreadableInputError(reading.faults.in_order())
    return book


@dataclass(slots=True)
class _Reading:
    """One file of drivers as it is read; `below` are the drivers that it may take over."""

    fields: Fields
    below: DriverBook

    @property
    def faults(self) -> Faults:
        return self.fields.faults

    def book(self, file: str) -> DriverBook:
        """Read the whole file; faults are noted, never raised."""
        raw = self.fields.get("drivers")
        if not isinstance(raw, Branch) or not raw:
            self._missing("drivers", raw, "This file has no drivers.", _DRIVERS_FORM)
            raw = None
        reader = CycleReader(self.faults)
        written = self.fields.get("cycles")
        cycles: dict[str, Cycle] = {}
        if isinstance(written, Branch) and written:
            cycles = reader.cycles(written)
        elif written is not None or raw is None or self._some_phases(raw):
            self._missing("cycles", written, "This file has no cycles, so there is nothing to drive.", _CYCLES_FORM)
        names = tuple(written) if isinstance(written, Branch) else ()
        drivers, sources = self._drivers(raw, cycles, names) if raw is not None else ([], [])
        return DriverBook(tuple(drivers), tuple(sources), _in_order(reader.said.values()), file)

    def _missing(self, key: str, raw: Raw | None, what: str, fix: str) -> None:
        if raw is None:
            self.fields.fault_here("missing-key", what, fix)
        else:
            self.fields.fault_at_key(key, "missing-key", what, fix)

    def _some_phases(self, raw: Branch) -> bool:
        """Tell whether a driver has phases of its own, so that cycles are needed."""
        return any(isinstance(held, Branch) and "phases" in held for held in raw.values())

    def _drivers(
        self, raw: Branch, cycles: dict[str, Cycle], names: tuple[str, ...]
    ) -> tuple[list[Driver], list[tuple[str, str]]]:
        drivers, sources = [], []
        for name in sorted(raw, key=natural):
            good = name_is_good(name, raw.key_marks[name], f"{raw.path}.{name}", self.faults)
            fields = Fields(raw[name], self.faults, what=f"the driver {quoted(name)}", keys=_DRIVER_KEYS)
            driver = self._driver(name, fields, cycles, names)
            if good and driver is not None:
                drivers.append(driver)
                taken = "" if "phases" in fields else dict(self.below.sources).get(name, "")
                sources.append((name, fields.text("source") or taken))
        if drivers and len(drivers) == len(raw) and not any(driver.weight for driver in drivers):
            what = "Every driver has the weight 0, so nobody drives."
            self.fields.fault_at_key("drivers", "no-weight", what, "Give one of them a weight, such as `weight: 1`.")
        return drivers, sources

    def _driver(self, name: str, fields: Fields, cycles: dict[str, Cycle], names: tuple[str, ...]) -> Driver | None:
        said = fields.get("weight")
        often = read_or_note(said, weight, self.faults) if said is not None else None
        note = fields.text("note")
        raw = fields.get("phases")
        known = next((driver for driver in self.below.drivers if driver.name == name), None)
        if raw is not None:
            phases = PhaseReader(self.faults, names).phases(raw)
            driver = Driver(name, note, 1.0, phases, _used(phases, cycles))
        elif known is not None:
            driver = replace(known, note=note or known.note)
        else:
            if isinstance(fields.spot, Branch):
                shipped_names = sorted(driver.name for driver in self.below.drivers)
                shipped = f"Only {listed(shipped_names, 'and')} come with the tool. " if shipped_names else ""
                close = nearest(name, shipped_names, limit=1)
                hint = f"Did you mean `{close[0]}`? " if close else ""
                what = f"The driver {quoted(name)} has no phases."
                fields.fault_here("missing-key", what, f"{hint}{shipped}{PHASES_FORM}")
            return None
        return driver if often is None else replace(driver, weight=often)


def _used(phases: tuple[Phase, ...], cycles: dict[str, Cycle]) -> tuple[Cycle, ...]:
    """Return the cycles that these phases drive, by name."""
    wanted = {name for phase in phases for name, _ in phase.cycles}
    return tuple(cycles[name] for name in sorted(wanted) if name in cycles)


def _in_order(said: Iterable[Said]) -> tuple[Said, ...]:
    return tuple(sorted(said, key=lambda one: (one.mark.line, one.mark.column)))
