"""Networks that were worked by hand: ladders, bridges, sources, floating parts."""

from __future__ import annotations

import math
from collections.abc import Callable

import pytest

from loomwright.network import Draw, Meter, Network, NetworkError, Resistor, Source, ohms, solve, volts


def r(a: str, b: str, resistance_ohm: float, name: str = "") -> Resistor:
    """Make a resistor named by its ends."""
    return Resistor(name=name or f"{a}-{b}", a=a, b=b, resistance_ohm=resistance_ohm)


BRIDGE = (r("top", "left", 1), r("top", "right", 2), r("left", "bottom", 3), r("right", "bottom", 4))


def test_resistors_in_a_row_add_up_and_side_by_side_share() -> None:
    """2 + 3 in a row is 5; 6 beside 3 is 2. Worked by hand."""
    assert ohms(Network((r("a", "b", 2), r("b", "c", 3))), red="a", black="c").resistance_ohm == pytest.approx(5)
    beside = Network((r("a", "b", 6, "one"), r("a", "b", 3, "two")))
    assert ohms(beside, red="a", black="b").resistance_ohm == pytest.approx(2)


def test_a_ladder_of_ones_is_made_of_fibonacci_numbers() -> None:
    """Three rungs of 1 ohm behind three rails of 1 ohm: 13/8 ohm. Worked by hand: 2, 5/3, 13/8."""
    ladder: list[Resistor] = []
    for n, worked in ((1, 2), (2, 5 / 3), (3, 13 / 8)):
        ladder += [r(f"p{n}", f"p{n - 1}", 1), r(f"p{n - 1}", "minus", 1)]
        assert ohms(Network(tuple(ladder)), red=f"p{n}", black="minus").resistance_ohm == pytest.approx(worked)


def test_a_bridge_without_its_detector_is_two_rows_side_by_side() -> None:
    """(1 + 3) beside (2 + 4) is 24/10 ohm. Worked by hand."""
    assert ohms(Network(BRIDGE), red="top", black="bottom").resistance_ohm == pytest.approx(2.4)


def test_a_bridge_that_is_out_of_balance() -> None:
    """With 5 ohm across, star and delta give 170/71 ohm from top to bottom. Worked by hand.

    Delta of top, left, right (1, 2, 5; sum 8): star of 1/4 at top, 5/8 at left, 5/4 at right;
    (5/8 + 3) beside (5/4 + 4) is 29/8 * 42/8 / (71/8) = 609/284; and 1/4 + 609/284 = 680/284 = 170/71.
    """
    network = Network((*BRIDGE, r("left", "right", 5)))
    assert ohms(network, red="top", black="bottom").resistance_ohm == pytest.approx(170 / 71, rel=1e-14)


def test_a_balanced_bridge_does_not_care_what_lies_across() -> None:
    """1:2 as 3:6: the middle stays at one voltage, whether open, joined, or anything between."""
    arms = (r("top", "left", 1), r("top", "right", 2), r("left", "bottom", 3), r("right", "bottom", 6))
    for across_ohm in (0.0, 1e-3, 7.0, 1e9, math.inf):
        network = Network((*arms, r("left", "right", across_ohm)))
        assert ohms(network, red="top", black="bottom").resistance_ohm == pytest.approx(8 / 3, rel=1e-12)


def test_a_cube_of_ones_from_corner_to_corner() -> None:
    """Twelve edges of 1 ohm: 5/6 ohm across, 7/12 along an edge. Worked by hand, by symmetry."""
    corners = [f"{n:03b}" for n in range(8)]
    edges = [r(a, b, 1) for a in corners for b in corners if a < b and (int(a, 2) ^ int(b, 2)).bit_count() == 1]
    assert len(edges) == 12
    meter = Meter(Network(tuple(edges)))
    assert meter.ohms(red="000", black="111").resistance_ohm == pytest.approx(5 / 6)
    assert meter.ohms(red="000", black="001").resistance_ohm == pytest.approx(7 / 12)


def test_milliohms_beside_megohms_lose_no_digits() -> None:
    """A wire of 5 milliohm whose far end leaks over 10 gigohm is still 5 milliohm to twelve digits."""
    network = Network((r("a", "b", 5e-3), r("a", "frame", 1e10), r("b", "frame", 1e10)))
    worked = 1 / (1 / 5e-3 + 1 / 2e10)
    assert ohms(network, red="a", black="b").resistance_ohm == pytest.approx(worked, rel=1e-13)


def test_a_meters_own_leads_are_in_line() -> None:
    """0.3 ohm of leads make 2 ohm read 2.3, and change nothing of an open reading."""
    network = Network((r("a", "b", 2), r("c", "d", 1)))
    assert ohms(network, red="a", black="b", leads_ohm=0.3).resistance_ohm == pytest.approx(2.3)
    assert ohms(network, red="a", black="c", leads_ohm=0.3).open


def test_no_resistance_joins_and_a_break_parts() -> None:
    """0 ohm makes two nodes one; a broken resistor leaves its nodes, and a probe on them reads open."""
    network = Network((r("a", "b", 0), r("b", "c", 4), r("c", "a", 4, "back")))
    assert ohms(network, red="a", black="b").resistance_ohm == 0
    assert ohms(network, red="a", black="c").resistance_ohm == pytest.approx(2)
    broken = network.opened(["b-c", "back"])
    assert ohms(broken, red="a", black="c").open
    assert broken.nodes == network.nodes


def test_a_divider_and_its_currents() -> None:
    """12 V over 1 ohm inside, 2 and 3 ohm outside: 2 A, 10 V at the terminals, 6 V in the middle. Worked by hand."""
    battery = Source(name="battery", plus="p", minus="m", voltage_v=12, resistance_ohm=1)
    solved = solve(Network((battery, r("p", "x", 2), r("x", "m", 3))))
    assert solved.volts(red="p", black="m").voltage_v == pytest.approx(10)
    assert solved.volts(red="x", black="m").voltage_v == pytest.approx(6)
    assert solved.volts(red="m", black="x").voltage_v == pytest.approx(-6)
    assert solved.current_a == pytest.approx({"battery": 2, "p-x": 2, "x-m": 2})
    assert solved.floating == solved.starved == ()


def test_an_ideal_source_gives_what_its_load_takes_through_joints() -> None:
    """12 V over 4 ohm and a draw of 5 A: 8 A out of the source and through the joint. Worked by hand."""
    network = Network(
        (
            Source(name="ideal", plus="p", minus="m", voltage_v=12),
            r("p", "q", 0, "joint"),
            r("q", "m", 4),
            Draw(name="radio", plus="q", minus="m", current_a=5),
        )
    )
    solved = solve(network)
    assert solved.volts(red="q", black="m").voltage_v == pytest.approx(12)
    assert solved.current_a == pytest.approx({"ideal": 8, "joint": 8, "q-m": 3, "radio": 5})


def test_two_ideal_sources_in_a_row_and_a_resistor_across_both() -> None:
    """6 V and 6 V in a row drive 12 V over 3 ohm; the node between lies at 6 V. Worked by hand."""
    network = Network(
        (
            Source(name="upper", plus="p", minus="x", voltage_v=6),
            Source(name="lower", plus="x", minus="m", voltage_v=6),
            r("p", "m", 3),
            r("x", "m", 6),
        )
    )
    solved = solve(network)
    assert solved.volts(red="p", black="m").voltage_v == pytest.approx(12)
    assert solved.current_a == pytest.approx({"upper": 4, "lower": 5, "p-m": 4, "x-m": 1})


def test_two_batteries_side_by_side_push_into_each_other() -> None:
    """12 V over 1 ohm and 10 V over 1 ohm without a load meet at 11 V, with 1 A between. Worked by hand."""
    strong = Source(name="strong", plus="p", minus="m", voltage_v=12, resistance_ohm=1)
    weak = Source(name="weak", plus="p", minus="m", voltage_v=10, resistance_ohm=1)
    solved = solve(Network((strong, weak)))
    assert solved.volts(red="p", black="m").voltage_v == pytest.approx(11)
    assert solved.current_a == pytest.approx({"strong": 1, "weak": -1})


def test_what_nothing_ties_down_is_told_as_floating() -> None:
    """A pulled plug leaves two islands: between them no voltage is known, and nothing is fed."""
    battery = Source(name="battery", plus="p", minus="m", voltage_v=12, resistance_ohm=0.01)
    network = Network(
        (battery, r("p", "q", 0.1, "plug"), r("q", "n", 50), Draw(name="lamp", plus="q", minus="m", current_a=1))
    )
    solved = solve(network.opened(["plug"]))
    assert solved.volts(red="q", black="m").floating
    assert solved.volts(red="q", black="n").voltage_v == 0
    assert set(solved.floating) == {"q", "n"}
    assert solved.starved == ("lamp",)
    assert solved.current_a["lamp"] == 0
    assert volts(network, red="q", black="m").voltage_v == pytest.approx(12 - 0.11)


def test_a_draw_without_any_source_takes_nothing() -> None:
    """A load on a resistor alone makes no voltage."""
    solved = solve(Network((r("a", "b", 5), Draw(name="load", plus="a", minus="b", current_a=3))))
    assert solved.starved == ("load",)
    assert solved.volts(red="a", black="b").voltage_v == 0


def test_joints_side_by_side_share_a_current_that_nobody_can_tell() -> None:
    """Two joints of no resistance in parallel: the voltages are known, their own currents are left out."""
    network = Network(
        (
            Source(name="ideal", plus="p", minus="m", voltage_v=6),
            r("p", "q", 0, "one"),
            r("p", "q", 0, "two"),
            r("q", "m", 3),
        )
    )
    solved = solve(network)
    assert solved.current_a == pytest.approx({"ideal": 2, "q-m": 2})


def refused(make: Callable[[], object]) -> str:
    """Return what a network says against something that can't be."""
    with pytest.raises(NetworkError) as caught:
        make()
    assert caught.value.fix
    return caught.value.what


def test_what_no_part_is_gets_refused_with_its_name() -> None:
    """A resistance below zero or no number, a voltage or a current without end, two elements of one name."""
    assert refused(lambda: r("a", "b", -1)) == "`a-b` has a resistance of -1 ohm, which nothing has."
    assert refused(lambda: r("a", "b", math.nan)) == "`a-b` has a resistance of nan ohm, which nothing has."
    endless = math.inf
    assert "a voltage of inf" in refused(lambda: Source(name="s", plus="a", minus="b", voltage_v=endless))
    assert "a current of inf" in refused(lambda: Draw(name="d", plus="a", minus="b", current_a=endless))
    assert refused(lambda: Network((r("a", "b", 1), r("b", "c", 2, "a-b")))) == "Two elements are called `a-b`."


def test_sources_that_contradict_each_other_are_named() -> None:
    """A shorted ideal source, and two ideal sources side by side that disagree; two that agree are fine."""
    one = Source(name="one", plus="p", minus="m", voltage_v=12)
    shorted = Network((one, r("p", "m", 0, "spanner")))
    assert refused(lambda: solve(shorted)) == (
        "`spanner` wants 0 V between `p` and `m`, and other ideal sources or joints of no resistance hold 12 V there."
    )
    other = Source(name="two", plus="p", minus="m", voltage_v=10)
    assert "`two` wants 10 V" in refused(lambda: solve(Network((one, other))))
    same = Source(name="two", plus="p", minus="m", voltage_v=12)
    assert volts(Network((one, same)), red="p", black="m").voltage_v == 12


def test_ohms_are_never_measured_across_a_live_supply() -> None:
    """With the battery in, the question is refused; with it out, or on another island, it is answered."""
    battery = Source(name=("main", "battery"), plus="p", minus="m", voltage_v=12, resistance_ohm=0.01)
    network = Network((battery, r("p", "m", 100), r("x", "y", 7)))
    assert "never put across a live supply" in refused(lambda: ohms(network, red="p", black="m"))
    assert "never put across a live supply" in refused(lambda: ohms(network, red="x", black="m"))
    assert ohms(network, red="x", black="y").resistance_ohm == pytest.approx(7)
    out = network.opened([("main", "battery")])
    assert ohms(out, red="p", black="m").resistance_ohm == pytest.approx(100)


def test_a_probe_on_nothing_is_told_with_what_comes_near() -> None:
    """A slip of the pen gets the right name; a name far off gets a plain word."""
    network = Network((Resistor(name="w", a=("block", "L1", "plus"), b="frame", resistance_ohm=1),))
    with pytest.raises(NetworkError, match=r"no node `block L1 plsu`. Fix: Did you mean `block L1 plus`"):
        ohms(network, red=("block", "L1", "plsu"), black="frame")
    with pytest.raises(NetworkError, match="Put the probe on one of its nodes"):
        volts(network, red="zzz", black="frame")


def test_a_fault_is_another_value_of_one_part() -> None:
    """`changed` touches that part alone, and refuses a name that no resistor has."""
    network = Network((r("a", "b", 1), r("b", "c", 2), Draw(name="load", plus="a", minus="c", current_a=1)))
    bad = network.changed("b-c", resistance_ohm=0.5)
    assert ohms(bad, red="a", black="c").resistance_ohm == pytest.approx(1.5)
    assert ohms(network, red="a", black="c").resistance_ohm == pytest.approx(3)
    assert "No resistor and no source is called `load`" in refused(lambda: network.changed("load", resistance_ohm=1))
    more = network.along_with(r("c", "d", 4))
    assert ohms(more, red="a", black="d").resistance_ohm == pytest.approx(7)


def test_a_meter_tells_what_hangs_together() -> None:
    """A path counts, whatever it has; a break does not."""
    meter = Meter(Network((r("a", "b", 1e7), r("b", "c", 0), r("c", "d", math.inf))))
    assert meter.joined("a", "c")
    assert not meter.joined("a", "d")
