"""Which column of a list of readings tells what: by the columns of a tester, or by headings of our own."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import TYPE_CHECKING, Final

from loomwright.robotfile.lists.headings import Heading, heading_of
from loomwright.robotfile.testers.slots import MEANINGS, SLOTS, TELLING, Slot
from loomwright.units.unit_table import unit_table

if TYPE_CHECKING:
    from loomwright.robotfile.testers.day_form import DayForm
    from loomwright.robotfile.testers.tester import KnownTesters, ListedTester

_BRACKETS: Final = re.compile(r"\s*[\[(][^\])]*[\])]$")


@dataclass(frozen=True, slots=True, kw_only=True)
class Bound:
    """The columns of one table by what they tell, each with the unit of its bare numbers in its heading.

    `when` are the columns of the day and the time; `tester` is None where the headings are our own. `clashes` are
    headings whose own unit is not the one that the tester is said to write.
    """

    at: Mapping[str, Heading]
    when: tuple[Heading, ...]
    tester: ListedTester | None = None
    fixed: Mapping[str, float] = field(default_factory=lambda: MappingProxyType({}))
    form: DayForm | None = None
    nothing: tuple[str, ...] = ()
    clashes: tuple[tuple[Heading, str], ...] = ()


def fits(tester: ListedTester, titles: Sequence[str]) -> bool:
    """Tell whether a head has every column of a tester."""
    return all(_found(title, titles) is not None for title in tester.titles)


def fits_us(titles: Sequence[str]) -> bool:
    """Tell whether a head names a battery and a reading in our own words."""
    held = {heading.name for heading in own_headings(titles)}
    return "battery" in held and any(name in held for name in TELLING if name != "note")


def testers_for(titles: Sequence[str], book: KnownTesters) -> tuple[ListedTester, ...]:
    """Return the testers that a head fits; none where our own words say more of it than any of them."""
    found = [tester for tester in book.testers if fits(tester, titles)]
    own = sum(heading.name in SLOTS for heading in own_headings(titles)) if fits_us(titles) else 0
    return tuple(tester for tester in found if len(tester.titles) >= own)


def bound_to(tester: ListedTester, titles: Sequence[str]) -> Bound:
    """Return the columns of a tester; the head has them all."""
    at: dict[str, Heading] = {}
    clashes: list[tuple[Heading, str]] = []
    for name, column in tester.columns.items():
        number = _found(column.title, titles) or 0
        own = _unit_of(titles[number - 1], SLOTS[name])
        at[name] = Heading(titles[number - 1], name, column.unit or own, number)
        if own and column.unit and not _same_unit(own, column.unit, SLOTS[name]):
            clashes.append((at[name], own))
    when = tuple(Heading(title, "when", "", _found(title, titles) or 0) for title in tester.when)
    return Bound(
        at=at,
        when=when,
        tester=tester,
        fixed=tester.fixed,
        form=tester.form,
        nothing=tester.nothing,
        clashes=tuple(clashes),
    )


def bound_to_us(titles: Sequence[str]) -> Bound:
    """Return the columns that our own words name; of two of one name the first."""
    at: dict[str, Heading] = {}
    for heading in own_headings(titles):
        at.setdefault(heading.name, heading)
    when = tuple(at.pop(name) for name in ("when", "time") if name in at)
    return Bound(at={name: heading for name, heading in at.items() if name in SLOTS}, when=when)


def own_headings(titles: Sequence[str]) -> tuple[Heading, ...]:
    """Return the columns of a head with the slot's name where our own words name one; ends like `_mohm` are units."""
    return tuple(_own(title, column) for column, title in enumerate(titles, 1))


def _own(title: str, column: int) -> Heading:
    heading = heading_of(title, column)
    plain = _plain(title)
    for name, unit in ((plain, ""), (heading.name, heading.unit), _parted(title)):
        if name in MEANINGS and (not unit or SLOTS[MEANINGS[name]].dimensions):
            return Heading(title, MEANINGS[name], unit, column)
    return heading


def _parted(title: str) -> tuple[str, str]:
    """Take the last word of a title for a unit, as in `resistance_mohm` and `Rest voltage mV`."""
    stem, _, last = " ".join(title.replace("_", " ").split()).rpartition(" ")
    slot = SLOTS.get(MEANINGS.get(stem.casefold(), ""))
    known = slot is not None and any(unit_table().find(last, dimension) for dimension in slot.dimensions)
    return (stem.casefold(), last) if known else ("", "")


def _found(title: str, titles: Sequence[str]) -> int | None:
    """Return the number of a column by its title, or by its title without the unit in brackets; None where it lacks."""
    wanted = _plain(title)
    plain = [_plain(each) for each in titles]
    if wanted in plain:
        return plain.index(wanted) + 1
    bare = [_BRACKETS.sub("", each) for each in plain]
    return bare.index(wanted) + 1 if wanted in bare else None


def _plain(title: str) -> str:
    return " ".join(title.replace("_", " ").split()).casefold()


def _unit_of(title: str, slot: Slot) -> str:
    """Return the unit in a title's brackets, "" where what stands there is none of this slot."""
    unit = heading_of(title).unit
    return unit if any(unit_table().find(unit, dimension) for dimension in slot.dimensions) else ""


def _same_unit(one: str, other: str, slot: Slot) -> bool:
    return any(unit_table().find(one, d) == unit_table().find(other, d) is not None for d in slot.dimensions)
