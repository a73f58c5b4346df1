"""testers.yaml: which columns the team's testers write, so that a list of theirs can be read as it comes."""

from __future__ import annotations

from dataclasses import dataclass, field
from types import MappingProxyType
from typing import TYPE_CHECKING, Final

from loomwright.findings import UnreadableInputError
from loomwright.robotfile.drivers.names import name_is_good
from loomwright.robotfile.forms.leaves import Branch, Faults, Row, plain
from loomwright.robotfile.forms.not_readable import NotReadableError
from loomwright.robotfile.marked.yaml_tree import read_tree
from loomwright.robotfile.parts.part_fields import Fields
from loomwright.robotfile.testers.day_form import DayForm, day_form
from loomwright.robotfile.testers.slots import SLOTS, TELLING, Slot
from loomwright.robotfile.testers.tester import NAME, Column, KnownTesters, ListedTester
from loomwright.units import QuantityError, read
from loomwright.units.unit_table import unit_table
from loomwright.wording import listed, natural, nearest, quoted

if TYPE_CHECKING:
    from collections.abc import Mapping

    from loomwright.robotfile.forms.leaves import Raw

#: What may stand inside a reading, and which slot each of it is.
_AROUND: Final = MappingProxyType({name: name for name in ("since charge", "since load", "temperature")})
_INSIDE: Final = MappingProxyType(
    {
        "rest voltage": _AROUND,
        "resistance": {"low": "low current", "high": "high current", **_AROUND},
        "voltage under load": {"load": "load", "for": "load time", **_AROUND},
        "voltage under second load": {"load": "second load"},
        "load test": {"load": "load test load", "for": "load test time", **_AROUND},
        "capacity test": {"load": "capacity test load", "down to": "capacity test end", "temperature": "temperature"},
        "end voltage": {"for": "charge time", "current": "charge current", "put in": "charge put in"},
    }
)
#: Shorter words for some slots.
_SHORT: Final = MappingProxyType(
    {"rest": "rest voltage", "loaded": "voltage under load", "loaded again": "voltage under second load"}
)
_KEYS: Final = (*_SHORT, *(name for name in SLOTS if name != "time"), "nothing")
_FORM: Final = "Write `bench tester: {battery: Label, when: Date, rest: {column: OCV, unit: V}}`."
_LONGEST: Final = 120


def read_testers(data: bytes | None, *, file: str = NAME) -> KnownTesters:
    """Read the testers of a team; none without a file.

    Raises
    ------
    UnreadableInputError
        With the first fault of YAML itself, or with every fault of the content.
    """
    if data is None:
        return KnownTesters(file=file)
    root = plain(read_tree(data, file=file))
    faults = Faults()
    testers: list[ListedTester] = []
    if isinstance(root, Branch) and root:
        testers = [tester for name in root if (tester := _tester(name, root, faults)) is not None]
        _same_names(root, faults)
    else:
        faults.add("bad-form", root, "This file has no testers.", _FORM)
    if faults.found:
        raise UnreadableInputError(faults.in_order())
    return KnownTesters(tuple(sorted(testers, key=lambda tester: natural(tester.name))), file)


def _same_names(root: Branch, faults: Faults) -> None:
    held: dict[str, str] = {}
    for name in root:
        first = held.setdefault(name.casefold(), name)
        if first != name:
            what = f"{quoted(first)} and {quoted(name)} differ in large and small letters only."
            faults.add("name-twice", None, what, "Give one of them another name.", mark=root.key_marks[name], path=name)


def _tester(name: str, root: Branch, faults: Faults) -> ListedTester | None:
    good = name_is_good(name, root.key_marks[name], name, faults)
    fields = Fields(root[name], faults, what=f"the tester {quoted(name)}", keys=_KEYS)
    if not isinstance(root[name], Branch):
        return None
    reading = _Reading(fields)
    when, form = reading.when()
    for key in root[name]:
        if key in _KEYS and key not in ("when", "nothing"):
            reading.slot(key)
    reading.settle()
    if not good or not when or not reading.columns:
        return None
    return ListedTester(
        name=name,
        when=when,
        columns=MappingProxyType(reading.columns),
        fixed=MappingProxyType(reading.fixed),
        form=form,
        nothing=tuple(word.casefold() for word in fields.texts("nothing")),
    )


@dataclass(slots=True)
class _Reading:
    """One tester as it is read; faults are noted, never raised."""

    fields: Fields
    columns: dict[str, Column] = field(default_factory=dict)
    fixed: dict[str, float] = field(default_factory=dict)

    def when(self) -> tuple[tuple[str, ...], DayForm | None]:
        """Read which columns tell when, and in which form."""
        raw = self.fields.get("when")
        if not isinstance(raw, Branch):
            return (self.fields.texts("when") if raw is not None else ()), None
        inner = Fields(raw, self.fields.faults, what="`when`", keys=("column", "form"))
        titles = inner.texts("column")
        if not titles:
            inner.fault_here("missing-key", "`when` names no column.", "Write `when: {column: Date}`.")
        said = inner.get("form")
        return titles, None if said is None else inner.read(said, day_form)

    def slot(self, key: str) -> None:
        """Read one key: a column's title for a text; a column with its unit, or a fixed amount, for an amount."""
        slot, raw = SLOTS[_SHORT.get(key, key)], self.fields.get(key)
        if raw is None or isinstance(raw, Row):
            self.fields.fault_at_key(key, "bad-form", f"{quoted(key)} is no list.", "Write one column.")
        elif isinstance(raw, Branch):
            self._column(slot, raw, key, _INSIDE.get(slot.name, {}))
        elif slot.dimensions:
            self._amount(slot, raw, key)
        else:
            title = self.fields.read(raw, _title)
            self._keep(slot, raw, None if title is None else Column(title))

    def settle(self) -> None:
        """Note what a tester can't be without."""
        if "battery" not in self.fields:
            what = "This tester does not say which column has the battery's label."
            self.fields.fault_here("missing-key", what, "Write `battery: Label`, with the title of that column.")
        if "when" not in self.fields:
            what = "This tester does not say which column has the day."
            self.fields.fault_here("missing-key", what, "Write `when: Date`, with the title of that column.")
        if not any(_SHORT.get(key, key) in TELLING and key != "note" and key in self.fields for key in _KEYS):
            what = "This tester reads nothing."
            fix = "Write a reading with its column, as `rest: {column: OCV, unit: V}`."
            self.fields.fault_here("missing-key", what, fix)

    def _column(self, slot: Slot, raw: Branch, key: str, inside: Mapping[str, str]) -> None:
        keys = ("column", *(("unit",) if slot.dimensions else ()), *inside)
        inner = Fields(raw, self.fields.faults, what=f"{quoted(key)} of a tester", keys=keys)
        title = inner.get("column")
        if title is None:
            what = f"{quoted(key)} names no column."
            inner.fault_here("missing-key", what, f"Write `{key}: {{column: ...}}`, with its title.")
        else:
            text, unit = inner.read(title, _title), inner.get("unit")
            told = "" if unit is None else inner.read(unit, lambda said: _unit(said, slot))
            self._keep(slot, raw, None if text is None or told is None else Column(text, told))
        for word, name in inside.items():
            said = inner.get(word)
            if isinstance(said, Branch):
                self._column(SLOTS[name], said, word, {})
            elif said is not None:
                self._amount(SLOTS[name], said, word)

    def _amount(self, slot: Slot, raw: Raw, key: str) -> None:
        if slot.name in TELLING:
            what = f"{quoted(key)} is read anew for each battery, so it can't be one amount."
            self.fields.fault("bad-form", raw, what, f"Write `{key}: {{column: ..., unit: ...}}`.")
            return
        amount = self.fields.read(raw, lambda text: read(text, slot.dimensions[0]))
        self._keep(slot, raw, amount)

    def _keep(self, slot: Slot, raw: Raw, told: Column | float | None) -> None:
        """Keep what a slot is; the same may be said twice, something else may not."""
        before = self.columns.get(slot.name, self.fixed.get(slot.name))
        if told is None:
            return
        if before is not None and before != told:
            what = f"{quoted(slot.name)} is said twice, and not the same."
            self.fields.fault("said-twice", raw, what, "Say it once, beside the readings: it holds for all of a row.")
        elif isinstance(told, Column):
            self.columns[slot.name] = told
        else:
            self.fixed[slot.name] = told


def _title(text: str) -> str:
    tidy = " ".join(text.split())
    if not tidy or len(tidy) > _LONGEST:
        what = f"A title has 1 to {_LONGEST} characters, and this has {len(tidy)}."
        raise NotReadableError("bad-title", what, "Write the title as it stands above the column.")
    return tidy


def _unit(text: str, slot: Slot) -> str:
    """Read a unit of a slot; raise QuantityError."""
    table = unit_table()
    if any(table.find(text, dimension) for dimension in slot.dimensions):
        return text
    known = [unit for dimension in slot.dimensions for unit in table.reach[dimension].examples]
    close = nearest(text, [word for dimension in slot.dimensions for word in table.exact[dimension]], limit=1)
    hint = f"Did you mean `{close[0]}`? " if close else ""
    raise QuantityError(
        f"{quoted(text)} is no unit of {slot.name}.", f"{hint}Write {listed([f'`{u}`' for u in known])}."
    )
