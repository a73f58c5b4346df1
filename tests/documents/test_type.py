"""Text is measured by the shipped fonts, and a browser sets it no wider."""

from __future__ import annotations

import json
from importlib.resources import files
from pathlib import Path

import pytest
from fontTools.ttLib import TTFont
from hypothesis import given
from hypothesis import strategies as st

from loomwright.documents.scene import Scene, Text
from loomwright.documents.svg import write
from loomwright.documents.type import Face, cap_mm, clean, ink_mm, is_ours, shorten, width_mm
from tests.chromium import Chromium
from tests.documents.browser import set_texts

FONTS = files("loomwright") / "data" / "fonts"
FILES = {
    Face.TEXT: "loom-text-regular.woff2",
    Face.BOLD: "loom-text-bold.woff2",
    Face.TAG: "loom-tag-semibold.woff2",
}
WORDS = (
    *("left front", "AWG To Va. W12 RD", "0123456789", "W111 W888", "12 AWG · 85 cm", "0.31 V (2.6 %)"),
    *("fjord affine flow", "Ærøskøbing Łódź Çà ÿ ž", "\"LT\" 'Yo' (AV) [To] {P.}", "VAVAVAVA P,P.T,T. LTLYLV"),
    *("5 Ω ≤ 10 µV ≥ Δ ± 3 °C", "→ ← ↑ ↓ ✓ ✗ ● ○ ⚠"),
    "Battery out, main breaker off before any work – look, don't assume.",
)


@pytest.mark.parametrize("face", Face)
def test_metrics_are_those_of_the_shipped_file(face: Face) -> None:
    """Every character's advance and ink, read again from the font that is shipped."""
    font = TTFont(str(FONTS / FILES[face]))
    chars = json.loads((FONTS / "metrics.json").read_text("utf-8"))["faces"][face]["chars"]
    glyphs = {chr(code): font["hmtx"][name][0] for code, name in font.getBestCmap().items()}
    assert {char: advance for char, (advance, _, _) in chars.items()} == glyphs
    assert len(glyphs) > 300


@pytest.mark.parametrize("name", [*FILES.values(), "loom-symbol-medium.woff2"])
def test_the_unpacked_fonts_are_the_same_fonts(name: str) -> None:
    """The packet's TTF holds what the WOFF2 of screen and drawings holds: characters, widths, kerning, names."""
    packed, plain = TTFont(str(FONTS / name)), TTFont(str(FONTS / name.replace(".woff2", ".ttf")))
    assert plain.flavor is None
    assert sorted(plain.keys()) == sorted(packed.keys())
    for table in ("cmap", "hmtx", "glyf", "name", *(["GPOS"] if "GPOS" in packed else [])):
        assert plain[table].compile(plain) == packed[table].compile(packed)


@pytest.mark.parametrize("face", Face)
def test_figures_are_tabular(face: Face) -> None:
    assert len({width_mm(digit, face, 10) for digit in "0123456789"}) == 1


def test_a_worked_width() -> None:
    """Regular digits are 632 thousandths wide and a space 280 (read from the font by hand); nothing kerns here."""
    assert width_mm("12 34", Face.TEXT, 10) == pytest.approx((4 * 632 + 280) / 100)
    assert width_mm("", Face.TEXT, 10) == 0


def test_kerning_counts() -> None:
    pair = width_mm("VA", Face.TEXT, 10)
    assert pair < width_mm("V", Face.TEXT, 10) + width_mm("A", Face.TEXT, 10)


def test_a_browser_sets_every_face_as_wide_as_measured(needs_chromium: Chromium, tmp_path: Path) -> None:
    """Within 0.02 mm for a line of 4 mm type, over all faces, kerning and borrowed symbols."""
    texts = tuple(
        Text((5.0, 8.0 + 6 * i), words, 4.0, face)
        for i, (face, words) in enumerate((face, words) for face in Face for words in WORDS)
    )
    found = set_texts(needs_chromium, write(Scene("t", "t", "t", 300, 300, texts)), tmp_path)
    assert [said.text for said in found] == [text.text for text in texts]
    for text, said in zip(texts, found, strict=True):
        assert said.width == pytest.approx(text.width_mm, abs=0.02), text


def test_a_browser_keeps_to_the_width_of_characters_that_we_ship_no_font_for(
    needs_chromium: Chromium, tmp_path: Path
) -> None:
    """What is drawn with somebody else's font is made to fit the width that was measured, within 3 %."""
    words = ("🤖 robot 🤖", "שלום", "مرحبا", "机器人", "👩‍🔧👩‍🔧", "Ж and ж")
    texts = tuple(Text((5.0, 8.0 + 8 * i), clean(word), 4.0) for i, word in enumerate(words))
    assert not any(is_ours(text.text, text.face) for text in texts)
    for text, said in zip(
        texts, set_texts(needs_chromium, write(Scene("t", "t", "t", 300, 100, texts)), tmp_path), strict=True
    ):
        assert said.right - said.left == pytest.approx(text.width_mm, rel=0.03), text


def test_ink_is_measured_per_text() -> None:
    """No descender, no ink below the baseline but the round letters' overshoot."""
    assert ink_mm("HIT", Face.TEXT, 10)[0] == 0
    assert ink_mm("gap", Face.TEXT, 10)[0] > 1.5
    assert ink_mm("HIT", Face.TEXT, 10)[1] == pytest.approx(cap_mm(Face.TEXT, 10))


@pytest.mark.parametrize(
    ("written", "drawn"),
    [
        ("  left\tfront\n", "left front"),
        ("a\u202eb\u2066c\u200b", "abc"),
        ("nul\x00 bell\x07", "nul bell"),
        ("e\u0301", "é"),
        ("85\u00a0cm", "85 cm"),
        ("lone \ud800 half", "lone half"),
        ("👩\u200d🔧", "👩\u200d🔧"),
    ],
)
def test_clean_leaves_what_can_be_drawn(written: str, drawn: str) -> None:
    assert clean(written) == drawn


@given(st.text(max_size=80), st.sampled_from(Face), st.floats(0, 60))
def test_shortened_text_fits_and_says_that_it_was_cut(text: str, face: Face, room: float) -> None:
    whole = clean(text)
    short = shorten(whole, face, 4.0, room)
    assert width_mm(short, face, 4.0) <= room
    assert short == whole or short.endswith("…") or not short
    if short != whole and short:
        assert whole.startswith(short[:-1].rstrip())


def test_shortening_never_cuts_a_sign_in_two() -> None:
    """A mark stays with its letter, and what a joiner ties together stays tied."""
    for room in range(1, 60):
        short = shorten("x̂ŷẑ 👩‍🔧👩‍🔧👩‍🔧 and so on", Face.TEXT, 4.0, float(room))
        kept = short.removesuffix("…")
        assert not kept.endswith("\u200d")
        assert kept.count("👩") == kept.count("🔧")
