"""One value that can't be understood, and several of them told as one."""

from __future__ import annotations

from contextlib import contextmanager
from typing import TYPE_CHECKING

from loomwright.units import QuantityError

if TYPE_CHECKING:
    from collections.abc import Iterator

    from loomwright.robotfile.forms.leaves import Faults, Raw


class NotReadableError(ValueError):
    """One value that can't be understood: a code, what is wrong, how to fix it, and where if not at its head.

    `others` are further faults of the same value.
    """

    def __init__(
        self, code: str, what: str, fix: str, spot: Raw | None = None, others: tuple[NotReadableError, ...] = ()
    ) -> None:
        super().__init__(what)
        self.code, self.what, self.fix, self.spot, self.others = code, what, fix, spot, others

    def note(self, faults: Faults, raw: Raw) -> None:
        """Note this and its others; `raw` is the place of those that have none of their own."""
        for fault in (self, *self.others):
            faults.add(fault.code, fault.spot or raw, fault.what, fault.fix)


class Together:
    """Lets several readings fail and raises all of their faults at once.

    Read each piece inside `reading(its place)`, then call `settle`.
    """

    def __init__(self) -> None:
        self._wrong: list[NotReadableError] = []

    @contextmanager
    def reading(self, spot: Raw) -> Iterator[None]:
        """Keep what goes wrong inside, at this place unless the fault names one itself."""
        try:
            yield
        except QuantityError as error:
            self._wrong.append(NotReadableError("bad-value", error.what, error.fix, spot))
        except NotReadableError as error:
            self._wrong += [
                NotReadableError(fault.code, fault.what, fault.fix, fault.spot or spot)
                for fault in (error, *error.others)
            ]

    def settle(self) -> None:
        """Raise NotReadableError if anything went wrong."""
        if self._wrong:
            first, *rest = self._wrong
            raise NotReadableError(first.code, first.what, first.fix, first.spot, tuple(rest))
