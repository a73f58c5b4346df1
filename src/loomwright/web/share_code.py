"""The address of a shared bench as a large code that phones read, and as a line that people type."""

from __future__ import annotations

import io
from typing import TYPE_CHECKING, Final

import segno

from loomwright.web.joining import spaced

if TYPE_CHECKING:
    from loomwright.web.settings import Settings

_QUIET: Final = 4


def join_url(settings: Settings) -> str:
    """Return the address that joins at once; "" where phones can't come.

    The code stands behind a #, so that no browser sends it on and it stands in no log.
    """
    return f"{settings.phone_url}join#{settings.secrets.join_code}" if settings.phone_url else ""


def join_line(settings: Settings) -> str:
    """Return what people type: the address and the code."""
    return f"{settings.phone_url}  code {spaced(settings.secrets.join_code)}" if settings.phone_url else ""


def code_svg(url: str) -> bytes:
    """Return the code of an address as SVG, dark on light whatever lies under it."""
    out = io.BytesIO()
    _code(url).save(out, kind="svg", border=_QUIET, dark="#14181d", light="#ffffff", xmldecl=False, omitsize=True)
    return out.getvalue()


def code_text(url: str) -> str:
    """Return the code of an address for a terminal, two rows of it in each line."""
    out = io.StringIO()
    _code(url).terminal(out, border=_QUIET, compact=True)
    return out.getvalue()


def _code(url: str) -> segno.QRCode:
    return segno.make_qr(url, error="m")
