"""How one run of the bench is served: to whom, where, with which codes, and how much of anything it takes."""

from __future__ import annotations

import secrets
from dataclasses import dataclass, field
from typing import Final

#: Where the bench is looked for first.
USUAL_PORT: Final = 8340
LAPTOP: Final = "127.0.0.1"
EVERYWHERE: Final = "0.0.0.0"  # noqa: S104  only with --share, where everybody else needs a code
#: Digits and letters of which none looks like another; what people write for them is in `joining`.
ALPHABET: Final = "0123456789abcdefghjkmnpqrstvwxyz"
_JOIN_SIGNS: Final = 6
_MENTOR_SIGNS: Final = 12
_KEY_BYTES: Final = 32


@dataclass(frozen=True, slots=True, kw_only=True)
class Secrets:
    """What is made anew at every start and stands in no file: the codes, and the key that sessions are signed with."""

    join_code: str = field(repr=False)
    mentor_code: str = field(repr=False)
    key: bytes = field(repr=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """How much the bench takes of anything.

    A write has `body_bytes` and has to be here `body_within_s` after its head [s]. A session lasts `session_s` [s]. A
    stream says every `heartbeat_s` that it is there [s]. Of `window_s` [s] each address has `tries_each` wrong codes,
    and all addresses together have `tries_in_all`. Of `streams` no session has more than `streams_each`.
    """

    body_bytes: int = 512_000
    body_within_s: float = 10.0
    session_s: float = 16 * 3600.0
    heartbeat_s: float = 15.0
    streams: int = 64
    streams_each: int = 16
    window_s: float = 60.0
    tries_each: int = 5
    tries_in_all: int = 40


@dataclass(frozen=True, slots=True, kw_only=True)
class Settings:
    """One run: `share` lets the local network in, at `address` ("" where there is none) and under `names`."""

    secrets: Secrets
    port: int = USUAL_PORT
    share: bool = False
    address: str = ""
    names: tuple[str, ...] = ()
    limits: Limits = field(default_factory=Limits)

    @property
    def host(self) -> str:
        """The address to listen on."""
        return EVERYWHERE if self.share else LAPTOP

    @property
    def cookie(self) -> str:
        """The name of the session's cookie; cookies do not know ports, so that two benches need two names."""
        return f"bench-{self.port}"

    @property
    def laptop_url(self) -> str:
        """Where the browser of this laptop finds the bench."""
        return f"http://{LAPTOP}:{self.port}/"

    @property
    def phone_url(self) -> str:
        """Where phones find it; "" where they can't."""
        return f"http://{self.address}:{self.port}/" if self.share and self.address else ""


def fresh_secrets() -> Secrets:
    """Make codes and a key that nobody can guess."""
    return Secrets(join_code=_code(_JOIN_SIGNS), mentor_code=_code(_MENTOR_SIGNS), key=secrets.token_bytes(_KEY_BYTES))


def _code(signs: int) -> str:
    return "".join(secrets.choice(ALPHABET) for _ in range(signs))
