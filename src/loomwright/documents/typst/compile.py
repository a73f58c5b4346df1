"""From typst code to a PDF: the shipped fonts only, no clock, and a glyph that is missing is a fault."""

from __future__ import annotations

from importlib.resources import as_file, files
from typing import TYPE_CHECKING, Any, Final

from loomwright.documents.typst.code import string

if TYPE_CHECKING:
    from collections.abc import Mapping

_MAIN: Final = "main.typ"
_KEPT: Final = 11
#: PDF/UA-1 (ISO 14289-1) refuses text in a glyph that the fonts lack, and wants a title and a language.
_STANDARD: Final = "ua-1"


def pdf(sources: Mapping[str, str]) -> bytes:
    """Return the PDF of typst sources by their file names, of which "main.typ" is set; the same give the same bytes.

    Raises
    ------
    ValueError
        The code can't be set, or a sign has no glyph: a fault of this program.
    """
    import typst  # noqa: PLC0415  heavy: only where pages are made

    # Several sources at once are documented, and missing from the library's types.
    held: Any = {_MAIN: sources[_MAIN].encode(), **{name: text.encode() for name, text in sources.items()}}
    with as_file(files("loomwright") / "data" / "fonts") as fonts:
        try:
            made = typst.compile(
                held,
                font_paths=[str(fonts)],
                ignore_system_fonts=True,
                format="pdf",
                pdf_standards=[_STANDARD],
                timestamp=0,
            )
        except typst.TypstError as error:
            raise ValueError(f"the pages can't be set: {error}") from error
    return bytes(made)


def forget() -> None:
    """Let typst forget the documents that it has set: it keeps what it knows of the last ten, 100 MB for a packet."""
    import typst  # noqa: PLC0415  heavy: only where pages are made

    for _ in range(_KEPT):
        typst.compile(b"", format="pdf", ignore_system_fonts=True)


def document(title: str, *, lang: str = "en") -> str:
    """Return the lines that every document begins with."""
    return (
        f"#set document(title: {string(title)}, date: none)\n"
        f'#set text(font: ("Loom Text", "Loom Symbol"), lang: "{lang}", size: 9.5pt)\n'
    )
