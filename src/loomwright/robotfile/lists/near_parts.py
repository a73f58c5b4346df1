"""Which part classes a thing could be: by the words that it is called by, and by the slots that others have on it."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING, Final

from loomwright.findings import UnreadableInputError
from loomwright.model.part import Role

if TYPE_CHECKING:
    from loomwright.model.part import Part
    from loomwright.robotfile.parts.library import Library

_WORD: Final = re.compile(r"[0-9]+[a-z]{1,2}\b|[a-z]+")
_SPACED_UNIT: Final = re.compile(r"(?<=[0-9]) (?=[av]\b)")
_COUNT: Final = 3
#: Words that tell nothing apart.
_SMALL: Final = frozenset(
    {"a", "an", "and", "at", "for", "in", "its", "of", "on", "or", "over", "the", "to", "whose", "with"}
)
#: Kinds that a thing under `electronics` and its like can't be.
NO_THINGS: Final = frozenset(("battery", "block", "breaker", "controller", "fuse", "motor", "plug"))


class NearParts:
    """Looks for the nearest part classes in a library; a part file that can't be read is passed over."""

    def __init__(self, library: Library) -> None:
        self._parts = dict(_readable(library))

    def of_words(self, texts: Iterable[str]) -> tuple[str, ...]:
        """Return the classes of things that share most words with some texts; none where none shares any."""
        words = _words(texts)
        scored = [(_shared(words, part), part) for part in self._parts.values()]
        found = [(score, part) for score, part in scored if score and part.kind not in NO_THINGS and not part.family]
        best = max((score for score, _ in found), default=0)
        return tuple(sorted(part.id for score, part in found if score == best)[:_COUNT])

    def with_outlets(self, slots: Iterable[str], kinds: Iterable[str] = ()) -> tuple[str, ...]:
        """Return the classes that have all of some slots, those with the fewest slots first."""
        wanted, only = set(slots), set(kinds)
        found = [
            (len(outlets), part.id)
            for part in self._parts.values()
            if wanted <= (outlets := {socket.name for socket in part.with_role(Role.OUTLET)})
            and outlets
            and not part.family
            and (not only or part.kind in only)
        ]
        return tuple(part_id for _, part_id in sorted(found)[:_COUNT])

    def of_kind(self, kind: str) -> tuple[str, ...]:
        """Return all classes of one kind but for its family."""
        return tuple(part.id for part in self._parts.values() if part.kind == kind and not part.family)

    def kind(self, part_id: str) -> str:
        """Return the kind of a class that there is, "" for one that there is not."""
        part = self._parts.get(part_id)
        return part.kind if part is not None else ""


def _readable(library: Library) -> Iterator[tuple[str, Part]]:
    for part_id in library.ids():
        try:
            part = library.part(part_id)
        except UnreadableInputError:
            continue
        if part is not None:
            yield part_id, part


def _shared(words: frozenset[str], part: Part) -> int:
    """Count the words that a part has too; one of its id counts for two of its title."""
    in_id = _words([part.id])
    return 2 * len(words & in_id) + len(words & (_words([part.title]) - in_id))


def _words(texts: Iterable[str]) -> frozenset[str]:
    """Return the words of some texts without their plural s; a number is one with its unit behind it: "5v"."""
    found = {word for text in texts for word in _WORD.findall(_SPACED_UNIT.sub("", text.casefold()))}
    return frozenset(word.removesuffix("s") for word in found if word not in _SMALL)
