"""What the Plate shows is what the plan decided: places, the way of every run, and what is not known."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from loomwright.documents.legibility import faults
from loomwright.documents.plate.drawing import draw
from loomwright.documents.plate.plan import plate_sheet, plate_svg
from loomwright.documents.plate.sheet import PlateLeg, passages
from loomwright.findings import Severity
from loomwright.layout.result import Course
from loomwright.model.fact import Fact
from loomwright.model.robot import Plate
from loomwright.model.rules import Rule
from loomwright.search import Certificate
from loomwright.wiring.result import CircuitKind
from tests.documents_plan import plate_layouts as hand
from tests.documents_plan.factories import device
from tests.documents_plan.plate_layouts import edge, layout, placed, planned, robot
from tests.robots import EXAMPLES, example_plan


def test_devices_stand_where_the_file_says_with_their_size_and_height() -> None:
    sheet = plate_sheet(planned())
    found = {d.id: d for d in sheet.devices}
    assert list(found) == ["arm controller", "block", "left front controller"], "not in the order of the file"
    assert found["block"].corners[0] == pytest.approx((0.2, 0.13))
    assert found["block"].corners[2] == pytest.approx((0.3, 0.07))
    assert [(d.called, d.kind, d.above_m) for d in found.values()] == [
        ("arm", "controller", 0.3),
        ("block", "block", 0.0),
        ("left front", "controller", 0.0),
    ]


def test_a_part_without_a_size_is_a_small_square_and_a_guessed_place_is_told() -> None:
    camera = placed("camera", hand.CAMERA, (0.3, 0.3))
    guessed = replace(camera, id="eye", spot=replace(camera.spot, at=hand.GUESSED))
    found = plate_sheet(planned(robot=robot(devices=(camera, guessed)), layout=None)).devices
    assert [d.doubt for d in found] == ["", "guessed"]
    right, forward = zip(*found[0].corners, strict=True)
    assert (min(right), max(forward)) == pytest.approx((0.288, 0.312))


def test_a_run_takes_a_section_once_and_against_its_path_where_it_comes_the_other_way() -> None:
    """The second edge of the section lies against its path, too: it is the section that counts."""
    runs = {run.name: run for run in plate_sheet(planned()).runs}
    assert runs["left front"].legs == (PlateLeg("drop H1"), PlateLeg("centre"), PlateLeg("drop left"))
    assert runs["arm"].legs == (
        PlateLeg("drop arm", against=True),
        PlateLeg("centre", against=True),
        PlateLeg("drop H2", against=True),
    )


def test_wires_have_the_plans_ids_and_colours_and_the_thickness_of_the_option_taken() -> None:
    runs = {run.name: run for run in plate_sheet(planned()).runs}
    assert [(w.id, w.colour, w.outside_mm) for w in runs["left front"].wires] == [("W1", "RD", 3.9), ("W2", "BK", 3.9)]
    assert [(w.id, w.outside_mm) for w in runs["arm"].wires] == [("W3", 4.6), ("W4", 4.6)]


def test_a_section_keeps_its_order_and_what_is_told_of_it() -> None:
    (stretch,) = plate_sheet(planned()).bundles
    bundle = stretch.bundle
    assert bundle is not None
    assert (stretch.order, stretch.course, stretch.trunk) == (("left front", "arm"), Course.TRUNK, "centre")
    assert stretch.path == ((0.25, 0.2), (0.25, 0.3), (0.25, 0.38))
    assert (bundle.wires, bundle.diameter_m, bundle.fill, bundle.moving) == (4, 0.0094, 0.5, True)
    assert bundle.slack_m == pytest.approx(0.6)
    assert bundle.length_m == pytest.approx(0.18)
    assert bundle.ties == ((0.25, 0.22), (0.25, 0.36))


def test_drops_are_the_edges_that_some_run_takes() -> None:
    spare = edge("spare", "low", "left supply", hand.LOW, hand.LEFT)
    sheet = plate_sheet(planned(layout=layout(edges=(*hand.EDGES, spare))))
    drops = {s.name: s for s in sheet.stretches if s.bundle is None}
    assert set(drops) == {"drop H1", "drop H2", "drop left", "drop arm"}
    assert {s.course for s in drops.values()} == {Course.DROP}
    assert drops["drop H1"].order == ("left front",)


def test_terminals_have_the_letter_of_their_wires_and_slots_their_names() -> None:
    found = {(t.device, t.name): t for t in plate_sheet(planned()).terminals}
    assert {key: (t.letter, t.slot) for key, t in found.items()} == {
        ("block", "H1"): ("A", True),
        ("block", "H2"): ("A", True),
        ("left front controller", "supply"): ("B", False),
        ("arm controller", "supply"): ("B", False),
    }
    assert found["block", "H1"].at == hand.H1[:2]


def test_a_terminal_that_no_routed_run_uses_is_not_drawn() -> None:
    alone = layout(routes=layout().routes[:1], sections=())
    sheet = plate_sheet(planned(layout=alone))
    assert {t.device for t in sheet.terminals} == {"block", "left front controller"}
    assert [run.name for run in sheet.runs] == ["left front"]


def test_trunks_are_drawn_whether_or_not_wires_take_them_and_proposed_ones_are_marked() -> None:
    link = replace(layout().sections[0], name="link 1", trunk="link 1", proposed=True)
    sheet = plate_sheet(planned(layout=layout(sections=(link,))))
    assert [(t.name, t.proposed, t.remarks) for t in sheet.trunks] == [
        ("centre", False, ("sharp edge",)),
        ("unused", False, ()),
        ("link 1", True, ()),
    ]
    assert [s.proposed for s in sheet.bundles] == [True]


def test_a_proposed_trunk_of_several_sections_is_named_once() -> None:
    first, second = (
        replace(layout().sections[0], name=f"link 1 part {i}", trunk="link 1", proposed=True) for i in (1, 2)
    )
    split = (replace(first, edges=("centre 1",)), replace(second, edges=("centre 2",)))
    names = [t.name for t in plate_sheet(planned(layout=layout(sections=split))).trunks if t.proposed]
    assert names == ["link 1", ""]


def test_what_rises_to_an_upper_plate_leads_from_one_to_the_other() -> None:
    """The arm stands on a deck 30 cm up: its drop lies on the base plate, and ends in a passage on both."""
    deck = Plate(((0.3, 0.3), (0.5, 0.3), (0.5, 0.5), (0.3, 0.5)), name="deck", height_m=0.3)
    sheet = plate_sheet(planned(robot=robot(upper_plates=(deck,))))
    arm = next(d for d in sheet.devices if d.id == "arm controller")
    assert (arm.plate, arm.above_m) == (1, 0.0)
    assert {(p.plate, p.at, p.to) for p in passages(sheet)} == {(0, (0.4, 0.38), 1), (1, (0.4, 0.38), 0)}
    assert faults(draw(sheet)) == ()
    texts = [t.text for t in draw(sheet).texts()]
    assert {"up to deck", "down to base plate", "deck, 30 cm up"} <= set(texts)


def test_a_plate_counts_only_above_its_outline() -> None:
    aside = Plate(((0.0, 0.0), (0.2, 0.0), (0.2, 0.2), (0.0, 0.2)), name="deck", height_m=0.3)
    sheet = plate_sheet(planned(robot=robot(upper_plates=(aside,))))
    assert {d.plate for d in sheet.devices} == {0}
    assert passages(sheet) == ()


def test_what_is_not_on_the_plate_is_told_with_its_reason_once() -> None:
    assert plate_sheet(planned()).missing == (("camera", "no place is told"), ("horn", "no way leads there"))


def test_a_motor_is_shown_by_its_controller_and_the_plug_by_the_battery() -> None:
    """Neither is missing, nor drawn twice."""
    battery, plug = (
        placed("battery", replace(hand.CAMERA, id="battery/x"), (0.2, 0.2)),
        device("plug", replace(hand.CAMERA, id="plug/x")),
    )
    motor = replace(device("arm", replace(hand.CAMERA, id="motor/x")), driven_by="arm controller")
    sheet = plate_sheet(planned(robot=robot(devices=(*robot().devices[:3], battery, plug, motor)), layout=None))
    assert sheet.missing == ()
    assert [d.id for d in sheet.devices] == ["arm controller", "battery", "block", "left front controller"]


def test_keep_outs_grommets_and_counts_come_along() -> None:
    sheet = plate_sheet(planned())
    assert [area.name for area in sheet.panels[0].keep_outs] == ["wheel"]
    assert [(g.at, g.why) for g in sheet.grommets] == [((0.25, 0.36), "sharp edge")]
    assert (sheet.crossings, sheet.forced, sheet.tie_every_m) == (2, 1, 0.1)


@pytest.mark.parametrize(
    ("certificate", "words"),
    [
        (None, ""),
        (Certificate(cost=1.0, bound=1.0, unit="g"), "proved the best possible"),
        (Certificate(cost=100.0, bound=99.6, unit="g"), "within 0.4 % of the best possible"),
    ],
)
def test_how_good_the_routes_are_is_said(certificate: Any, words: str) -> None:  # noqa: ANN401
    assert plate_sheet(planned(layout=layout(certificate=certificate))).proof == words


@pytest.mark.parametrize(
    ("rule", "answer", "mounted"),
    [
        ("camera", None, True),
        ("camera", True, True),
        ("camera", False, False),
        ("radio", None, False),
        ("radio", True, True),
    ],
)
def test_a_thing_sits_on_shock_mounts_where_the_file_or_a_rule_says_so(
    rule: str, *, answer: bool | None, mounted: bool
) -> None:
    """A rule asks for it of every camera; what the file says goes first."""
    camera = placed("camera", hand.CAMERA, (0.3, 0.3))
    said = {} if answer is None else {"shock mounted": Fact.of(value=answer)}
    plain = planned(robot=robot(devices=(replace(camera, checks=said),)), layout=None)
    wish = Rule("soft", "answered yes", "", Severity.CONSIDER, "", {"of": rule, "about": "shock mounted"})
    plan = replace(plain, rules=replace(plain.rules, rules=(wish,)))
    assert [d.shock_mounted for d in plate_sheet(plan).devices] == [mounted]


def test_every_wire_of_the_plan_has_a_line_or_a_reason_why_not() -> None:
    """Main leads, motor leads and jumpers take no trunk; a circuit without a way has the layout's reason."""
    first = planned()
    main = replace(first.wires[0], id="W90", kind=CircuitKind.MAIN, role="x")
    phase = replace(main, id="W91", kind=CircuitKind.MOTOR)
    jumper = replace(main, id="W92", kind=CircuitKind.SIGNAL, a=main.a, b=replace(main.b, device=main.a.device))
    horn = replace(main, id="W93", kind=CircuitKind.BRANCH, circuit="horn")
    extra = replace(first.circuits[0], wires=(*first.circuits[0].wires, main, phase, jumper, horn))
    sheet = plate_sheet(replace(first, circuits=(extra, *first.circuits[1:])))
    assert sheet.undrawn == (
        ("main leads, battery to block: they take no trunk", ("W90",)),
        ("from a controller to the motor beside it", ("W91",)),
        ("from terminal to terminal of one part", ("W92",)),
        ("no way leads there", ("W93",)),
    )
    assert plate_sheet(first).undrawn == ()


@pytest.mark.parametrize("name", EXAMPLES)
def test_of_the_examples_every_wire_is_drawn_or_told(name: str) -> None:
    plan = example_plan(name)
    sheet = plate_sheet(plan)
    drawn = [wire.id for run in sheet.runs for wire in run.wires]
    told = [wire for _, ids in sheet.undrawn for wire in ids]
    assert sorted([*drawn, *told]) == sorted(wire.id for wire in plan.wires)
    assert any("main leads" in why for why, _ in sheet.undrawn)


def test_without_a_layout_the_plate_shows_devices_and_trunks() -> None:
    sheet = plate_sheet(planned(layout=None))
    assert (len(sheet.devices), len(sheet.trunks), sheet.runs) == (3, 2, ())
    assert faults(draw(sheet)) == ()


def test_without_any_place_or_outline_it_says_that_there_is_nothing_to_draw() -> None:
    bare = robot(devices=(device("camera", hand.CAMERA),), plate=Plate())
    svg = plate_svg(planned(robot=bare, layout=None)).decode()
    assert "No places are known yet" in svg


def test_a_plate_without_outline_is_drawn_by_what_stands_on_it() -> None:
    sheet = plate_sheet(planned(robot=robot(plate=Plate())))
    assert faults(draw(sheet)) == ()
    assert len(draw(sheet).groups("device")) == 3


def test_a_thing_that_is_not_on_the_robot_is_not_on_the_plate() -> None:
    gone = replace(robot().devices[1], present=Fact.of(value=False))
    sheet = plate_sheet(planned(robot=robot(devices=(robot().devices[0], gone)), layout=None))
    assert [d.id for d in sheet.devices] == ["block"]


def test_the_same_plan_gives_the_same_bytes_and_they_can_be_read() -> None:
    assert plate_svg(planned()) == plate_svg(planned())
    assert faults(draw(plate_sheet(planned()))) == ()
    assert plate_svg(planned()).startswith(b"<?xml")
