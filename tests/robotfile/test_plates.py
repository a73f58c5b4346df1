"""Plates, trunks and keep-outs: what can be drawn, and what people are told where it can't be read."""

from __future__ import annotations

import pytest

from loomwright.model.fact import State
from loomwright.model.robot import KeepOut, Plate, Robot
from tests.robotfile.fault_cases import fault_cases
from tests.robotfile.robot_texts import noticed, told
from tests.robots import robot_of

OUTLINE = "[[0, 0], [64 cm, 0], [64 cm, 70 cm], [0, 70 cm]]"


def robot(*lines: str, build: str = "") -> Robot:
    """Read a robot that has nothing but these lines."""
    return robot_of("".join(f"{line}\n" for line in ("robot: T", *lines)), build)


def upper(*lines: str) -> Plate:
    """Read the one plate above the base plate."""
    [plate] = robot(*lines).upper_plates
    return plate


@pytest.mark.parametrize(("written", "told_words"), fault_cases("robot_plate_faults.txt"))
def test_what_cannot_be_drawn_is_told_whole(written: str, told_words: str) -> None:
    """One place alone, places twice, areas that are none, trunks of one name, heights, travels, capacities."""
    assert told(written) == told_words


def test_a_place_of_a_trunk_has_the_height_of_its_plate_or_its_own() -> None:
    """Two lengths lie on the plate; a third one is the height above the base plate, on any plate."""
    found = robot(
        "plate: {trunks: {tower: [[1 m, 2 m], [1 m, 2 m, 90 cm], [1 m, 2 m, -5 cm]]}}",
        "plates: {deck: {height: 30 cm, trunks: {bridge: [[0, 0], [1 m, 0], [1 m, 0, 0]]}}}",
    )
    assert list(found.plate.trunks[0].points) == [(1, 2, 0), (1, 2, 0.9), (1, 2, -0.05)]
    assert list(found.upper_plates[0].trunks[0].points) == [(0, 0, 0.3), (1, 0, 0.3), (1, 0, 0)]
    assert [trunk.name for trunk in found.trunks] == ["tower", "bridge"]


@pytest.mark.parametrize(
    ("written", "capacity_m"), [("20 mm", 0.02), ("20 mm (guessed)", 0.02), ("as needed", None), ("As  needed", None)]
)
def test_a_capacity_is_a_diameter_or_as_needed(written: str, capacity_m: float | None) -> None:
    """What takes any bundle is the same as a trunk that says nothing."""
    [trunk] = robot(f"plate: {{trunks: {{a: {{along: [[0, 0], [1 m, 0]], capacity: {written}}}}}}}").trunks
    assert trunk.capacity.value == capacity_m
    assert trunk.capacity.open_to_decide is (capacity_m is None)


@pytest.mark.parametrize("moving", ["yes", "yes (guessed)", "unknown", "{claims: [yes, no]}"])
def test_a_trunk_that_moves_or_may_move_has_a_travel(moving: str) -> None:
    """The travel stands beside `moving`, which may be doubtful itself."""
    line = f"plate: {{trunks: {{a: {{along: [[0, 0], [1 m, 0]], moving: {moving}, travel: 60 cm}}}}}}"
    [trunk] = robot(line).trunks
    assert trunk.travel.value == pytest.approx(0.6)
    assert trunk.moving is moving.startswith("yes")
    assert trunk.path == "plate.trunks.a"


def test_a_keep_out_keeps_its_corners_and_where_it_stands() -> None:
    """Whoever finds a wire in it can point at its name; the first corner may be named again at the end."""
    found = robot("plate: {keep outs: {well: [[0, 0], [8 cm, 0], [8 cm, 9 cm], [0, 0]]}}").plate.keep_outs
    assert found == (KeepOut("well", ((0, 0), (0.08, 0), (0.08, 0.09)), found[0].mark),)
    assert str(found[0].mark) == "robot.yaml:2:21"


def test_an_area_may_have_a_bay() -> None:
    """A plate with a cut-out in its front edge is an area like any other."""
    bay = "[40 cm, 70 cm], [40 cm, 50 cm], [20 cm, 50 cm], [20 cm, 70 cm]"
    outline = f"[[0, 0], [64 cm, 0], [64 cm, 70 cm], {bay}, [0, 70 cm]]"
    assert len(robot(f"plate: {{outline: {outline}}}").plate.outline) == 8


def test_a_line_of_very_many_places_is_refused() -> None:
    """Two hundred are more than anybody measures; a list of thousands is a slip of some other program."""
    places = [f"[{n} mm, 0]" for n in range(201)]
    assert len(robot(f"plate: {{trunks: {{a: [{', '.join(places[1:])}]}}}}").trunks[0].points) == 200
    assert told(f"robot: T\nplate: {{trunks: {{a: [{', '.join(places)}]}}}}\n") == (
        "robot.yaml:2:21  plate.trunks.a  [too-long] must\n"
        "  This list has 201 places, and no plate needs more than 200.\n"
        "  Fix: Leave out those that lie on a straight line between others."
    )


def test_upper_plates_have_all_that_the_base_plate_has() -> None:
    """Name, height, outline, trunks, keep-outs; the base plate has no name and lies at nothing."""
    keep_out = "well: [[0, 0], [8 cm, 0], [8 cm, 9 cm]]"
    plate = upper(f"plates: {{upper deck: {{height: 30 cm, outline: {OUTLINE}, keep outs: {{{keep_out}}}}}}}")
    assert (plate.name, plate.height_m, len(plate.outline)) == ("upper deck", 0.3, 4)
    assert [area.name for area in plate.keep_outs] == ["well"]
    assert str(plate.mark) == "robot.yaml:2:22"
    assert upper("plates: {deck: {height: 30 cm (guessed)}}").height_m == pytest.approx(0.3)
    base = robot("plate: {note: oak}").plate
    assert (base.name, base.height_m, str(base.mark)) == ("", 0.0, "robot.yaml:2:8")
    assert robot().plates == (Plate(),)


@pytest.mark.parametrize(
    ("height", "code", "what"),
    [
        ("unknown", "unknown", "is unknown in the file; its trunks are left out till then"),
        ("none found", "unknown", "is not known, although somebody looked; its trunks are left out till then"),
        ("{any of: [20 cm, 30 cm]}", "unknown", "is said to be 20 cm or 30 cm; its trunks are left out till then"),
        (
            "{claims: [20 cm, 30 cm]}",
            "claims-disagree",
            "is said to be 20 cm or 30 cm; its trunks are left out till then",
        ),
        ("30 cm (guessed)", "guessed", "is only guessed"),
    ],
)
def test_a_plate_of_doubtful_height_is_asked_about(height: str, code: str, what: str) -> None:
    """Nobody routes along a plate that floats somewhere: what is not known is asked."""
    found = robot(f"plates: {{deck: {{height: {height}, trunks: {{bridge: [[0, 0], [1 m, 0]]}}}}}}")
    assert len(found.trunks) == (code == "guessed")
    assert noticed(found)[code].as_text() == (
        f"robot.yaml:2:25  plates.deck.height  [{code}] should\n"
        f"  How high deck is above the base plate {what}.\n"
        "  Fix: Measure it, and write `height: ...`."
    )


@pytest.mark.parametrize(
    ("line", "code", "what"),
    [
        ("capacity: unknown", "unknown", "The bundle that a lets through is unknown in the file."),
        ("capacity: 20 mm (guessed)", "guessed", "The bundle that a lets through is only guessed."),
        ("capacity: {any of: [2 cm, 3 cm]}", "unknown", "The bundle that a lets through is said to be 2 cm or 3 cm."),
        ("moving: yes, travel: none found", "unknown", "How far a travels is not known, although somebody looked."),
        (
            "moving: yes, travel: {claims: [{value: 60 cm, source: Mia}, 9 cm]}",
            "claims-disagree",
            "How far a travels is said to be 60 cm (Mia) or 9 cm.",
        ),
    ],
)
def test_doubt_about_a_trunk_is_asked_about(line: str, code: str, what: str) -> None:
    """Capacity and travel are facts like any other."""
    found = robot(f"plate: {{trunks: {{a: {{along: [[0, 0], [1 m, 0]], {line}}}}}}}")
    assert noticed(found)[code].what == what
    assert noticed(robot("plate: {trunks: {a: {along: [[0, 0], [1 m, 0]], capacity: 2 cm}}}")) == {}


def test_trunks_of_upper_plates_are_asked_about_and_their_notes_kept() -> None:
    """Every plate has the same questions and remarks."""
    trunk = "a: {along: [[0, 0], [1 m, 0]], moving: unknown, note: taped}"
    found = robot(f"plates: {{deck: {{height: 30 cm, note: oak, trunks: {{{trunk}}}}}}}")
    assert noticed(found)["unknown"].place.thing == "plates.deck.trunks.a.moving"
    assert [(r.subject, r.text) for r in found.remarks] == [("a", "taped"), ("deck", "oak")]


def test_what_holds_for_every_wire_is_read() -> None:
    """Whole steps, spare wire at the ends, spare wire along the way; the last two may be nothing."""
    house = robot("wires: {step: 5 mm, service loop: 75 mm, slack: 3 %}").house
    assert (house.step.value, house.service_loop.value, house.slack.value) == pytest.approx((0.005, 0.075, 0.03))
    for nothing in ("{service loop: 0, slack: 0}", "{service loop: 0 mm, slack: 0 % (fitted)}"):
        house = robot(f"wires: {nothing}").house
        assert (house.service_loop.value, house.slack.value) == (0, 0)
    assert robot().house.step.open_to_decide


@pytest.mark.parametrize("written", ["0", "5 mm", "1 m"])
def test_a_service_loop_may_be_as_long_as_its_limit(written: str) -> None:
    """Nothing and one metre are both read; beyond it only a slip of the unit is left."""
    assert robot(f"wires: {{service loop: {written}}}").house.service_loop.state is State.PLANNED


def test_a_build_changes_adds_and_leaves_out_plates() -> None:
    """By the name of the plate; what stays unsaid stays, and a trunk that was a plain list keeps its line."""
    design = (
        "plate: {trunks: {centre: [[0, 0], [1 m, 0]]}}",
        "plates: {deck: {height: 30 cm, trunks: {bridge: [[0, 0], [1 m, 0]]}}, mast: {height: 1 m}}",
        "builds:",
        "  practice:",
        "    without: [mast]",
        "    change:",
        "      deck: {height: 20 cm, trunks: {bridge: {signal only: yes}}}",
        "      plate: {trunks: {centre: {sharp edge: yes}}}",
        "    add: {plates: {shelf: {height: 9 cm}}}",
    )
    assert [(plate.name, plate.height_m) for plate in robot(*design).upper_plates] == [("deck", 0.3), ("mast", 1.0)]
    built = robot(*design, build="practice")
    assert [(plate.name, plate.height_m) for plate in built.upper_plates] == [("shelf", 0.09), ("deck", 0.2)]
    assert [(t.name, t.flags, t.points) for t in built.trunks] == [
        ("centre", ("sharp edge",), ((0, 0, 0), (1, 0, 0))),
        ("bridge", ("signal only",), ((0, 0, 0.2), (1, 0, 0.2))),
    ]
