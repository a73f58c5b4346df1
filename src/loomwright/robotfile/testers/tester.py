"""A tester as the team describes it: which of its columns tells what, and what it never writes down."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Final

from loomwright.robotfile.testers.day_form import DayForm

NAME: Final = "testers.yaml"


@dataclass(frozen=True, slots=True)
class Column:
    """A column by its title, and the unit of its bare numbers, "" where the title or each cell has one."""

    title: str
    unit: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class ListedTester:
    """One tester: `columns` and `fixed` amounts (in base units) by what they tell (`slots.SLOTS`).

    `when` are the titles of one column or two, day and time; `form` is how they are written, None for the usual forms.
    A cell that holds one of `nothing` is empty.
    """

    name: str
    when: tuple[str, ...]
    columns: Mapping[str, Column]
    fixed: Mapping[str, float] = field(default_factory=lambda: MappingProxyType({}))
    form: DayForm | None = None
    nothing: tuple[str, ...] = ()

    @property
    def titles(self) -> tuple[str, ...]:
        """The titles that a list of this tester has, each once."""
        return tuple(dict.fromkeys((*(column.title for column in self.columns.values()), *self.when)))


@dataclass(frozen=True, slots=True)
class KnownTesters:
    """The testers of a team by name, and the file that describes them."""

    testers: tuple[ListedTester, ...] = ()
    file: str = NAME

    def named(self, name: str) -> ListedTester | None:
        """Return a tester by its name in whatever case, None where there is none."""
        plain = " ".join(name.split()).casefold()
        return next((tester for tester in self.testers if tester.name.casefold() == plain), None)
