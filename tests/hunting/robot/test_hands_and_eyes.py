"""What hands, eyes and noses find in every case, and what people tell of the match: worked by hand."""

from __future__ import annotations

import pytest

from loomwright.hunting.robot.practice import practice
from tests.hunting.robot.traced import HEALTHY, likeliest, planned, shows, traced


def test_a_pull_finds_the_end_that_is_bad() -> None:
    """Open ones come off, what barely holds moves, now and then the other way; its other end and its twin hold."""
    for kind, first, second in (("open", "comes off", "moves"), ("poor", "moves", "comes off")):
        shown = shows("rockpool", f"{kind} W6 A", "tug W6 A")
        assert shown[first] + shown[second] == pytest.approx(practice("tug shows"), abs=1e-6)
        assert shown[second] == pytest.approx(0.15 * practice("tug shows"), abs=1e-6)
        for other in ("W7 A", "W8 A"):
            assert shows("rockpool", f"{kind} W6 A", f"tug {other}")["holds"] > 0.99
    loose = shows("rockpool", "loose W6 A", "tug W6 A")
    assert 1 - loose["holds"] == pytest.approx(practice("tug shows loose"))
    assert shows("rockpool", "shaky W6 A", "tug W6 A")["holds"] == pytest.approx(1 - practice("tug shows"))
    assert likeliest("rockpool", HEALTHY, "tug W6 A") == ("holds",)


def test_nobody_pulls_at_a_board_or_a_post() -> None:
    """There it is a look, or a turn by two fingers; everywhere else a firm pull, in the table's words."""
    robot = traced("tidepool")
    ends = {f"{wire.id} {end.letter}": end for wire in planned("tidepool").wires for end in (wire.a, wire.b)}
    told = set()
    for key, shown in robot.checks.items():
        if shown.kind != "tug":
            continue
        port = ends[shown.about].port
        assert port is not None
        nut = port.kind in ("battery post", "stud")
        assert (shown.how == "") == (not nut and not port.on_board), key
        assert nut == ("nut by two fingers" in shown.how)
        assert shown.how == "" or "Don't pull" in shown.how
        told.add(shown.how)
    assert len(told) == 3


def test_a_wiggle_finds_a_shaky_end() -> None:
    """Eight times of ten at the end itself, seldom from the other end, never at another wire, never at a motor's."""
    assert shows("rockpool", "shaky W6 A", "wiggle W6 A")["changes"] == pytest.approx(practice("wiggle shows"))
    assert shows("rockpool", "shaky W6 B", "wiggle W6 A")["changes"] == pytest.approx(practice("wiggle other end"))
    assert shows("rockpool", "shaky W7 A", "wiggle W6 A")["changes"] < 0.01
    assert shows("rockpool", "open W6 A", "wiggle W6 A")["changes"] == pytest.approx(0.3)
    assert "wiggle W14 A" not in traced("rockpool").checks
    assert "tug W14 A" in traced("rockpool").checks


def test_a_joint_that_bends_finds_a_wire_that_breaks_in_it() -> None:
    """Tidepool's W8 runs through the lift chain; W6 does not."""
    moving = [k.removeprefix("flex ") for k in traced("tidepool").checks if k.startswith("flex ")]
    assert "lift chain" in moving
    [wire] = [wire for wire in planned("tidepool").wires if wire.id == "W8"]
    along = [trunk for trunk in moving if trunk in wire.path]
    for trunk in moving:
        changes = shows("tidepool", "shaky wire W8", f"flex {trunk}")["changes"]
        expected = practice("flex shows") / len(along) if trunk in along else 0.01
        assert changes == pytest.approx(expected), trunk
    assert shows("tidepool", "shaky W8 A", "flex lift chain")["changes"] == pytest.approx(practice("wiggle other end"))
    # Through two joints it breaks in one of them: each shows half of the time what it shows.
    for trunk in ("arm joint", "lift tower"):
        changes = shows("breakwater", "shaky wire W120", f"flex {trunk}")["changes"]
        assert changes == pytest.approx(practice("flex shows") / 2)
    assert "shaky wire W6" not in traced("tidepool").faults
    assert [key for key in traced("rockpool").checks if key.startswith("flex")] == []


def test_lugs_of_the_batterys_path_are_felt() -> None:
    """A loose one is warm seven times of ten; the end beside it is not; wires of circuits are not felt."""
    assert shows("rockpool", "loose W2 B", "warm W2 B")["warm"] == pytest.approx(practice("warm shows"))
    assert shows("rockpool", "loose W2 B", "warm W2 A")["warm"] == pytest.approx(0.05)
    assert "warm W6 A" not in traced("rockpool").checks


def test_phases_of_a_brushless_motor_are_alike() -> None:
    """Unless one is open or poor; a loose one is seen four times of ten; brushed motors have none."""
    check = "phases arm: motor side"
    for seat in ("W61 A", "W62 B", "W63 A"):
        assert shows("breakwater", f"open {seat}", check)["one differs"] == 1.0
        assert shows("breakwater", f"poor {seat}", check)["one differs"] == 1.0
        assert shows("breakwater", f"loose {seat}", check)["one differs"] == pytest.approx(0.4)
    assert shows("breakwater", "open W64 A", check)["alike"] == 1.0
    assert check not in traced("tidepool").checks
    assert "phases intake: motor side" in traced("tidepool").checks


def test_protections() -> None:
    """Out is open; a short leaves it open or warm, a fuse blown; none of it tells of another circuit."""
    assert shows("rockpool", "out protection of left wheel", "breaker left wheel")["open"] == pytest.approx(0.95)
    short = shows("rockpool", "pair short left wheel", "breaker left wheel")
    assert (short["open"], short["warm"]) == pytest.approx((0.45, 0.45))
    assert shows("rockpool", "pair short left wheel", "breaker right wheel")["cold"] > 0.98
    assert shows("rockpool", "loose W6 B", "breaker left wheel")["warm"] == pytest.approx(0.2)
    assert shows("rockpool", "out protection of robot controller", "fuse robot controller")["blown"] == 0.95
    assert shows("rockpool", "pair short robot controller", "fuse robot controller")["blown"] == 0.9
    assert not {"breaker robot controller", "fuse left wheel"} & set(traced("rockpool").checks)


def test_the_main_breaker() -> None:
    """Off or tripped by a short before the block, it stands open; a loose lug on it makes it warm."""
    assert shows("rockpool", "off main breaker", "breaker main")["open"] == pytest.approx(0.95)
    assert shows("rockpool", "pair short main", "breaker main")["open"] == pytest.approx(0.9)
    assert shows("rockpool", "pair short left wheel", "breaker main")["open"] < 0.01
    assert shows("rockpool", "loose W3 A", "breaker main")["warm"] == pytest.approx(practice("warm shows"))


def test_what_is_followed_compared_and_read() -> None:
    """The wrong slot, crossed colours and a strange number are found where they are, and hardly ever elsewhere."""
    for fault, check, found, outcome in (
        ("wrong slot left wheel", "slot left wheel", "slot right wheel", "another"),
        ("reversed left wheel", "colours left wheel", "colours right wheel", "crossed"),
        ("reversed left wheel: motor side", "colours left wheel: motor side", "colours left wheel", "crossed"),
    ):
        assert shows("rockpool", fault, check)[outcome] == pytest.approx(0.95)
        assert shows("rockpool", fault, found)[outcome] < 0.01
    for fault, outcome in (("factory id arm controller", "factory"), ("double id arm controller", "another's")):
        assert shows("breakwater", fault, "id arm controller")[outcome] == pytest.approx(0.95)
        assert shows("breakwater", fault, "id grabber controller")["as planned"] > 0.99


def test_noses_and_covers() -> None:
    """What is dead, wet or fed the wrong way round smells three times of ten; water is seen under the cover."""
    for fault in ("dead robot controller", "wet robot controller", "reversed robot controller"):
        assert shows("rockpool", fault, "smell robot controller")["burnt"] == pytest.approx(0.3), fault
    assert shows("rockpool", "dead left wheel controller", "smell robot controller")["burnt"] < 0.01
    assert shows("rockpool", "reversed left wheel: motor side", "smell left wheel")["burnt"] < 0.01
    assert shows("rockpool", "wet robot controller", "clean robot controller")["wet or swarf"] == 0.95
    assert shows("rockpool", HEALTHY, "clean robot controller")["clean"] > 0.98


def test_lights_that_are_odd() -> None:
    """A dead one may show another light; a wet one too; a controller without a command blinks."""
    shown = shows("rockpool", "dead robot controller", "look robot controller")
    assert (shown["dark"], shown["odd"]) == pytest.approx((0.6, 0.25))
    assert shows("rockpool", "wet robot controller", "look robot controller")["odd"] == pytest.approx(0.5, abs=0.01)
    assert shows("breakwater", "open W116 A", "look grabber controller")["odd"] == pytest.approx(0.6, abs=0.01)
    # Before the break the chain is unsteady three times of ten.
    assert shows("breakwater", "open W116 A", "look lift right controller")["odd"] == pytest.approx(0.18, abs=0.01)
    assert shows("breakwater", "open W116 A", "look front left drive")["odd"] < 0.01


def test_halts() -> None:
    """What comes back at once, after its start, or never: a radio's shaky feed, a dead controller, a brown-out."""
    radio = next(d for d in planned("breakwater").robot if d.id == "radio")
    back_s = radio.part.number("recovery time") or 0.0
    length = "short" if back_s <= 10 else "computer" if back_s <= 40 else "long" if back_s <= 60 else "rest"
    assert shows("breakwater", "shaky W58 A", "halt")[length] == pytest.approx(practice("shaky shows"), abs=0.02)
    for fault in ("dead robot controller", "open W50 A", "off main breaker", "dead radio", "open W58 B"):
        assert shows("breakwater", fault, "halt")["rest"] > 0.5, fault
    for fault in ("dead arm controller", "open W8 A", "dead front camera"):
        assert shows("breakwater", fault, "halt")["none"] > 0.8, fault
    assert shows("rockpool", HEALTHY, "halt")["none"] > 0.95


def test_a_halt_at_the_edge_of_a_length_is_told_on_either_side() -> None:
    """A vision computer takes 40 s, where one length ends and the next begins; nobody holds a watch."""
    vision = next(d for d in planned("breakwater").robot if d.id == "vision")
    assert vision.part.number("recovery time") == 40
    told = shows("breakwater", "shaky W54 A", "halt")
    half = practice("shaky shows") / 2
    assert (told["computer"], told["long"]) == pytest.approx((half, half), abs=0.02)


def test_brown_outs() -> None:
    """150 A through 0.05 ohm and more of a tired battery's inside: below 6.75 V; a loose lug in the main leads too."""
    assert likeliest("breakwater", "weak battery", "brown-out") == ("yes",)
    assert shows("breakwater", "loose W2 A", "brown-out")["yes"] > 0.6
    assert shows("breakwater", "loose W8 A", "brown-out")["yes"] == pytest.approx(practice("software brown-out"))
    assert likeliest("breakwater", HEALTHY, "brown-out") == ("no",)
    # A poor end of the battery's leads leaves 2.7 to 9.6 V at rest, and hardly anything of that under load.
    assert shows("rockpool", "poor W1 B", "brown-out")["yes"] > 0.99
    # Without any volts nobody sees a brown-out.
    for fault in ("off main breaker", "open W1 A", "pair short main"):
        assert shows("breakwater", fault, "brown-out")["yes"] <= practice("short pulls down"), fault
    assert likeliest("breakwater", "off main breaker", "brown-out") == ("no",)


def test_what_happened_just_before() -> None:
    """A hit, hands in the wiring or a battery swap make what they cause three times as likely, and nothing else."""
    for check, fault, other in (
        ("since hit", "open W6 A", "flat battery"),
        ("since work", "reversed left wheel", HEALTHY),
        ("since battery", "flat battery", "open W6 A"),
        ("since battery", "open W1 A", "open W6 A"),
    ):
        usual = practice(check.removeprefix("since "))
        assert shows("rockpool", fault, check)["yes"] == pytest.approx(min(3 * usual, 0.95)), check
        assert shows("rockpool", other, check)["yes"] == pytest.approx(usual), check


def test_who_writes_the_program_finds_what_is_in_it() -> None:
    """Its own trouble mostly; of the wiring's it is blamed for little."""
    assert shows("rockpool", "software", "program")["found it"] == pytest.approx(practice("program found"))
    for fault in (HEALTHY, "open W6 A", "flat battery"):
        assert shows("rockpool", fault, "program")["found it"] == pytest.approx(practice("program blamed")), fault
