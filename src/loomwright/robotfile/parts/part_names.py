"""From the part classes that a robot file names to the parts: looked up, of the right kind, or told."""

from __future__ import annotations

from types import MappingProxyType
from typing import TYPE_CHECKING, Final

from loomwright.findings import UnreadableInputError
from loomwright.wording import listed, quoted

if TYPE_CHECKING:
    from collections.abc import Mapping

    from loomwright.model.fact import Claim, Fact
    from loomwright.model.part import Part
    from loomwright.robotfile.forms.leaves import Faults
    from loomwright.robotfile.parts.library import Library

_SHOWN_PARTS = 4
#: Kinds that have places of their own in the file, and those places.
NO_THING: Final = {
    "motor": "A motor goes under `mechanisms`.",
    "battery": "The battery goes under `battery`, at the top.",
    "plug": "The battery's plug goes under `battery`, as `plug: ...`.",
    "breaker": "The main breaker goes under `main breaker`; any other follows from what it protects.",
    "fuse": "A fuse follows from what it protects; its rating can be written there as `protection: ...`.",
    "block": "A block goes under `blocks`.",
}


class PartNames:
    """Looks part classes up; names that can't stand where they do are noted as faults."""

    def __init__(self, library: Library, faults: Faults) -> None:
        self._library = library
        self._faults = faults

    def part(
        self,
        said: Fact[str],
        fallback: str,
        path: str,
        *,
        kind: str = "",
        refused: Mapping[str, str] = MappingProxyType({}),
    ) -> Part:
        """Look up a part class; an unknown name or a wrong kind is a fault, anything not settled is the family.

        `kind` is the kind of part that belongs here, empty where many do; `refused` are kinds that do not,
        each with what to do instead.
        """
        found = [self._look_up(claim, path, kind, refused) for claim in said.said]
        family = self._library.part(fallback)
        assert family is not None  # noqa: S101  the shipped catalogue has every family; a test holds it
        return (found[0] if said.value is not None else None) or family

    def _look_up(self, claim: Claim[str], path: str, kind: str, refused: Mapping[str, str]) -> Part | None:
        try:
            part = self._library.part(claim.value)
        except UnreadableInputError as error:
            self._faults.found += error.faults
            return None
        if part is None:
            close = self._library.nearest(claim.value) or self._some_of(kind)
            hint = f"Did you mean {listed([f'`{name}`' for name in close])}? " if close else ""
            self._faults.add(
                "unknown-part",
                None,
                f"There is no part {quoted(claim.value)}, neither shipped nor in this robot's parts folder.",
                f"{hint}docs/parts.md lists all parts, and shows how to write your own.",
                mark=claim.mark,
                path=path,
            )
        elif kind and part.kind != kind:
            self._faults.add(
                "wrong-kind-of-part",
                None,
                f"{part.id} is {_a(part.kind)}, and {_a(kind)} belongs here.",
                f"Write for example {listed([f'`{name}`' for name in self._some_of(kind)])}.",
                mark=claim.mark,
                path=path,
            )
            return None
        elif part.kind in refused:
            self._faults.add(
                "wrong-kind-of-part",
                None,
                f"{part.id} is {_a(part.kind)}, and it can't stand here.",
                refused[part.kind],
                mark=claim.mark,
                path=path,
            )
            return None
        return part

    def _some_of(self, kind: str) -> list[str]:
        """Return a few part classes of one kind, to show what belongs here."""
        ids = [name for name in self._library.ids() if name.startswith(f"{kind}/") and "/any" not in name]
        return ids[:_SHOWN_PARTS] if kind else []


def _a(kind: str) -> str:
    article = "an" if kind[0] in "aeiou" else "a"
    return f"{article} {kind}"
