"""What is refused by the head of a request alone, before anything of it is read or worked on.

Host: a page of a stranger whose name was made to lead here (rebinding) calls us by that name. Origin, Sec-Fetch-Site,
the header of our own and JSON: a page of a stranger can't send them as our own pages do, and no program of ours answers
when a browser asks whether it may.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Final

from loomwright.web.head import LAPTOP_NAMES
from loomwright.web.refusal import API, Refusal, RefusedError

if TYPE_CHECKING:
    from loomwright.web.head import Head
    from loomwright.web.settings import Settings

#: The header that every write carries, with its value.
OWN_HEADER: Final = ("x-bench", "1")
_METHODS: Final = ("GET", "POST")
_OURS: Final = frozenset({"same-origin", "none"})


def refuse_by_head(head: Head, settings: Settings) -> None:
    """Let a request pass, or raise RefusedError with the first rule that speaks against it."""
    for rule in _RULES:
        if (refusal := rule(head, settings)) is not None:
            raise RefusedError(refusal)


def _host(head: Head, settings: Settings) -> Refusal | None:
    name, port = head.host
    ours = LAPTOP_NAMES if head.from_laptop else frozenset()
    if settings.share:
        # An address is not asked of any network, so nobody else can make it lead here.
        ours = ours | {head.server, *settings.names}
    if name and name in ours and port == str(settings.port):
        return None
    where = " or ".join(url for url in (settings.laptop_url, settings.phone_url) if url)
    return Refusal(421, "other-host", "The bench is not served under this name.", f"Open {where}.")


def _method(head: Head, _settings: Settings) -> Refusal | None:
    if head.method in _METHODS and (head.method == "GET" or head.path.startswith(API)):
        return None
    allow = ", ".join(_METHODS) if head.path.startswith(API) else "GET"
    what = f"{head.method[:20]} is not done here."
    return Refusal(405, "other-method", what, "Read with GET; write with POST under /api/v1/.", (("Allow", allow),))


def _site(head: Head, settings: Settings) -> Refusal | None:
    """Refuse what another site's page sends or takes in; a person who follows a link to a page is let through."""
    origin = f"{head.scheme}://{':'.join(head.host)}"
    sites = head.fields.get("sec-fetch-site", ())
    visits = head.method == "GET" and head.one("sec-fetch-mode") == "navigate" and not head.path.startswith(API)
    foreign = any(site not in _OURS for site in sites) and not visits
    if foreign or any(one != origin for one in head.fields.get("origin", ())):
        fix = f"Only the bench's own pages do that; open {settings.phone_url or settings.laptop_url}."
        return Refusal(403, "other-site", "This came from a page that is not of the bench.", fix)
    return None


def _body(head: Head, settings: Settings) -> Refusal | None:
    told = head.fields.get("content-length", ())
    if head.method == "GET":
        if "transfer-encoding" in head.fields or any(length != "0" for length in told):
            return Refusal(400, "body-with-get", "A request that reads brought a body.", "Leave the body out.")
        return None
    if len(told) > 1 or any(not (length.isascii() and length.isdecimal()) for length in told):
        return Refusal(400, "odd-length", "Content-Length is not one whole number.", "Send one, in bytes.")
    if told and (len(told[0]) > 12 or int(told[0]) > settings.limits.body_bytes):  # noqa: PLR2004  no number of ours is longer
        return too_large(settings)
    return None


def _write(head: Head, _settings: Settings) -> Refusal | None:
    if head.method == "GET":
        return None
    name, value = OWN_HEADER
    if head.one(name) != value:
        what = "A write has to carry the header X-Bench: 1."
        return Refusal(403, "no-own-header", what, "Add it; no page of another site can.")
    kind = (head.one("content-type") or "").partition(";")[0].strip().lower()
    if kind != "application/json" or "content-encoding" in head.fields:
        what = "Only plain JSON is read here."
        return Refusal(415, "not-json", what, "Send it with Content-Type: application/json, not compressed.")
    return None


def too_large(settings: Settings) -> Refusal:
    """Say that a body is larger than any that is needed."""
    most = settings.limits.body_bytes
    fix = f"Send at most {most} bytes at once; what is left goes into the next one."
    return Refusal(413, "too-large", f"This is more than {most} bytes.", fix, (("Connection", "close"),))


_RULES: Final[tuple[Callable[[Head, Settings], Refusal | None], ...]] = (_host, _method, _site, _body, _write)
