"""Names in a file of drivers: short enough to be printed, and known to somebody."""

from __future__ import annotations

from types import MappingProxyType
from typing import TYPE_CHECKING, Final

from loomwright.findings import Finding, Place, Severity
from loomwright.wording import listed, nearest, quoted

if TYPE_CHECKING:
    from collections.abc import Iterable

    from loomwright.model.mark import Mark
    from loomwright.robotfile.drivers.book import DriverBook
    from loomwright.robotfile.forms.leaves import Faults

#: Kinds of mechanisms as a match plays them; the compressor runs by its own switch.
KINDS: Final = ("drive", "steering", "lift", "arm", "roller", "flywheel", "climber", "other")
#: Kinds of the robot file that a match plays as another one: sides and modules make one drive.
PLAYED_AS: Final = MappingProxyType({"drive side": "drive", "steered module": "drive"})
#: What a step says beside its wishes; a mechanism of such a name is told by its kind.
STEP_KEYS: Final = ("lasts", "turn", "shots", "air")
_LONGEST: Final = 60


def name_is_good(name: str, mark: Mark, path: str, faults: Faults) -> bool:
    """Tell whether a name can be printed beside a drawing; note a fault where it can't."""
    what = ""
    if len(name) > _LONGEST:
        what = f"This name has {len(name)} characters, and a drawing has room for {_LONGEST}."
    elif name != " ".join(name.split()) or not name.isprintable():
        what = f"The name {quoted(name)} has spaces or signs in it that nobody sees."
    if what:
        faults.add("bad-name", None, what, "Write it short, with single spaces.", mark=mark, path=path[:_LONGEST])
    return not what


def unknown_names(book: DriverBook, mechanisms: Iterable[str], kinds: Iterable[str] = KINDS) -> tuple[Finding, ...]:
    """Tell which wishes are for nobody: no mechanism of this robot is called so, and no kind.

    A kind that this robot has none of is no slip: one file may drive several robots.
    """
    named, known = tuple(mechanisms), frozenset(kinds)
    found = []
    for said in book.said:
        if said.whom in known or said.whom in named:
            continue
        close = nearest(said.whom, (*named, *sorted(known), *STEP_KEYS))
        hint = f"Did you mean {listed([f'`{name}`' for name in close])}? " if close else ""
        place = Place(said.mark.file, said.mark.line, said.mark.column, said.path)
        what = f"No mechanism of this robot is called {quoted(said.whom)}, and no kind: nobody does what is asked."
        fix = f"{hint}Write the name of a mechanism as in robot.yaml, or its kind, such as `drive` or `lift`."
        found.append(Finding("driver-names-nobody", Severity.SHOULD, place, what, fix))
    return tuple(found)
