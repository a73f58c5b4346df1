"""The written file stands alone, says what it is, keeps its text as text, and never changes by itself."""

from __future__ import annotations

import base64
import re
from xml.etree import ElementTree as ET

import pytest

from loomwright.documents.scene import (
    Anchor,
    Arc,
    Circle,
    Group,
    Hatch,
    Item,
    Line,
    Move,
    Path,
    Polyline,
    Rect,
    Scene,
    Straight,
    Stroke,
    Text,
)
from loomwright.documents.svg import write
from loomwright.documents.type import Face

SVG = "{http://www.w3.org/2000/svg}"


def scene(*items: Item) -> Scene:
    return Scene("probe", "Probe & <title>", 'One "sentence".', 100, 50.5, items)


def read(*items: Item) -> ET.Element:
    return ET.fromstring(write(scene(*items)))  # noqa: S314 - our own bytes


EVERYTHING = (
    Rect(0, 0, 10, 5, 1, Stroke(), "#ffffff"),
    Line((0, 0), (1 / 3, 2), Stroke("#a3000b", 0.5, (1, 0.5), round_ends=True)),
    Polyline(((0, 0), (1, 1), (2, 0))),
    Circle((5, 5), 2, None, Hatch()),
    Path(
        (Move((0, 0)), Straight((4, 0)), Arc((4, 4), 2), Move((1, 1)), Straight((2, 1)), Straight((2, 2))),
        fill="#000000",
    ),
    Group(
        (Text((1, 2), 'A <& "B"', 3.4, Face.TAG, Anchor.END, full='A <& "B" and more'),), "wire", "W1", "Wire W1 & co"
    ),
    Group((Text((1, 9), "turned", 3, turn_deg=90),), "wire", "W1"),
)


def test_the_page_is_measured_in_millimetres() -> None:
    root = read()
    assert (root.get("width"), root.get("height"), root.get("viewBox")) == ("100mm", "50.5mm", "0 0 100 50.5")


def test_it_says_what_it_is_to_those_who_listen() -> None:
    root = read(*EVERYTHING)
    assert root.findtext(f"{SVG}title") == "Probe & <title>"
    assert root.findtext(f"{SVG}desc") == 'One "sentence".'
    named = {root.get("aria-labelledby"), root.get("aria-describedby")}
    assert named == {root.find(f"{SVG}title").get("id"), root.find(f"{SVG}desc").get("id")}  # type: ignore[union-attr]
    assert root.find(f".//{SVG}g").findtext(f"{SVG}title") == "Wire W1 & co"  # type: ignore[union-attr]


def test_it_stands_alone() -> None:
    """No script, no address but the name of SVG itself, and the fonts it uses are inside and are WOFF2."""
    text = write(scene(*EVERYTHING))
    assert "<script" not in text
    assert re.findall(r"https?://[^\"]+", text) == ["http://www.w3.org/2000/svg"]
    fonts = re.findall(r"base64,([A-Za-z0-9+/=]+)", text)
    assert [base64.b64decode(font)[:4] for font in fonts] == [b"wOF2", b"wOF2"]


@pytest.mark.parametrize(("words", "faces"), [("plain", 1), ("a → b", 2), ("tick ✓", 2), ("5 Ω", 1)])
def test_the_symbol_font_comes_only_when_needed(words: str, faces: int) -> None:
    assert write(scene(Text((1, 1), words, 3))).count("@font-face") == faces


def test_text_stays_text_and_keeps_the_whole_of_what_was_shortened() -> None:
    texts = read(*EVERYTHING).findall(f".//{SVG}text")
    first = texts[0]
    assert "".join(first.itertext()) == 'A <& "B" and moreA <& "B"'
    assert first.findtext(f"{SVG}title") == 'A <& "B" and more'
    assert (first.get("text-anchor"), first.get("class"), first.get("font-size")) == ("end", "tag", "3.4")
    assert texts[1].get("transform") == "rotate(90 1 9)"


def test_ids_are_told_apart_and_say_what_they_are() -> None:
    root = read(*EVERYTHING)
    ids = [element.get("id") for element in root.iter() if element.get("id")]
    assert len(set(ids)) == len(ids)
    assert {"probe-wire-w1", "probe-wire-w1--2"} <= set(ids)
    assert [group.get("data-about") for group in root.iter(f"{SVG}g")] == ["W1", "W1"]


def test_styles_reach_no_other_drawing_on_a_page() -> None:
    style = read(*EVERYTHING).findtext(f"{SVG}style") or ""
    rules = re.sub(r"@font-face\{[^}]*\}", "", style)
    assert all(rule.startswith("#probe ") for rule in rules.split("}") if rule)


def test_equal_hatches_share_a_pattern() -> None:
    root = read(
        Rect(0, 0, 1, 1, fill=Hatch()), Rect(2, 0, 1, 1, fill=Hatch()), Rect(4, 0, 1, 1, fill=Hatch(angle_deg=0))
    )
    assert [p.get("id") for p in root.iter(f"{SVG}pattern")] == ["probe-hatch-1", "probe-hatch-2"]
    fills = [r.get("fill") for r in root.findall(f"{SVG}rect")]
    assert fills == ["url(#probe-hatch-1)", "url(#probe-hatch-1)", "url(#probe-hatch-2)"]


def test_outlines_close_and_arcs_are_round() -> None:
    path = read(*EVERYTHING).find(f"{SVG}path")
    assert path is not None
    assert path.get("d") == "M 0 0 L 4 0 A 2 2 0 0 1 4 4 Z M 1 1 L 2 1 L 2 2 Z"
    assert path.get("fill-rule") == "evenodd"


def test_numbers_are_short_and_zero_has_no_sign() -> None:
    line = read(Line((-0.0001, 1 / 3), (2.5, 10.0))).find(f"{SVG}line")
    assert line is not None
    assert [line.get(k) for k in ("x1", "y1", "x2", "y2")] == ["0", "0.333", "2.5", "10"]


def test_only_text_with_other_peoples_characters_is_told_its_length() -> None:
    ours, theirs = read(Text((1, 1), "ours", 3), Text((1, 5), "🤖", 3)).findall(f"{SVG}text")
    assert ours.get("textLength") is None
    assert theirs.get("textLength") == "3.75"


def test_the_same_scene_gives_the_same_bytes() -> None:
    assert write(scene(*EVERYTHING)) == write(scene(*EVERYTHING))


def test_characters_that_xml_forbids_are_left_out_everywhere() -> None:
    root = read(Group((Text((1, 1), "fine", 3, full="f\x00ine"),), "wire", "W\x1f1", "one\x07two"))
    group = root.find(f"{SVG}g")
    assert group is not None
    assert (group.get("data-about"), group.findtext(f"{SVG}title")) == ("W 1", "one two")
