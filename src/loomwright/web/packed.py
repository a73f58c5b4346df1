"""A body that is made once and sent often: with its tag, and compressed beside plain."""

from __future__ import annotations

import gzip
import hashlib
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from starlette.responses import Response

if TYPE_CHECKING:
    from starlette.datastructures import Headers

#: What a browser may keep, and asks about every time before it shows it.
ASK_FIRST: Final = "private, no-cache"
NEVER_KEEP: Final = "no-store"
FOR_GOOD: Final = "public, max-age=31536000, immutable"
_LEVEL: Final = 6
_WORTH_IT: Final = 400


@dataclass(frozen=True, slots=True)
class Packed:
    """Bytes with their media type and tag; `squeezed` is the same compressed, None where that saves nothing."""

    body: bytes
    kind: str
    tag: str
    squeezed: bytes | None = None


def pack(body: bytes, kind: str, *, tag: str = "", level: int = _LEVEL) -> Packed:
    """Compress a body, where that is worth it; without a tag it gets that of its content."""
    squeezed = gzip.compress(body, level, mtime=0) if len(body) >= _WORTH_IT else None
    saves = squeezed is not None and len(squeezed) < len(body) * 0.9
    return Packed(body, kind, tag or hashlib.sha256(body).hexdigest()[:16], squeezed if saves else None)


def sent(packed: Packed, asked: Headers, *, keep: str, **more: str) -> Response:
    """Return the answer to a request: not changed, compressed or plain (source: rfc-9110-memory)."""
    # Weak, since the compressed bytes are others than the plain ones.
    etag = f'W/"{packed.tag}"'
    headers = {"ETag": etag, "Cache-Control": keep, "Vary": "Accept-Encoding", **more}
    if _knows(asked, etag):
        return Response(None, 304, headers)
    if packed.squeezed is not None and _unpacks(asked):
        return Response(packed.squeezed, 200, {**headers, "Content-Encoding": "gzip"}, packed.kind)
    return Response(packed.body, 200, headers, packed.kind)


def _knows(asked: Headers, etag: str) -> bool:
    told = [one.strip() for line in asked.getlist("if-none-match") for one in line.split(",")]
    return "*" in told or etag in told or etag.removeprefix("W/") in told


def _unpacks(asked: Headers) -> bool:
    for one in ",".join(asked.getlist("accept-encoding")).split(","):
        name, *settings = (part.strip().lower() for part in one.split(";"))
        if name == "gzip":
            return not any(setting.replace(" ", "") in ("q=0", "q=0.0", "q=0.00", "q=0.000") for setting in settings)
    return False
