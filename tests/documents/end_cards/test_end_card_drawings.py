"""Every card that the table of ends can ask for is to scale, readable, and tells good from bad by shape."""

from __future__ import annotations

import math
from itertools import combinations

import pytest

from loomwright.catalogue.conductor import diameter_mm
from loomwright.catalogue.wire_diameter import outside_diameter_mm
from loomwright.documents.end_cards.drawers import drawer_of, kinds
from loomwright.documents.end_cards.picture import Reach, Spec, View
from loomwright.documents.end_cards.sheet import HEIGHT_MM, WIDTH_MM
from loomwright.documents.end_cards.sizes import wire_size
from loomwright.documents.end_cards.stripped import scale_words
from loomwright.documents.legibility import faults
from loomwright.documents.look import DONE, REDO, SMALL_MM
from loomwright.documents.scene import Hatch, Line, Path, Polyline, Rect, Scene, Text, marks
from loomwright.documents.type import is_ours
from loomwright.units import Gauge
from tests.documents.end_cards.measures import all_specs, drawn, first_circle, first_rect, picture_of, scale_of, within

SPECS = dict(all_specs())
SCENES = {name: drawn(spec) for name, spec in SPECS.items()}
EVERY = pytest.mark.parametrize("kind", kinds())
BAD = (View.FIRST, View.SECOND)


def names_of(kind: str) -> list[str]:
    """List the cards of a kind."""
    return [name for name, spec in SPECS.items() if spec.kind == kind]


@EVERY
def test_a_card_can_be_read(kind: str) -> None:
    """Nothing overlaps, leaves its room or the page, or is crossed; all is in our own type, none of it small."""
    for name in names_of(kind):
        scene = SCENES[name]
        assert faults(scene) == ()
        assert (scene.width_mm, scene.height_mm) == (WIDTH_MM, HEIGHT_MM)
        for text in scene.texts():
            assert is_ours(text.text, text.face), text
            assert text.size_mm >= SMALL_MM
            assert not text.full or text.text == text.full


@EVERY
def test_a_card_is_to_scale(kind: str) -> None:
    """Strip length, insulation and copper measure what they are, times the scale that the bar and the words give."""
    for name in names_of(kind):
        spec, scene = SPECS[name], SCENES[name]
        if not spec.strip_mm:
            continue
        scale = scale_of(scene)
        assert f"scale {scale_words(scale)}" in [text.text for text in scene.texts()]
        stripped = picture_of(scene, View.STRIPPED)
        copper, insulation = first_rect(stripped, "copper"), first_rect(stripped, "insulation")
        assert copper.width == pytest.approx(spec.strip_mm * scale)
        assert copper.x == pytest.approx(insulation.x + insulation.width)
        assert insulation.height == pytest.approx(spec.wire.outside_mm * scale)
        assert copper.height == pytest.approx(spec.wire.copper_mm * scale)
        dimension = [mark for mark in within(stripped, "dimension") if isinstance(mark, Line)]
        assert max(abs(line.end[0] - line.start[0]) for line in dimension) == pytest.approx(copper.width)
        words = " ".join(mark.text for mark in within(stripped, "dimension") if isinstance(mark, Text))
        assert words.startswith(f"{spec.strip_mm:g} mm")
        if scale == 1:
            assert any("true size" in text.text for text in scene.texts())
        else:
            assert first_rect(stripped, "true size").width == pytest.approx(spec.strip_mm)


@EVERY
def test_a_hole_fits_its_stud(kind: str) -> None:
    """The stud has its own diameter, and the hole lets it in with little play."""
    for name in names_of(kind):
        spec, scene = SPECS[name], SCENES[name]
        for view in (View.GOOD, *BAD):
            picture = picture_of(scene, view)
            if not within(picture, "hole"):
                continue
            stud, hole = first_circle(picture, "stud"), first_circle(picture, "hole")
            if spec.stud_mm:
                assert 2 * stud.radius == pytest.approx(spec.stud_mm * scale_of(scene))
            assert stud.centre == hole.centre
            assert 1.0 < hole.radius / stud.radius < 1.15


@EVERY
def test_states_are_shapes(kind: str) -> None:
    """Good is rounded with a tick, a mistake is square, hatched on all four sides and crossed."""
    for name in names_of(kind):
        scene = SCENES[name]
        good = list(marks((picture_of(scene, View.GOOD),)))
        assert [
            mark
            for mark in good
            if isinstance(mark, Rect) and mark.stroke and mark.stroke.colour == DONE and mark.radius
        ]
        assert not [mark for mark in good if isinstance(mark, Rect) and isinstance(mark.fill, Hatch)]
        assert [mark for mark in good if isinstance(mark, Polyline) and len(mark.points) == 3]
        for view in BAD:
            bad = list(marks((picture_of(scene, view),)))
            bars = [mark for mark in bad if isinstance(mark, Rect) and isinstance(mark.fill, Hatch)]
            assert len(bars) == 4
            assert not any(bar.radius for bar in bars)
            red = [mark for mark in bad if isinstance(mark, Line) and mark.stroke.colour == REDO]
            assert len([mark for mark in red if mark.stroke.width_mm == 0.8]) == 2
            pointed = [mark for mark in bad if isinstance(mark, Path) and mark.fill == REDO]
            assert pointed, "nothing points at the fault"


@EVERY
def test_pictures_stay_in_their_frames(kind: str) -> None:
    """What is drawn keeps inside its own frame, wires that run out of it included."""
    for name in names_of(kind):
        for picture in SCENES[name].groups("picture"):
            open_rects = [mark for mark in marks((picture,)) if isinstance(mark, Rect) and not mark.fill]
            frame = max(open_rects, key=lambda rect: rect.width * rect.height)
            for mark in within(picture, "drawn"):
                assert frame.box.holds(mark.box, 0.6), (picture.about, mark)


@EVERY
def test_arrows_are_long_enough_to_be_seen_and_stay_inside(kind: str) -> None:
    """An arrow on a fault is at least 4 mm long and leaves the head's words and the hatched band alone."""
    for name in names_of(kind):
        for view in BAD:
            picture = picture_of(SCENES[name], view)
            lines = [mark for mark in within(picture, "fault") if isinstance(mark, Line)]
            if not lines:
                continue
            (tip,) = [mark.steps[0].to for mark in within(picture, "fault") if isinstance(mark, Path)]
            assert math.dist(lines[0].start, tip) > 4.0
            bars = [mark for mark in marks((picture,)) if isinstance(mark, Rect) and isinstance(mark.fill, Hatch)]
            assert not any(bar.box.overlaps(line.box) for bar in bars for line in lines)


@pytest.mark.parametrize("kind", kinds())
def test_good_and_bad_are_drawn_differently(kind: str) -> None:
    """No two of a card's pictures show the same shapes, whatever their colour."""
    spec = next(spec for spec in SPECS.values() if spec.kind == kind)
    pictures = [drawer_of(kind)(spec, view, Reach(-30, 60)) for view in (View.GOOD, *BAD)]
    for one, other in combinations(pictures, 2):
        assert (one.items, one.letters) != (other.items, other.letters)


def test_an_unknown_gauge_or_size_is_told() -> None:
    """A card for a wire that nobody has decided yet says what it is drawn as, and its edge is dashed."""
    scene = SCENES["ring terminal: ring terminal, red, matching stud, unknown"]
    assert any("gauge unknown, drawn as 18 AWG" in text.text for text in scene.texts())
    edges = [mark for mark in within(picture_of(scene, View.STRIPPED), "insulation") if isinstance(mark, Rect)]
    assert any(edge.stroke and edge.stroke.dash_mm for edge in edges)


def test_a_wire_is_as_thick_as_its_tables_say() -> None:
    """Seven strands lie three across, nineteen lie five across: 3/sqrt(7), 5/sqrt(19) of the solid one (astm-b258)."""
    for label, across, strands in (("22 AWG", 3, 7), ("12 AWG", 5, 19), ("4/0 AWG", 5, 19)):
        gauge = Gauge.parse(label)
        size = wire_size(gauge)
        assert size.copper_mm == pytest.approx(across * diameter_mm(gauge) / math.sqrt(strands))
        assert size.copper_mm < size.outside_mm
    assert wire_size(Gauge(12)).outside_mm == outside_diameter_mm(Gauge(12))


def test_thicker_gauges_are_never_drawn_thinner() -> None:
    """From 40 AWG to 4/0, with and without a row of the table."""
    sizes = [wire_size(Gauge(number)).outside_mm for number in range(40, -4, -1)]
    assert sizes == sorted(sizes)


def test_the_same_card_is_drawn_the_same() -> None:
    """Nothing depends on what was drawn before."""
    spec: Spec = next(iter(SPECS.values()))
    one, other = drawn(spec), drawn(spec)
    assert isinstance(one, Scene)
    assert one == other
