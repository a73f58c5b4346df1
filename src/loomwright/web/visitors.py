"""Whether anybody but this laptop has reached the bench: the first thing to know where phones can't."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from loomwright.web.head import Head

_MOST: Final = 1000


class Visitors:
    """Remembers from how many other addresses a request came, joined or not."""

    def __init__(self) -> None:
        """Begin with none."""
        self._addresses: set[str] = set()

    def saw(self, head: Head) -> None:
        """Take notice of a request."""
        if not head.from_laptop and head.client and len(self._addresses) < _MOST:
            self._addresses.add(head.client)

    @property
    def count(self) -> int:
        """So many addresses."""
        return len(self._addresses)
