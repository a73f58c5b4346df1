"""A scene on a PDF page: every primitive stands where the scene says, and text stays text."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loomwright.documents.scene import (
    Anchor,
    Arc,
    Circle,
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
from loomwright.documents.spine.drawing import draw
from loomwright.documents.spine.plan import spine_sheet
from loomwright.documents.type import Face, clean
from loomwright.documents.typst.code import flowing, printable, string
from loomwright.documents.typst.compile import document, pdf
from loomwright.documents.typst.scene import scene_code
from tests.documents.pdf.pages import pages, picture, text_of, words
from tests.documents_plan.factories import plan

THICK = Stroke("#000000", 2.0)


def page_of(*items: Item, width_mm: float = 60.0, height_mm: float = 40.0) -> bytes:
    """Set items on a page of their own."""
    scene = Scene("test", "Test", "A test", width_mm, height_mm, items)
    size = f"width:{width_mm}mm,height:{height_mm}mm,margin:0pt"
    return pdf({"main.typ": f'{document("Test")}#page({size})[#include "scene.typ"]\n', "scene.typ": scene_code(scene)})


def inked(*items: Item) -> dict[str, float]:
    """Draw items and return the box of what is dark, in mm, and the share of the page that it covers."""
    seen = picture(pages(page_of(*items))[0], dpi=254) < 128
    rows, columns = np.nonzero(seen)
    return {
        "left": columns.min() / 10,
        "right": (columns.max() + 1) / 10,
        "top": rows.min() / 10,
        "bottom": (rows.max() + 1) / 10,
        "mm2": seen.sum() / 100,
    }


def near(**told: float) -> dict[str, object]:
    """Expect these numbers to a tenth of a millimetre, areas to 2 %."""
    return {key: pytest.approx(value, rel=0.02 if key == "mm2" else 0, abs=0.15) for key, value in told.items()}


@pytest.mark.parametrize(
    ("item", "box"),
    [
        (Line((10, 10), (30, 10), THICK), near(left=10, right=30, top=9, bottom=11, mm2=40)),
        (
            Line((10, 10), (30, 10), Stroke("#000000", 2.0, round_ends=True)),
            near(left=9, right=31, top=9, bottom=11, mm2=40 + math.pi),
        ),
        (
            Line((10, 10), (30, 10), Stroke("#000000", 2.0, dash_mm=(2, 3))),
            near(left=10, right=27, top=9, bottom=11, mm2=16),
        ),
        (Polyline(((10, 10), (30, 10), (30, 30)), THICK), near(left=10, right=31, top=9, bottom=30, mm2=80)),
        (Rect(10, 10, 20, 12, fill="#000000"), near(left=10, right=30, top=10, bottom=22, mm2=240)),
        (Rect(10, 10, 20, 12, stroke=THICK), near(left=9, right=31, top=9, bottom=23, mm2=22 * 14 - 18 * 10)),
        (
            Rect(10, 10, 20, 12, radius=4, fill="#000000"),
            near(left=10, right=30, top=10, bottom=22, mm2=240 - (4 - math.pi) * 16),
        ),
        (Circle((20, 20), 8, fill="#000000"), near(left=12, right=28, top=12, bottom=28, mm2=64 * math.pi)),
        (
            Path((Move((10, 10)), Arc((26, 10), 8), Arc((10, 10), 8)), fill="#000000"),
            near(left=10, right=26, top=2, bottom=18, mm2=64 * math.pi),
        ),
        (
            Path((Move((10, 10)), Arc((26, 10), 8, clockwise=False)), fill="#000000"),
            near(left=10, right=26, top=10, bottom=18, mm2=32 * math.pi),
        ),
        (
            Path(
                (Move((10, 10)), Straight((30, 10)), Straight((30, 30)), Straight((10, 30)),
                 Move((15, 15)), Straight((25, 15)), Straight((25, 25)), Straight((15, 25))),
                fill="#000000",
            ),
            near(left=10, right=30, top=10, bottom=30, mm2=300),
        ),
        *(
            (
                Rect(10, 10, 20, 20, fill=Hatch(2.0, 0.5, angle, "#000000")),
                near(left=10, right=30, top=10, bottom=30) | {"mm2": pytest.approx(100, rel=0.12)},
            )
            for angle in (45.0, -45.0)
        ),
    ],
)  # fmt: skip
def test_a_mark_inks_what_the_scene_says(item: Item, box: dict[str, object]) -> None:
    assert {key: value for key, value in inked(item).items() if key in box} == box


def test_hatches_run_as_in_the_other_papers() -> None:
    """45 degrees fall to the right, as in SVG; 0 lie, 90 stand."""
    falling = picture(pages(page_of(Rect(0, 0, 60, 40, fill=Hatch(8.0, 1.0, 45, "#000000"))))[0], dpi=254) < 128
    down, right = np.nonzero(falling[50:150, 50:150])
    assert np.corrcoef((right - down) % 113, right)[0, 1] == pytest.approx(0, abs=0.2)
    assert np.ptp(np.exp(2j * np.pi * (right - down) / (80 * math.sqrt(2))).real) < 1.0
    lying = picture(pages(page_of(Rect(0, 0, 60, 40, fill=Hatch(4.0, 1.0, 0, "#000000"))))[0], dpi=254) < 128
    assert set(lying[100:140, 100:500].mean(axis=1)) == {0.0, 1.0}
    standing = picture(pages(page_of(Rect(0, 0, 60, 40, fill=Hatch(4.0, 1.0, 90, "#000000"))))[0], dpi=254) < 128
    assert set(standing[100:300, 100:140].mean(axis=0)) == {0.0, 1.0}
    with pytest.raises(ValueError, match="30 degrees"):
        page_of(Rect(0, 0, 60, 40, fill=Hatch(4.0, 1.0, 30, "#000000")))


@pytest.mark.parametrize("face", list(Face))
@pytest.mark.parametrize("anchor", list(Anchor))
def test_a_text_begins_and_ends_where_it_was_measured(face: Face, anchor: Anchor) -> None:
    mark = Text((30, 20), "WHK12", 6.0, face, anchor)
    [word] = words(pages(page_of(mark))[0])
    assert word.text == "WHK12"
    assert word.left == pytest.approx(mark.box.left, abs=0.5)
    assert word.right == pytest.approx(mark.box.right, abs=0.5)
    assert word.bottom == pytest.approx(20, abs=0.15)
    assert word.top == pytest.approx(mark.box.top, abs=0.15)


@pytest.mark.parametrize("anchor", list(Anchor))
@pytest.mark.parametrize("turn_deg", [90.0, -90.0, 30.0])
def test_a_turned_text_stays_at_its_place(anchor: Anchor, turn_deg: float) -> None:
    mark = Text((30, 20), "HHHH", 5.0, Face.BOLD, anchor, turn_deg=turn_deg)
    box = inked(mark)
    assert [box[side] for side in ("left", "right", "top", "bottom")] == pytest.approx(
        [mark.box.left, mark.box.right, mark.box.top, mark.box.bottom], abs=0.6
    )


def test_a_whole_drawing_keeps_every_text_at_its_place() -> None:
    """The Spine of a plan: the same words as its scene, each within a quarter of a millimetre."""
    scene = draw(spine_sheet(plan()))
    size = f"width:{scene.width_mm}mm,height:{scene.height_mm}mm,margin:0pt"
    data = pdf({"main.typ": f'{document("Spine")}#page({size})[#include "s.typ"]', "s.typ": scene_code(scene)})
    [page] = pages(data)
    seen = words(page)
    for text in scene.texts():
        first = text.text.split(" ")[0]
        left = text.box.left
        assert any(
            w.text.startswith(first[:3]) and abs(w.left - left) < 0.8 and abs(w.bottom - text.box.bottom) < 1.5
            for w in seen
        ), text
    assert data == pdf({"main.typ": f'{document("Spine")}#page({size})[#include "s.typ"]', "s.typ": scene_code(scene)})


@pytest.mark.parametrize("said", ["زاوية الذراع", "क्षि" * 5, "i\u0301\u0302\u0303" * 5, "👩\u200d🔧👩\u200d🔧"])
@pytest.mark.parametrize("anchor", list(Anchor))
def test_squares_stay_in_the_room_that_the_signs_were_given(said: str, anchor: Anchor) -> None:
    """A drawing is laid out with the width of the signs; a square may be wider, and then the text is set smaller."""
    mark = Text((30, 20), clean(said), 3.0, Face.TAG, anchor)
    found = words(pages(page_of(mark))[0])
    assert {sign for word in found for sign in word.text} == {"□"}
    assert min(word.left for word in found) > mark.box.left - 0.1
    assert max(word.right for word in found) < mark.box.right + 0.1


@settings(max_examples=30, deadline=None)
@given(st.text(max_size=30))
def test_no_text_becomes_code_or_stops_the_printer(said: str) -> None:
    """Quotes, backslashes, hashes, emoji, right-to-left: printed as text, a square for a sign that no font has."""
    shown = text_of(pages(page_of(Text((2, 20), printable(said), 2.0)))[0])
    assert shown.replace("\r", "").replace("\n", " ").split() == printable(said).split()


def test_signs_that_no_font_has_become_squares() -> None:
    assert printable("lift 🤖 עברית Ω → x") == "lift □ □□□□□ Ω → x"
    assert printable("👩\u200d🔧 क्षि e\u0301\u0302") == "□ □□□ □", "a sign with all that is tied to it is one"
    assert string('a"b\\c#d\n') == '"a\\"b\\\\c#d"'
    with pytest.raises(ValueError, match="can't be set"):
        pdf({"main.typ": document("T") + '#"\N{ROBOT FACE}"'})


@pytest.mark.parametrize(
    "said",
    [
        "n" * 60,
        "a" * 20 + "-" * 20 + ",",
        "1-" * 30,
        "a-," * 20,
        "/" * 60,
        "(" * 60,
        "a.b'" * 15,
        "#" * 60,
        '"' * 60,
        "motor/brushless-600w-built-in",
        "controller/inline-40a",
    ],
)
def test_a_long_word_goes_on_in_the_next_line(said: str) -> None:
    """Whatever it is made of, it stays in a column of 20 mm, and no sign is lost."""
    [page] = pages(pdf({"main.typ": f"{document('T')}#set page(margin: 10mm)\n#block(width: 20mm, {flowing(said)})"}))
    assert max(word.right for word in words(page)) < 30.3
    assert "".join(text_of(page).split()) == said


@pytest.mark.parametrize("said", ["n" * 60, "motor/brushless-600w-built-in", "controller/inline-40a", "W1 " + "m" * 40])
def test_a_long_word_is_found_in_the_page(said: str) -> None:
    """Where it may be broken, no sign stands in the text that a person copies or looks for."""
    data = pdf({"main.typ": f"{document('T')}#set page(width: 300mm)\n#par({flowing(said)})"})
    assert str(pages(data)[0].get_textpage().get_text_range()).strip() == said
