"""The browser that tests ask for draws what it is given."""

from __future__ import annotations

import struct
import zlib
from collections.abc import Iterator
from pathlib import Path

from tests.chromium import Chromium

DRAWING = """<svg xmlns="http://www.w3.org/2000/svg" width="8" height="4">
<rect width="8" height="4" fill="#ff0000"/></svg>"""


def chunks(png: bytes) -> Iterator[tuple[bytes, bytes]]:
    """Take a PNG apart into its named chunks (ISO/IEC 15948, clause 5.3)."""
    at = 8
    while at < len(png):
        length, name = struct.unpack_from(">I4s", png, at)
        yield name, png[at + 8 : at + 8 + length]
        at += 12 + length


def test_a_red_drawing_becomes_a_red_picture_of_its_size(needs_chromium: Chromium, tmp_path: Path) -> None:
    """Width, height and the colour of the first point are read from the PNG itself."""
    (tmp_path / "red.svg").write_text(DRAWING)
    png = tmp_path / "red.png"
    needs_chromium.picture(tmp_path / "red.svg", png, width_px=8, height_px=4)
    parts = list(chunks(png.read_bytes()))
    assert struct.unpack_from(">II", parts[0][1]) == (8, 4)
    lines = zlib.decompress(b"".join(data for name, data in parts if name == b"IDAT"))
    assert lines[1:4] == b"\xff\x00\x00"
