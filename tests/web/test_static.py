"""Static files: all in one table with one hash, packed once, kept by browsers for good."""

from __future__ import annotations

import gzip
from pathlib import Path

import pytest

from loomwright.web.packed import pack
from loomwright.web.static_table import read_static
from tests.web.people import House

ROOT = Path(__file__).resolve().parents[2] / "src" / "loomwright"


def test_the_table_has_every_file_that_ships(house: House) -> None:
    """Scripts, styles and pictures of the room and the fonts of the house, and no readme or licence."""
    shipped = {path.relative_to(ROOT / "web" / "static").as_posix() for path in (ROOT / "web" / "static").rglob("*.*")}
    fonts = {path.name for path in (ROOT / "data" / "fonts").glob("*.woff2")}
    assert fonts
    assert set(house.desk.static.files) == {name for name in shipped if not name.endswith((".md", ".txt"))} | fonts


def test_every_file_is_served_as_it_is_and_may_be_kept_for_good(house: House) -> None:
    """To strangers too: the page to join on needs them."""
    for name, held in house.desk.static.files.items():
        answer = house.stranger.get(house.desk.static.url(name), Accept_Encoding="gzip")
        assert (answer.status, answer.body, answer.field("content-type")) == (200, held.body, held.kind)
        assert answer.field("cache-control") == "public, max-age=31536000, immutable"
        assert house.stranger.get(house.desk.static.url(name), If_None_Match=answer.field("etag")).status == 304


def test_the_address_changes_with_the_content(house: House, monkeypatch: pytest.MonkeyPatch) -> None:
    """A new script has a new address, and so has all that names it; under the old one nothing is served."""
    before = house.desk.static
    assert read_static().hash == before.hash
    real = Path.read_bytes

    def edited(path: Path) -> bytes:
        return real(path) + (b"\n" if path.name == "join.js" else b"")

    monkeypatch.setattr(Path, "read_bytes", edited)
    assert read_static().hash != before.hash
    assert house.laptop.get(f"/static/{'0' * 16}/join.js").status == 404


def test_a_name_that_is_not_there_is_noticed_by_the_template() -> None:
    """A page that names a file which is gone fails in its test, not on a phone."""
    with pytest.raises(KeyError):
        read_static().url("gone.js")


def test_only_what_gets_smaller_is_compressed() -> None:
    """Text is, once, always to the same bytes; fonts and short answers are not."""
    text = pack(b"wire " * 1000, "text/plain")
    assert text.squeezed is not None
    assert gzip.decompress(text.squeezed) == text.body
    assert text == pack(b"wire " * 1000, "text/plain")
    assert text.squeezed[4:8] == bytes(4), "the time would make it other bytes every second"
    assert pack(b"wire", "text/plain").squeezed is None
    fonts = {name: held for name, held in read_static().files.items() if name.endswith(".woff2")}
    assert [name for name, held in fonts.items() if held.squeezed is not None] == []
