"""Pull forces, fuses and breakers against their printed tables."""

from __future__ import annotations

import pytest

from loomwright.catalogue.protection_curve import (
    blade_fuse_colour,
    breaker_rating_over_load,
    trip_curve,
    trip_curve_kinds,
)
from loomwright.catalogue.pull_force import pull_force, pull_force_n, pull_forces
from loomwright.units.gauge import Gauge


def test_newtons_are_those_of_the_pounds() -> None:
    """UL 486A, UL 486E, AS7928, NASA-STD-8739.4: printed newtons are the pounds, to 3 %, but for one misprint."""
    both = [row for row in pull_forces() if row.printed_n is not None]
    assert len(both) == 40
    apart = [row for row in both if abs(row.force_n / (row.printed_n or 1) - 1) > 0.03]
    assert [(row.kind, str(row.gauge), row.force_lbf) for row in apart] == [("ul-486a", "2/0 AWG", 300)]
    assert apart[0].force_n == pytest.approx(1334.5, abs=0.05)
    assert apart[0].misprint


def test_the_other_known_misprint_is_named() -> None:
    """UL 486A, 6 AWG: one copy prints 455 N where 100 lbf is 444.8 N."""
    row = pull_force("ul-486a", Gauge(6))
    assert row is not None
    assert "455 N" in row.misprint
    assert row.force_n == pytest.approx(444.8, abs=0.05)


@pytest.mark.parametrize(
    ("kind", "forces_lbf"),
    [
        ("ul-486a", {22: 8, 20: 13, 18: 20, 16: 30, 14: 50, 12: 70, 10: 80, 8: 90, 6: 100, 4: 140, 2: 180, 0: 250}),
        ("ul-486e", {22: 4.5, 20: 6.75, 18: 6.75, 16: 9, 14: 11.5, 12: 13.5, 10: 18, 8: 20.5, 6: 21, 4: 30}),
        ("as7928", {26: 7, 24: 10, 22: 15, 20: 19, 18: 38, 16: 50, 14: 70, 12: 110, 10: 150, 8: 225, 6: 300, 4: 400}),
        ("abyc-e11", {18: 10, 16: 15, 14: 30, 12: 35, 10: 40, 8: 45, 6: 50, 4: 70, 3: 80, 2: 90, 1: 100}),
        ("nasa-8739.4", {24: 8, 22: 13}),
    ],
)
def test_pull_forces_by_kind_of_joint(kind: str, forces_lbf: dict[int, float]) -> None:
    """UL 486A (crimped), UL 486E Table 22 (clamps), AS7928 (military), ABYC E-11 Table XVI, NASA-STD-8739.4."""
    for number, force_lbf in forces_lbf.items():
        assert pull_force_n(kind, Gauge(number)) == pytest.approx(force_lbf * 4.44822, rel=1e-5)


def test_one_gauge_has_a_force_for_every_kind_of_joint() -> None:
    """For 14 AWG the documents ask for 11.5 to 70 lbf, so a force without its kind of joint means nothing."""
    forces = {row.kind: row.force_lbf for row in pull_forces() if row.gauge == Gauge(14)}
    assert forces == {"ul-486a": 50, "as7928": 70, "ul-486e": 11.5, "abyc-e11": 30}
    assert pull_force_n("abyc-e11-friction", Gauge(14)) == pytest.approx(26.7, abs=0.05)
    assert pull_force_n("nasa-8739.4", Gauge(14)) is None
    with pytest.raises(KeyError, match="ul-486e"):
        pull_force_n("soldered", Gauge(14))


def test_thicker_wire_is_pulled_harder() -> None:
    """Within each standard a thicker wire never needs less force."""
    for kind in {row.kind for row in pull_forces()}:
        mine = sorted((row for row in pull_forces() if row.kind == kind and row.gauge), key=lambda r: -r.gauge.number)  # type: ignore[union-attr]  # asked for above
        forces = [row.force_lbf for row in mine]
        assert forces == sorted(forces), kind


@pytest.mark.parametrize(
    ("kind", "multiple", "min_s", "max_s"),
    [
        ("blade-regular", 1.10, 360_000, None),
        ("blade-regular", 1.35, 0.75, 600),
        ("blade-regular", 2.00, 0.15, 5),
        ("blade-regular", 6.00, 0.02, 0.1),
        ("blade-mini", 1.35, 0.75, 120),
        ("blade-mini", 1.60, 0.3, 50),
        ("blade-large", 1.35, 60, 1800),
        ("blade-large", 3.50, 0.2, 7),
        ("strip", 1.50, 90, 3600),
        ("glass", 2.00, None, 120),
        ("breaker-push-pull", 2.00, 0.38, 2.5),
        ("breaker-push-pull", 10.0, 0.02, 0.12),
    ],
)
def test_opening_times(kind: str, multiple: float, min_s: float | None, max_s: float | None) -> None:
    """ISO 8820-3 types C, F and E (partly from memory), strip fuses, UL 248-14, NSN 5925-00-226-0377."""
    curve = trip_curve(kind)
    assert (curve.min_s(multiple), curve.max_s(multiple)) == pytest.approx((min_s, max_s))


def test_times_fall_as_the_current_grows_and_end_where_the_table_ends() -> None:
    """Between its points every curve falls, the shortest time stays below the longest, and outside there is nothing."""
    for kind in trip_curve_kinds():
        curve = trip_curve(kind)
        first, last = curve.points[0].multiple, curve.points[-1].multiple
        steps = [first * (last / first) ** (i / 60) for i in range(61)]
        for pick in (curve.min_s, curve.max_s):
            times = [time for step in steps if (time := pick(step)) is not None]
            assert times == sorted(times, reverse=True), kind
        for step in steps:
            least, most = curve.min_s(step), curve.max_s(step)
            assert least is None or most is None or least < most, kind
        assert curve.max_s(last * 1.01) is None
        assert curve.min_s(first * 0.99) is None


def test_what_a_blade_fuse_holds_and_must_open() -> None:
    """ISO 8820-3: 110 % for 100 h at least; at 135 % it must open; a breaker states neither 100 h nor less than 2x."""
    assert (trip_curve("blade-regular").surely_holds, trip_curve("blade-regular").surely_opens) == (1.1, 1.35)
    assert (trip_curve("breaker-push-pull").surely_holds, trip_curve("breaker-push-pull").surely_opens) == (None, 2)


def test_curves_from_memory_say_so() -> None:
    """Type E blades are from memory altogether, strip fuses are not."""
    assert "from memory" in trip_curve("blade-large").rests_on[0]
    assert trip_curve("strip").rests_on == ()


def test_blade_fuse_colours() -> None:
    """ISO 8820-3 and SAE J1284: 10 A red and 15 A blue found, the others from memory."""
    colours = {3: "violet", 5: "tan", 7.5: "brown", 10: "red", 15: "blue", 20: "yellow", 25: "clear/white", 30: "green"}
    assert {rating: blade_fuse_colour(rating) for rating in colours} == colours
    assert blade_fuse_colour(12) is None


@pytest.mark.parametrize(
    ("ambient_c", "factor"), [(-10, 0.84), (0, 0.92), (23, 1.0), (40, 1.08), (45, 1.12), (60, 1.24)]
)
def test_warm_breakers_want_a_larger_rating(ambient_c: float, factor: float) -> None:
    """Common practice for thermal breakers, straight between the points."""
    assert breaker_rating_over_load(ambient_c=ambient_c) == pytest.approx(factor)
    assert breaker_rating_over_load(ambient_c=70) is None
