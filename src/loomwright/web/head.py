"""The head of a request: who sent it, from where, and the headers that the rules look at."""

from __future__ import annotations

from dataclasses import dataclass
from ipaddress import ip_address
from typing import TYPE_CHECKING, Final

from loomwright.web.settings import LAPTOP

if TYPE_CHECKING:
    from collections.abc import Mapping

    from starlette.types import Scope

#: Names of this laptop for itself; browsers never ask the network for them.
LAPTOP_NAMES: Final = frozenset({LAPTOP, "localhost"})


@dataclass(frozen=True, slots=True, kw_only=True)
class Head:
    """A request without its body. `client` is the address it came from, `server` the one of ours that it came to."""

    method: str
    path: str
    scheme: str
    client: str
    server: str
    fields: Mapping[str, tuple[str, ...]]

    @classmethod
    def of(cls, scope: Scope) -> Head:
        """Read the head of a request."""
        fields: dict[str, tuple[str, ...]] = {}
        for name, value in scope["headers"]:
            key = name.decode("latin-1").lower()
            fields[key] = (*fields.get(key, ()), value.decode("latin-1").strip())
        return cls(
            method=scope["method"],
            path=scope["path"],
            scheme=scope.get("scheme", "http"),
            client=(scope.get("client") or ("", 0))[0],
            server=(scope.get("server") or ("", 0))[0],
            fields=fields,
        )

    def one(self, name: str) -> str | None:
        """Return the value of a header that may stand there once; None where it is missing or there twice."""
        values = self.fields.get(name, ())
        return values[0] if len(values) == 1 else None

    @property
    def host(self) -> tuple[str, str]:
        """The name and the port that the sender believes to speak to."""
        name, _, port = (self.one("host") or "").lower().rpartition(":")
        return name, port

    @property
    def from_laptop(self) -> bool:
        """Whether it came from this very machine."""
        try:
            return ip_address(self.client).is_loopback
        except ValueError:
            return False

    @property
    def at_the_laptop(self) -> bool:
        """Whether it came from this machine and calls it by a name of its own.

        A name that the network answers for could lead a browser here in the name of somebody else's page.
        """
        return self.from_laptop and self.host[0] in LAPTOP_NAMES
