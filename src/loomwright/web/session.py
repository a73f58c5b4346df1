"""Who somebody is let in as, carried in a cookie that only this run of the bench can have signed.

The key is made anew at every start and stands nowhere, so that a cookie of a former run opens nothing. Whoever joined
then joins again; what their phone kept is sent after that.
"""

from __future__ import annotations

import hashlib
import hmac
import json
import secrets
from base64 import urlsafe_b64decode, urlsafe_b64encode
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from loomwright.records.event import Role

if TYPE_CHECKING:
    from collections.abc import Callable

    from loomwright.web.clock import Clock

_PURPOSE: Final = b"loomwright bench session 1\0"
_LONGEST: Final = 600
_NONCE_BYTES: Final = 12


@dataclass(frozen=True, slots=True)
class Seat:
    """Somebody at the bench: the role, and the initials or nickname they joined under ("" at the laptop itself).

    `nonce` names the session, which began at `since_s` of the clock that runs on [s]; "" is the laptop's own, which
    needs none and lasts.
    """

    role: Role
    who: str = ""
    nonce: str = ""
    since_s: float = 0.0


#: Whoever sits at the laptop: no cookie, no code.
AT_THE_LAPTOP: Final = Seat(Role.MENTOR)


def _nonce() -> str:
    return secrets.token_urlsafe(_NONCE_BYTES)


class Sessions:
    """Makes and reads the cookies of one run (source: rfc-2104-memory, fips-180-4-memory)."""

    def __init__(self, key: bytes, clock: Clock, *, lifetime_s: float, nonce: Callable[[], str] = _nonce) -> None:
        """Sign with this key; a session lasts so long [s]."""
        self._key = key
        self._clock = clock
        self._lifetime_s = lifetime_s
        self._nonce = nonce
        self._ended: set[str] = set()

    def begin(self, role: Role, who: str) -> str:
        """Return the cookie of a new session."""
        told = [str(role), who, self._nonce(), self._clock.running_s()]
        body = urlsafe_b64encode(json.dumps(told, separators=(",", ":")).encode()).rstrip(b"=")
        return f"{body.decode()}.{self._signature(body)}"

    def seat(self, cookie: str) -> Seat | None:
        """Return who a cookie says somebody is; None where it is not ours, has run out or was ended."""
        body, _, signature = cookie.partition(".")
        if len(cookie) > _LONGEST or not cookie.isascii():
            return None
        if not hmac.compare_digest(signature, self._signature(body.encode())):
            return None
        role, who, nonce, since_s = json.loads(urlsafe_b64decode(f"{body}=="))
        seat = Seat(Role(role), who, nonce, since_s)
        return seat if self.counts(seat) else None

    def counts(self, seat: Seat) -> bool:
        """Tell whether a seat is still somebody's."""
        if not seat.nonce:
            return True
        return seat.nonce not in self._ended and 0 <= self._clock.running_s() - seat.since_s <= self._lifetime_s

    def end(self, seat: Seat) -> None:
        """Let a session count no more, wherever its cookie is kept."""
        self._ended.add(seat.nonce)

    def _signature(self, body: bytes) -> str:
        return hmac.new(self._key, _PURPOSE + body, hashlib.sha256).hexdigest()
