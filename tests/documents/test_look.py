"""Colours that people must be able to read are measured, not trusted."""

from __future__ import annotations

import pytest

from loomwright.catalogue.colours import colour_code, colour_names
from loomwright.documents import look

GROUNDS = {"paper": look.PAPER, "sand": look.SAND, "white": look.WHITE, "hi-vis": look.HI_VIS, "kept": look.KEPT}


def test_contrast_agrees_with_published_pairs() -> None:
    """Black on white is 21, equal colours 1, and #767676 on white the well-known 4.54 (WCAG 2.2, 1.4.3)."""
    assert look.contrast("#000000", "#ffffff") == pytest.approx(21)
    assert look.contrast("#123456", "#123456") == 1
    assert look.contrast("#ffffff", "#767676") == pytest.approx(4.54, abs=0.005)


@pytest.mark.parametrize("ground", GROUNDS.values(), ids=GROUNDS)
def test_ink_reads_on_every_ground(ground: str) -> None:
    assert look.contrast(look.INK, ground) >= look.TEXT_CONTRAST


@pytest.mark.parametrize("colour", [look.ACTION, look.DONE, look.REDO], ids=["action", "done", "redo"])
@pytest.mark.parametrize("ground", [look.PAPER, look.WHITE], ids=["paper", "white"])
def test_words_in_colour_read_on_paper(colour: str, ground: str) -> None:
    assert look.contrast(colour, ground) >= look.TEXT_CONTRAST


@pytest.mark.parametrize("code", look.WIRE_CODES)
def test_every_wire_shows_on_paper_by_its_own_colour_or_its_outline(code: str) -> None:
    """A bar has an ink outline, so at least one of fill and outline stands out from the page and from the other."""
    fill = look.wire_colour(code).fill
    edge = max(look.contrast(look.INK, ground) for ground in (look.PAPER, look.WHITE))
    assert max(look.contrast(fill, look.WHITE), min(edge, look.contrast(fill, look.INK))) >= look.SHAPE_CONTRAST


def test_every_colour_of_the_catalogue_can_be_drawn() -> None:
    assert {colour_code(name) for name in colour_names()} == set(look.WIRE_CODES)


def test_a_striped_wire_has_two_colours_and_a_name() -> None:
    striped = look.wire_colour("RDBK")
    assert (striped.fill, striped.stripe) == (look.wire_colour("RD").fill, look.INK)
    assert striped.name == "red with black stripe"
    assert look.wire_colour("BU").stripe == ""


@pytest.mark.parametrize("code", ["", "R", "XX", "rd", "RDRD", "RDXX", "RDBKWH"])
def test_a_colour_that_is_none_is_refused_with_the_codes_that_are(code: str) -> None:
    with pytest.raises(ValueError, match="is not a wire colour; write one or two of BK, BN, RD"):
        look.wire_colour(code)
