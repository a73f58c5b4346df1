"""The door of a shared bench: a code lets in as student or as mentor, and guessing takes too long to be of use.

A join code has six signs of 32: 1e9 codes, of which all addresses together may try 40 a minute. To have tried one in a
hundred thousand of them takes more than four hours, and a code lasts until the bench is started again.
"""

from __future__ import annotations

import hashlib
import hmac
from collections import deque
from math import ceil
from typing import TYPE_CHECKING, Final

from loomwright.records.event import Role
from loomwright.web.refusal import Refusal, RefusedError

if TYPE_CHECKING:
    from loomwright.web.clock import Clock
    from loomwright.web.settings import Limits, Secrets

#: What people write for a sign that looks like it, and between the signs.
_MEANT: Final = str.maketrans({"i": "1", "l": "1", "o": "0", " ": None, "-": None, "\u00a0": None, "\u2011": None})


class Door:
    """Lets in whoever has a code."""

    def __init__(self, codes: Secrets, clock: Clock, limits: Limits) -> None:
        """Open with these codes."""
        self._digests = ((Role.STUDENT, _digest(codes.join_code)), (Role.MENTOR, _digest(codes.mentor_code)))
        self._clock = clock
        self._limits = limits
        self._wrong: deque[tuple[float, str]] = deque()

    def role_for(self, code: str, address: str) -> Role:
        """Return what a code lets in as.

        Raises
        ------
        RefusedError
            Where the code is wrong, or too many were, from this address or from all.
        """
        now = self._clock.running_s()
        self._forget(now)
        if (wait_s := self._wait_s(address, now)) > 0:
            raise RefusedError(_too_many(wait_s))
        given = _digest(code)
        # Each is compared whole, whatever the others said, so that the time it takes tells nothing.
        fits = [role for role, digest in self._digests if hmac.compare_digest(given, digest)]
        if not fits:
            self._wrong.append((now, address))
            raise RefusedError(_WRONG)
        return fits[-1]

    def _forget(self, now: float) -> None:
        while self._wrong and self._wrong[0][0] <= now - self._limits.window_s:
            self._wrong.popleft()

    def _wait_s(self, address: str, now: float) -> float:
        """Return how long until the next try [s]: until one of the wrong ones that fill the measure is forgotten."""
        own = [at for at, who in self._wrong if who == address]
        every = [at for at, _ in self._wrong]
        waits = [
            tries[-most] + self._limits.window_s - now
            for tries, most in ((own, self._limits.tries_each), (every, self._limits.tries_in_all))
            if len(tries) >= most
        ]
        return max(waits, default=0.0)


def spaced(code: str) -> str:
    """Return a code as people read it out: groups of three."""
    return "-".join(code[i : i + 3] for i in range(0, len(code), 3))


def _digest(code: str) -> bytes:
    """Return all codes at the same length, as they were meant."""
    return hashlib.sha256(code.casefold().translate(_MEANT).encode("utf-8", "replace")).digest()


_WRONG: Final = Refusal(
    401,
    "wrong-code",
    "This is not the code.",
    "Look at the laptop's screen; it shows the code of today. Each start of the bench makes a new one.",
    (("WWW-Authenticate", 'Bench realm="join code"'),),
)


def _too_many(wait_s: float) -> Refusal:
    seconds = ceil(wait_s)
    what = "Too many wrong codes came in."
    fix = f"Wait {seconds} s, then type the code that the laptop shows."
    return Refusal(429, "too-many-codes", what, fix, (("Retry-After", str(seconds)),))
