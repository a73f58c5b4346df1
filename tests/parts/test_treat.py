"""Wire ends: port and gauge decide terminal, strip, tool and pull."""

from __future__ import annotations

from dataclasses import replace

import pytest

from loomwright.catalogue.pull_force import NEWTON_PER_LBF, kinds
from loomwright.catalogue.sources import sources
from loomwright.catalogue.tables import table
from loomwright.model.part import Polarity, Port, PortKind
from loomwright.robotfile.parts.library import Library
from loomwright.units.gauge import Gauge
from loomwright.wiring.treat import joints, treat
from loomwright.wiring.treatment import Treatment

LIBRARY = Library()
EVEN = [Gauge(n) for n in (*range(28, 0, -2), 0, -1, -2, -3)]
LEVER = Port("plus", PortKind.LEVER, Polarity.PLUS, Gauge(24), Gauge(10), strip_m=0.011, source="from memory")
STUD = Port("plus", PortKind.STUD, Polarity.PLUS, Gauge(22), Gauge(6), stud_m=0.0048)
LEAD = Port("plus", PortKind.LEAD, Polarity.PLUS, lead_gauge=Gauge(12))


def ended(port: Port, gauge: Gauge, *, joint: str = "") -> Treatment:
    """Give the treatment that has to exist."""
    found = treat(port, gauge, joint=joint)
    assert found is not None
    return found


def shipped_ports() -> list[tuple[str, Port]]:
    """List every port of every shipped part."""
    parts = [part for part_id in LIBRARY.ids() if (part := LIBRARY.part(part_id)) is not None]
    return [(f"{part.id} {socket.name}", port) for part in parts for socket in part.sockets for port in socket.ports]


def test_every_port_has_an_end_for_every_gauge_that_it_takes() -> None:
    """No shipped port takes a gauge that nobody can put there."""
    for where, port in shipped_ports():
        data = port.polarity in (Polarity.BUS_HIGH, Polarity.BUS_LOW)
        thinnest, thickest = port.thinnest or Gauge(22), port.thickest or Gauge(18 if data else 10)
        for gauge in EVEN:
            if thickest.number <= gauge.number <= thinnest.number:
                assert treat(port, gauge) is not None, f"{where} {gauge}"


def test_the_kind_of_terminal_decides_the_pull() -> None:
    """14 AWG: 11.5 lbf in a clamp (UL 486E), 50 lbf in a crimp (UL 486A)."""
    clamp, crimp = ended(LEVER, Gauge(14)), ended(STUD, Gauge(14))
    assert (clamp.pull_standard, crimp.pull_standard) == ("ul-486e", "ul-486a")
    assert clamp.pull_n == pytest.approx(11.5 * NEWTON_PER_LBF)
    assert crimp.pull_n == pytest.approx(50 * NEWTON_PER_LBF)


def test_the_port_decides_a_clamps_strip_and_practice_a_crimps() -> None:
    """A clamp is stripped as it asks, a crimp about 1/4 in."""
    assert ended(LEVER, Gauge(12)).strip_m == 0.011
    assert ended(LEVER, Gauge(12)).strip_source == "from memory"
    assert ended(STUD, Gauge(12)).strip_m == pytest.approx(0.25 * 0.0254)
    assert ended(STUD, Gauge(12)).strip_source == "common practice"
    assert ended(replace(LEVER, strip_m=None), Gauge(12)).strip_source == "common practice"


def test_a_thin_end_is_folded_where_the_port_lets_it() -> None:
    """Twice the copper is three numbers thicker: a 16 AWG clamp takes 20 AWG folded and 18 AWG not.

    Folded it reaches as deep as the clamp asks a bare end to: it is stripped twice as long.
    """
    push = Port("plus", PortKind.PUSH, Polarity.PLUS, Gauge(24), Gauge(16), strip_m=0.008, doubled_end=True)
    folded = ended(push, Gauge(20))
    assert folded.folded
    assert folded.strip_m == pytest.approx(2 * 0.008)
    assert ended(replace(push, strip_m=None), Gauge(20)).strip_m == pytest.approx(0.5 * 0.0254)
    assert not ended(push, Gauge(18)).folded
    assert ended(push, Gauge(18)).strip_m == 0.008
    assert not ended(replace(push, doubled_end=False), Gauge(20)).folded


def test_terminals_carry_the_size_of_their_stud() -> None:
    """A ring fits a stud, a quick-connect a tab; sizes are told as the trade tells them."""
    assert ended(STUD, Gauge(12)).terminal == "ring terminal, yellow, #10 stud"
    assert ended(replace(STUD, stud_m=0.0123), Gauge(12)).terminal == "ring terminal, yellow, 12.3 mm stud"
    tab = Port("plus", PortKind.BLADE, Polarity.PLUS, stud_m=0.00635)
    assert ended(tab, Gauge(16)).terminal == "quick-connect, blue, 1/4 in, fully covered"
    assert ended(replace(tab, stud_m=0.00475), Gauge(16)).terminal == "quick-connect, blue, 3/16 in, fully covered"
    assert ended(tab, Gauge(16)).friction_only


def test_a_captive_leads_joint_follows_its_conductor_unless_asked() -> None:
    """Power leads get housed contacts, motor phases a row of three, the bus its own contact."""
    assert ended(LEAD, Gauge(12)).terminal == "snap-in power contacts in a pair of housings"
    phase = replace(LEAD, polarity=Polarity.PHASE_B)
    assert ended(phase, Gauge(12)).terminal == "three power contacts in one row, A to A, B to B, C to C"
    bus = replace(LEAD, polarity=Polarity.BUS_HIGH, lead_gauge=Gauge(22))
    assert ended(bus, Gauge(22)).terminal == "data-bus crimp contact in a two-way locking housing"
    assert ended(LEAD, Gauge(12), joint="butt joint").terminal == "butt splice, yellow"
    assert treat(LEAD, Gauge(12), joint="none") is None


def test_a_joint_is_made_for_its_thick_side_and_judged_by_its_thin_one() -> None:
    """14 AWG on a 10 AWG lead: the yellow splice, and the pull that 14 AWG has to stand."""
    lead = replace(LEAD, lead_gauge=Gauge(10))
    joint = ended(lead, Gauge(14), joint="butt joint")
    assert joint.terminal == "butt splice, yellow"
    assert joint.pull_n == pytest.approx(50 * NEWTON_PER_LBF)


def test_nobody_pulls_at_a_battery_post_or_a_board() -> None:
    """A firm pull by hand is for ends that can't break anything."""
    post = Port("plus", PortKind.POST, Polarity.PLUS, stud_m=0.005)
    assert ended(LEVER, Gauge(14)).hand_pull
    assert not ended(post, Gauge(6)).hand_pull
    assert not ended(replace(LEVER, on_board=True), Gauge(14)).hand_pull
    assert not ended(Port("signal", PortKind.HEADER, Polarity.SIGNAL), Gauge(24)).hand_pull


def test_what_no_terminal_fits_has_no_treatment() -> None:
    """A battery lead on a pin header can't be made, and an unknown gauge can't be judged."""
    header = Port("signal", PortKind.HEADER, Polarity.SIGNAL)
    assert treat(header, Gauge(6)) is None
    assert treat(LEVER, None) is None
    assert treat(LEAD, Gauge(12), joint="knot") is None


def test_a_ready_made_plug_needs_no_gauge() -> None:
    """Nobody strips a network cable."""
    plug = treat(Port("cable", PortKind.SOCKET, Polarity.CABLE), None)
    assert plug is not None
    assert (plug.strip_m, plug.pull_n, plug.folded) == (None, None, False)


def test_the_table_holds_together() -> None:
    """Every kind has rows, gauges run from thin to thick without overlap, and nothing is ever tinned for a clamp."""
    rows = table("end_treatment")
    assert {row["kind"] for row in rows} == {str(kind) for kind in PortKind}
    taken: set[tuple[str, str, int]] = set()
    for row in rows:
        assert row["pull_standard"] in ("", *kinds())
        assert row["strip_source"] in ("", *sources())
        assert "tin" not in row["terminal"]
        if row["thinnest_awg"]:
            numbers = range(Gauge.parse(row["thickest_awg"]).number, Gauge.parse(row["thinnest_awg"]).number + 1)
            assert numbers
            cells = {(row["kind"], row["way"], number) for number in numbers}
            assert not cells & taken
            taken |= cells


def test_crimps_are_judged_as_crimps_and_clamps_as_clamps() -> None:
    """No row of the table crosses the two standards."""
    for row in table("end_treatment"):
        clamped = row["kind"].endswith("clamp") or row["way"] == "lever joint"
        if row["pull_standard"]:
            assert (row["pull_standard"] == "ul-486e") == clamped, row["terminal"]


def test_the_joints_that_a_robot_file_can_ask_for() -> None:
    """The words are those of the robot file."""
    assert joints() == (
        *("housed contact", "three-phase joint", "bus contact", "inline joint", "butt joint", "lever joint"),
        "solder joint",
    )
