"""Part files: the compact form, and what is said of files that can't be understood."""

from __future__ import annotations

import pytest

from loomwright.findings import UnreadableInputError
from loomwright.model.mark import Mark
from loomwright.model.part import Part, Polarity, PortKind, Role, Socket, TripPoint
from loomwright.robotfile.parts.partfile import read_part
from loomwright.units.gauge import Gauge
from tests.parts.slips import ALL_THAT_IS_SAID, GOOD, MANY_SLIPS, SLIPS, Said

FILE = "parts/controller/ours.yaml"


def read(text: str, part_id: str = "controller/ours") -> Part:
    """Read one part file."""
    return read_part(text.encode(), part_id=part_id, file=FILE)


def socket_of(part: Part, name: str) -> Socket:
    """Give a socket that has to be there."""
    socket = part.socket(name)
    assert socket is not None
    return socket


def faults(text: str, part_id: str = "controller/ours") -> str:
    """Give everything that is said of a bad file."""
    with pytest.raises(UnreadableInputError) as caught:
        read(text, part_id)
    return str(caught.value)


def test_the_compact_form_says_everything() -> None:
    """Patterns, classes of ports, captive leads, defaults for sources."""
    part = read(GOOD)
    assert (part.id, part.kind, part.title, part.mark) == (
        "controller/ours",
        "controller",
        "Our controller",
        Mark(FILE, 1, 1),
    )
    assert [socket.name for socket in part.sockets] == ["supply", "motor", "out 1", "out 2", "out 3"]
    assert (part.fed_by, part.size_m, part.notes) == (("block", "regulator"), (0.075, 0.035), ("one", "two"))
    assert (part.wants_protection_a, part.wants_group, part.required_protection) == ((30.0, 20.0), "light", True)
    assert part.wants_protection_source == "data sheet, page 2"
    assert (part.number("draw"), part.values["draw"].source) == (0.05, "data sheet, page 2")
    assert (part.values["recovery time"].source, part.values["recovery time"].note) == ("measured", "on the bench")


def test_ports_follow_from_class_and_mapping() -> None:
    """A named class brings its gauges and strip; a mapping changes what it says."""
    part = read(GOOD)
    supply, motor, out = (socket_of(part, name) for name in ("supply", "motor", "out 2"))
    plus = supply.port(Polarity.PLUS)
    assert plus is not None
    assert (plus.kind, plus.thinnest, plus.thickest, plus.strip_m) == (PortKind.LEVER, Gauge(24), Gauge(10), 0.011)
    assert plus.on_board
    assert [(port.name, port.lead_gauge, port.lead_length_m) for port in motor.ports] == [
        ("M+", Gauge(14), 0.2),
        ("minus", Gauge(14), 0.2),
    ]
    assert (out.role, out.volts, out.limit_a) == (Role.OUTLET, 5.0, 2.0)
    held = out.ports[0]
    assert (held.kind, held.thinnest, held.thickest, held.strip_m) == (PortKind.PUSH, Gauge(22), Gauge(18), 0.009)
    assert (held.doubled_end, held.friction_only, held.on_board) == (True, True, False)


def test_an_own_curve_is_read_and_marked() -> None:
    """Points in percent of the rating; assumed is said in the file."""
    part = read(
        "title: B\nsource: data sheet\nvalues: {rating: 40 A}\n"
        "trip curve: {assumed: yes, points: [{at: 200 %, at least: 5 s, at most: 30 s}, {at: 600 %, at most: 1 s}]}\n",
        "breaker/ours-40a",
    )
    assert part.trip_curve == (TripPoint(2.0, 5.0, 30.0), TripPoint(6.0, None, 1.0))
    assert part.curve_assumed
    assert part.curve_source == "data sheet"


def as_text(said: list[Said]) -> str:
    """Write what is said as the tool writes it."""
    return "\n".join(f"{FILE}:{place}  [{code}] must\n  {what}\n  Fix: {fix}" for place, code, what, fix in said)


def test_all_faults_are_told_at_once_with_their_places() -> None:
    """One bad file, many slips, each with line, column, what and fix."""
    assert faults(MANY_SLIPS) == as_text(ALL_THAT_IS_SAID)


@pytest.mark.parametrize("name", SLIPS)
def test_each_slip_has_its_own_words(name: str) -> None:
    """One slip, its whole text."""
    good, bad, said = SLIPS[name]
    assert good in GOOD
    assert faults(GOOD.replace(good, bad)) == as_text(said)


def test_a_curve_that_runs_backwards_is_refused() -> None:
    """More current never takes longer."""
    text = (
        "title: B\nsource: data sheet\nvalues: {rating: 40 A}\n"
        "trip curve: {points: [{at: 200 %, at most: 5 s}, {at: 600 %, at most: 8 s}]}\n"
    )
    what, fix = (
        "The points of this curve do not run one way.",
        "Sort the points by current; more current never takes longer.",
    )
    assert faults(text, "breaker/ours") == as_text([("4:13  trip curve", "bad-curve", what, fix)])


def test_a_folder_that_is_no_kind_of_part_is_refused() -> None:
    """The first word of the id is the kind, and kinds are what wiring and rules know."""
    assert faults("title: x\nsource: y\nnotes: z\n", "gripper/ours").startswith(
        "parts/controller/ours.yaml:1:1  [unknown-kind] must\n  The folder `gripper` is no kind of part.\n"
    )


def test_the_first_fault_of_yaml_itself_is_told_alone() -> None:
    """A part file goes through the same reader as the robot file."""
    assert faults("title: x\nsize: [1 mm\nnotes: z\n").startswith(
        "parts/controller/ours.yaml:2:7  [yaml-open-bracket] must\n"
    )
    assert faults("title: x\ntitle: y\n").startswith("parts/controller/ours.yaml:2:1  title  [duplicate-key] must\n")
