"""The browser that tests ask for draws what it is given."""

from __future__ import annotations

import struct
import zlib
from pathlib import Path

from tests.chromium import Chromium

DRAWING = """<svg xmlns="http://www.w3.org/2000/svg" width="8" height="4">
<rect width="8" height="4" fill="#ff0000"/></svg>"""


def test_a_red_drawing_becomes_a_red_picture_of_its_size(needs_chromium: Chromium, tmp_path: Path) -> None:
    """Width, height and the colour of the first point are read from the PNG itself."""
    (tmp_path / "red.svg").write_text(DRAWING)
    png = tmp_path / "red.png"
    needs_chromium.picture(tmp_path / "red.svg", png, width_px=8, height_px=4)
    picture = png.read_bytes()
    assert struct.unpack(">II", picture[16:24]) == (8, 4)
    start = picture.index(b"IDAT")
    assert zlib.decompressobj().decompress(picture[start + 4 :])[1:4] == b"\xff\x00\x00"
