"""One wire, every constraint: worked examples."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from loomwright.catalogue.protection_curve import TripCurve, trip_curve
from loomwright.model.part import TripPoint
from loomwright.sizing import (
    Constraint,
    ConstraintName,
    OutOfTableError,
    PortLimit,
    Request,
    RuleMinimum,
    Sizing,
    Surroundings,
    ampacity,
    size,
)
from loomwright.units.gauge import Gauge

# A 40 A motor branch, 0.8 m from the block: 12 AWG carries 45 A (33 CFR 183.425, 105 C) and drops 0.345 V.
BRANCH = Request(current_a=40, one_way_m=0.8, allowed_drop_v=0.6, protection_a=40)


def _judged(sizing: Sizing, name: ConstraintName) -> Constraint:
    constraint = sizing.constraint(name)
    assert constraint is not None
    return constraint


def test_a_motor_branch_worked_by_hand() -> None:
    """12 AWG has 6529.9 circular mils: 40 x 2 x 0.8/0.3048 x 10.75/6529.9 = 0.3457 V, which is 2.88 % of 12 V."""
    sizing = size(BRANCH)
    assert sizing.gauge == Gauge(12)
    assert sizing.decided_by == ("ampacity",)
    assert sizing.drop_v == pytest.approx(0.34565, abs=1e-4)
    assert sizing.drop_pct == pytest.approx(2.8804, abs=1e-3)
    assert sizing.resistance_ohm == pytest.approx(0.34565 / 40, abs=1e-6)
    assert sizing.ampacity_a == 45
    assert sizing.conductor_temperature_c == pytest.approx(30 + 75 * (40 / 45) ** 2)
    assert _judged(sizing, ConstraintName.AMPACITY).margin == pytest.approx(45 / 40)
    assert _judged(sizing, ConstraintName.PROTECTION).margin == pytest.approx(1.5 * 45 / 40)
    assert _judged(sizing, ConstraintName.DROP).smallest == Gauge(14)


def test_every_constraint_can_decide() -> None:
    """One change at a time makes each constraint the one that the next thinner gauge breaks."""
    light = replace(BRANCH, current_a=5, protection_a=None)
    slow = TripCurve("breaker", (TripPoint(2.0, 1.0, 30.0), TripPoint(10.0, 0.1, 1.0)))
    decided = {
        ConstraintName.RULE_BOOK: replace(light, rule_minimum=RuleMinimum(Gauge(10), "gauge-by-protection")),
        ConstraintName.AMPACITY: replace(light, sustained_a=40),
        ConstraintName.DROP: replace(light, one_way_m=10),
        ConstraintName.PATH_DROP: replace(light, before_v=1.0, path_drop_v=1.05),
        ConstraintName.HOLD_HEAT: replace(light, hold_a=54),
        ConstraintName.SHORT_CIRCUIT: replace(light, protection_a=20, trip_curve=slow, fault_current_a=400),
        ConstraintName.PROTECTION: replace(light, protection_a=60),
        ConstraintName.PORTS: replace(light, ports=(PortLimit("the block's slot", Gauge(14), None),)),
    }
    assert set(decided) == set(ConstraintName)
    for name, request in decided.items():
        sizing = size(request)
        assert sizing.gauge is not None, name
        assert sizing.decided_by == (name,), name
        assert _judged(sizing, name).smallest == sizing.gauge


def test_constraints_come_in_one_order() -> None:
    """Rule book first, ports last, and only those that apply."""
    sizing = size(
        replace(
            BRANCH,
            rule_minimum=RuleMinimum(Gauge(12), "gauge-by-protection"),
            hold_a=40,
            ports=(PortLimit("a", Gauge(22), Gauge(6)),),
        )
    )
    assert [c.name for c in sizing.constraints] == ["rule book", "ampacity", "drop", "hold heat", "protection", "ports"]
    assert sizing.constraint("short circuit") is None


def test_an_unknown_length_gives_a_range_and_no_guess() -> None:
    """The drop is not judged, and the reason says how far the wire would reach."""
    sizing = size(Request(current_a=40, allowed_drop_v=0.6, drop_basis="copper"))
    drop = _judged(sizing, ConstraintName.DROP)
    assert sizing.gauge == Gauge(12)
    assert drop.ok is None
    assert drop.reason == "length unknown: 12 AWG holds up to 1.44 m one way at 40 A and 5 %, copper at 20 C"
    assert (sizing.drop_v, sizing.drop_pct, sizing.resistance_ohm) == (None, None, None)
    assert [(r.gauge.label, round(r.one_way_m, 2)) for r in sizing.reach[:3]] == [
        ("12", 1.44),
        ("10", 2.29),
        ("8", 3.64),
    ]


def test_the_reach_is_where_the_drop_turns() -> None:
    """At its reach a gauge still fits, and a hand's breadth further it does not."""
    reach = next(r for r in size(BRANCH).reach if r.gauge == Gauge(10))
    at = size(replace(BRANCH, one_way_m=reach.one_way_m, stock=(Gauge(10),)))
    beyond = size(replace(BRANCH, one_way_m=reach.one_way_m + 0.1, stock=(Gauge(10),)))
    assert at.gauge == Gauge(10)
    assert beyond.gauge is None
    assert beyond.decided_by == ("drop",)


def test_no_gauge_says_what_stands_in_the_way() -> None:
    """Nothing is raised: every stocked gauge is listed with what it breaks, and the nearest is shown."""
    sizing = size(replace(BRANCH, current_a=60, ports=(PortLimit("the clamp", Gauge(18), Gauge(12)),)))
    assert sizing.gauge is None
    assert sizing.decided_by == ("ampacity", "drop", "protection", "ports")
    assert [e.gauge.label for e in sizing.exclusions] == [g.label for g in BRANCH.stock]
    broken = {e.gauge.label: e.broken for e in sizing.exclusions}
    assert broken["12"] == ("ampacity",)
    assert broken["10"] == ("ports",)
    assert sizing.exclusions[-1].reason == "the clamp takes 18 to 12 AWG"
    assert sizing.shown_for.label == "12"


def test_a_gauge_that_was_chosen_before_never_shrinks() -> None:
    """The floor keeps it, and says so; a thicker need still wins over it."""
    kept = size(replace(BRANCH, floor=Gauge(8)))
    assert (kept.gauge, kept.decided_by) == (Gauge(8), ("floor",))
    wins = size(replace(BRANCH, floor=Gauge(14)))
    assert (wins.gauge, wins.decided_by) == (Gauge(12), ("ampacity",))


def test_nothing_thinner_in_stock_decides_too() -> None:
    """A team with one spool gets that spool."""
    sizing = size(replace(BRANCH, current_a=3, stock=(Gauge(12), Gauge(6))))
    assert (sizing.gauge, sizing.decided_by) == (Gauge(12), ("stock",))


def test_the_order_of_the_stock_does_not_matter() -> None:
    """A stock is a set."""
    assert size(replace(BRANCH, stock=tuple(reversed(BRANCH.stock)))) == size(BRANCH)


@pytest.mark.parametrize(
    ("bundle", "amperes", "gauge"), [(1, 45, "12"), (3, 42, "10"), (6, 48, "8"), (24, 40, "8"), (25, 48, "6")]
)
def test_a_bundle_asks_for_more_copper(bundle: int, amperes: float, gauge: str) -> None:
    """33 CFR 183.425 Table 5 note 2, applied at 12 V too and said so."""
    sizing = size(replace(BRANCH, bundle_wires=bundle))
    assert sizing.gauge is not None
    assert sizing.gauge.label == gauge
    assert sizing.ampacity_a == pytest.approx(amperes)
    assert any("applied here too" in sentence for sentence in sizing.assumptions) == (bundle > 1)


def test_the_rule_for_a_protection_looks_past_the_bundle() -> None:
    """33 CFR 183.455(c)(1) measures 150 % against the table: 12 AWG in a bundle of 25 may sit behind 67.5 A."""
    protection = _judged(size(replace(BRANCH, bundle_wires=25, stock=(Gauge(12),))), ConstraintName.PROTECTION)
    assert protection.limit == pytest.approx(67.5)


def test_hot_air_takes_ampacity_and_cold_air_gives_none() -> None:
    """33 CFR 183.425 Table 5 note 1: 0.85 at 50 C; nothing above the table below 30 C."""
    assert size(replace(BRANCH, stock=(Gauge(12),), ambient_c=50)).ampacity_a == pytest.approx(0.85 * 45)
    cold = size(replace(BRANCH, ambient_c=0))
    assert cold.ampacity_a == 45
    assert "Air colder than 30 C is not credited." in cold.assumptions
    assert cold.conductor_temperature_c == pytest.approx(0 + 75 * (40 / 45) ** 2)


def test_air_as_hot_as_the_insulation_leaves_nothing() -> None:
    """No gauge fits, and the reason is told."""
    sizing = size(replace(BRANCH, ambient_c=105, hold_a=50))
    assert sizing.gauge is None
    assert sizing.exclusions[-1].broken == ("ampacity", "hold heat", "protection")
    assert sizing.exclusions[-1].reason == "the air is as hot as the insulation stands"


def test_thin_wires_come_from_a_second_basis_only_when_asked() -> None:
    """33 CFR 183.425 starts at 18 AWG; MIL-W-5088B has 22 AWG at 5 A, in air of 50 C."""
    light = Request(current_a=1, one_way_m=0.5)
    alone = size(light)
    assert alone.gauge == Gauge(18)
    assert alone.exclusions[-1].reason == "33 CFR 183.425 Table 5 has no row for 20 AWG at 105 C"
    thin = size(replace(light, thin_wire_basis="mil-w-5088"))
    assert (thin.gauge, thin.ampacity_a) == (Gauge(22), 5)
    assert "33 CFR 183.425 Table 5 has no 22 AWG; MIL-W-5088B was taken for it." in thin.assumptions
    assert _judged(thin, ConstraintName.AMPACITY).source == "mil-w-5088b"


def test_the_second_basis_never_gives_more_than_the_first() -> None:
    """In air of 102 C the CFR leaves 0.63 A to 18 AWG, so 20 AWG gets no 1.9 A from MIL-W-5088B."""
    hot = Request(current_a=0.5, one_way_m=0.5, ambient_c=102, thin_wire_basis="mil-w-5088", stock=(Gauge(20),))
    assert size(hot).ampacity_a == pytest.approx(20 * (1 - (1 - 0.85**2) / 20 * 72) ** 0.5)


def test_the_second_basis_is_asked_for_the_next_lower_insulation() -> None:
    """MIL-W-5088B knows 105 C wire only: it answers for 125 C wire as for 105 C, and not at all for 90 C."""
    light = Request(current_a=1, one_way_m=0.5, thin_wire_basis="mil-w-5088", ambient_c=50, stock=(Gauge(20),))
    assert size(replace(light, insulation_c=125)).ampacity_a == pytest.approx(8.33)
    assert size(replace(light, insulation_c=90)).gauge is None
    assert size(replace(light, thin_wire_basis="mil-std-975-single", insulation_c=200, bundle_wires=2)).gauge is None


@pytest.mark.parametrize(
    ("change", "what", "fix"),
    [
        ({"drop_basis": "guess"}, "There is no drop basis `guess`.", "cm-10.75"),
        ({"ampacity_basis": "guess"}, "There is no ampacity basis `guess`.", "cfr-183.425"),
        ({"thin_wire_basis": "guess", "stock": (Gauge(22),)}, "There is no ampacity basis `guess`.", "mil-w-5088"),
        ({"insulation_c": 100}, "cfr-183.425 has no column for 100 C insulation; it has 60 C, 75 C, ", "next lower"),
        ({"ampacity_basis": "mil-w-5088", "bundle_wires": 20}, "end at 19 wires, and this bundle has 20.", "Split"),
        (
            {"ampacity_basis": "mil-std-975-single", "insulation_c": 200, "bundle_wires": 2},
            "holds for a single wire, not for 2.",
            "bundled",
        ),
    ],
)
def test_what_no_table_answers_is_refused(change: dict[str, object], what: str, fix: str) -> None:
    """A question outside the tables is told with what exists, and never extrapolated."""
    with pytest.raises(OutOfTableError) as refused:
        size(replace(BRANCH, **change))  # type: ignore[arg-type]  # fields by name
    assert what in refused.value.what
    assert fix in refused.value.fix


def test_the_bundle_curves_end_at_full_load() -> None:
    """There is no bundle that is 120 % loaded."""
    with pytest.raises(OutOfTableError, match="end at 100 % loading"):
        ampacity("mil-w-5088", Gauge(12), Surroundings(105, 50, 2, 120))


def test_a_basis_that_knows_no_loading_says_so() -> None:
    """33 CFR 183.425 counts loaded wires; saying 20 % changes nothing, and that is told."""
    told = "cfr-183.425 counts loaded wires and knows no loading, so 20 % changes nothing."
    light = size(replace(BRANCH, bundle_wires=6, loading_pct=20))
    assert told in light.assumptions
    assert light.ampacity_a == size(replace(BRANCH, bundle_wires=6)).ampacity_a
    aircraft = replace(BRANCH, bundle_wires=6, loading_pct=20, ampacity_basis="mil-w-5088")
    assert not [sentence for sentence in size(aircraft).assumptions if "knows no loading" in sentence]


def test_the_bundle_curves_are_read_between_their_loadings() -> None:
    """MIL-W-5088L: six wires at 60 % and 80 % have 0.655 and 0.605; 70 % lies in the middle; below 20 % as at 20 %."""
    mil = replace(BRANCH, current_a=10, ampacity_basis="mil-w-5088", ambient_c=50, bundle_wires=6, stock=(Gauge(12),))
    assert size(replace(mil, loading_pct=70)).ampacity_a == pytest.approx(40 * 0.63)
    assert size(replace(mil, loading_pct=5)).ampacity_a == pytest.approx(40 * 0.85)


@pytest.mark.parametrize(
    ("bundle", "loading_pct", "number", "held"),
    [
        (40, 20, 10, True),
        (40, 21, 10, False),
        (4, 100, 10, True),
        (5, 100, 10, False),
        (9, 20, 8, True),
        (10, 20, 8, False),
    ],
)
def test_table_11_9_holds_for_its_own_bundles(bundle: int, loading_pct: float, number: int, *, held: bool) -> None:
    """AC 43.13-1B Table 11-9 note 1: 33 or more wires (9 of 8 AWG and thicker), 20 % loaded; no further factor."""
    aircraft = replace(BRANCH, current_a=10, ampacity_basis="ac-43.13", bundle_wires=bundle, loading_pct=loading_pct)
    sizing = size(replace(aircraft, stock=(Gauge(number),)))
    assert (sizing.ampacity_a is not None) == held
    assert ("Table 11-9" in sizing.exclusions[0].reason) != held if sizing.exclusions else held


def test_a_short_circuit_is_judged_at_every_fault_up_to_the_dead_short() -> None:
    """IEC 60364-5-54: a curve that is slow at 4x lets more through than at 10x; times above 5 s don't count."""
    curve = TripCurve("breaker", (TripPoint(2.0, 1.0, 30.0), TripPoint(4.0, 0.5, 4.0), TripPoint(10.0, 0.05, 0.2)))
    request = replace(BRANCH, trip_curve=curve, fault_current_a=400, stock=(Gauge(10),))
    short = _judged(size(request), ConstraintName.SHORT_CIRCUIT)
    k = 226 * math.sqrt(math.log((234.5 + 160) / (234.5 + 105)))  # from 105 C wire to 160 C
    assert short.actual == pytest.approx(160 * 4.0**0.5 / k, rel=1e-4)  # 4 x 40 A for 4 s, not 400 A for 0.2 s (178.9)
    assert short.ok
    quick = TripCurve("fuse", (TripPoint(2.0, 1.0, 30.0), TripPoint(10.0, 0.05, 0.2)))
    between = _judged(size(replace(request, trip_curve=quick, fault_current_a=390)), ConstraintName.SHORT_CIRCUIT)
    assert between.actual == pytest.approx(390 * (quick.max_s(9.75) or 0) ** 0.5 / k, rel=1e-4)
    dead = _judged(size(replace(request, trip_curve=quick, fault_current_a=900)), ConstraintName.SHORT_CIRCUIT)
    assert dead.actual == pytest.approx(400 * 0.2**0.5 / k, rel=1e-4)
    assert dead.rests_on == ("the curve ends at 400 A; what it lets through is taken as constant beyond",)


def test_a_fault_that_takes_longer_than_5_s_is_not_adiabatic() -> None:
    """IEC 60364-5-54 holds up to 5 s: of 3x for 6 s and 6x for 1 s only the second counts."""
    curve = TripCurve("breaker", (TripPoint(3.0, 1.0, 6.0), TripPoint(6.0, 0.1, 1.0)))
    request = replace(BRANCH, trip_curve=curve, fault_current_a=240)
    k = 226 * math.sqrt(math.log((234.5 + 160) / (234.5 + 105)))
    assert _judged(size(request), ConstraintName.SHORT_CIRCUIT).actual == pytest.approx(240 / k)
    assert _judged(size(replace(request, fault_current_a=120)), ConstraintName.SHORT_CIRCUIT).ok is None


def test_a_drop_basis_without_the_gauge_excludes_it() -> None:
    """NEC Chapter 9 Table 8 starts at 18 AWG."""
    sizing = size(replace(BRANCH, current_a=0.1, drop_basis="nec-ch9-8", stock=(Gauge(20),)))
    assert sizing.gauge is None
    assert _judged(sizing, ConstraintName.DROP).ok is False
    assert "nec-ch9-8 has no 20 AWG" in sizing.exclusions[0].reason


def test_needs_are_told_in_words() -> None:
    """Every constraint says what it asks for."""
    curve = trip_curve("blade-regular")
    asked = replace(BRANCH, hold_a=44, trip_curve=curve, fault_current_a=200, bundle_wires=2)
    asked = replace(asked, rule_minimum=RuleMinimum(Gauge(12), "r1"), ports=(PortLimit("the slot", None, Gauge(6)),))
    assert [constraint.needs for constraint in size(asked).constraints] == [
        "be 12 AWG or thicker by rule r1",
        "carry 40 A for long (105 C insulation, air at 30 C, 2 wires in the bundle)",
        "drop at most 0.6 V (5 %) at 40 A, cm-10.75",
        "stay within 105 C at the 44 A that the protection carries for ever",
        "outlive a short of up to 200 A until the 40 A blade-regular has opened",
        "have a table ampacity of at least 26.7 A behind 40 A",
        "fit the slot (6 AWG and thinner)",
    ]
    assert "30 C, alone)" in _judged(size(BRANCH), ConstraintName.AMPACITY).needs


def test_a_short_circuit_that_no_curve_speaks_of_is_not_judged() -> None:
    """A fault below the curve, or a curve that is slower than 5 s, gives no verdict and a reason."""
    request = replace(BRANCH, trip_curve=trip_curve("blade-regular"), fault_current_a=50)
    below = size(request)
    assert _judged(below, ConstraintName.SHORT_CIRCUIT).ok is None
    assert _judged(below, ConstraintName.SHORT_CIRCUIT).reason.startswith("the curve says nothing")
    hot = _judged(size(replace(request, insulation_c=200, fault_current_a=400)), ConstraintName.SHORT_CIRCUIT)
    assert hot.reason == "say what 200 C insulation stands in a short"


def test_an_assumed_curve_is_said_beside_the_verdict() -> None:
    """What a curve rests on reaches the constraint and the assumptions."""
    curve = TripCurve("breaker", (TripPoint(6.0, 0.1, 0.5),), rests_on=("the breaker's curve is assumed",))
    sizing = size(replace(BRANCH, trip_curve=curve, fault_current_a=300))
    assert "the breaker's curve is assumed" in _judged(sizing, ConstraintName.SHORT_CIRCUIT).rests_on
    assert "The breaker's curve is assumed." in sizing.assumptions


@pytest.mark.parametrize(
    "points",
    [(TripPoint(2.0, 1, 2), TripPoint(1.5, 2, 3)), (TripPoint(1.5, 1, 2), TripPoint(2.0, 2, 1.5))],
)
def test_a_curve_that_turns_back_is_refused(points: tuple[TripPoint, ...]) -> None:
    """Points rise in current, and no time grows with it."""
    with pytest.raises(ValueError, match="current"):
        TripCurve("breaker", points)


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("current_a", 0),
        ("one_way_m", -1),
        ("supply_v", float("nan")),
        ("bundle_wires", 0),
        ("loading_pct", 101),
        ("loading_pct", 0),
        ("ambient_c", float("inf")),
    ],
)
def test_amounts_without_sense_are_refused(field: str, value: float) -> None:
    """A request names the field that makes no sense."""
    with pytest.raises(ValueError, match=field):
        replace(BRANCH, **{field: value})  # type: ignore[arg-type]  # wrong on purpose
    with pytest.raises(ValueError, match="stock"):
        replace(BRANCH, stock=())


def test_the_json_form_is_plain() -> None:
    """Gauges are strings, numbers are rounded to six figures, and nothing is left out."""
    plain = size(BRANCH).as_dict()
    assert plain["gauge_awg"] == "12"
    assert plain["area_mm2"] == 3.30877
    assert plain["decided_by"] == ["ampacity"]
    assert list(plain) == [
        "gauge_awg",
        "shown_for_awg",
        "area_mm2",
        "resistance_ohm",
        "drop_v",
        "drop_pct",
        "ampacity_a",
        "conductor_temperature_c",
        "basis",
        "ampacity_basis",
        "decided_by",
        "constraints",
        "exclusions",
        "reach",
        "assumptions",
        "sources",
    ]


def test_neighbours_are_not_held_at_their_protection_at_the_same_time() -> None:
    """Hold heat counts the wire by itself in any bundle and says so; the load still counts with the bundle."""
    alone = size(replace(BRANCH, sustained_a=20, hold_a=40))
    bundled = size(replace(BRANCH, sustained_a=20, hold_a=40, bundle_wires=8))
    heat = [_judged(sizing, ConstraintName.HOLD_HEAT) for sizing in (alone, bundled)]
    assert heat[0].actual == heat[1].actual
    assert heat[1].rests_on[-1] == ("the others in the bundle are not at their protection's current at the same time")
    assert not heat[0].rests_on
    loads = [_judged(sizing, ConstraintName.AMPACITY).limit for sizing in (alone, bundled)]
    assert loads[0] is not None
    assert loads[1] is not None
    assert loads[1] < loads[0]


def test_leads_that_a_part_brings_along_count_in_the_drop() -> None:
    """0.6 V at 40 A is 15 mohm out and back. 12 AWG has 5.401 mohm/m on this basis: alone it reaches 1.389 m one way.

    Leads with 2 mohm leave 13 mohm: 1.203 m.
    """
    alone = size(BRANCH)
    with_leads = size(replace(BRANCH, leads_ohm=0.002))
    assert with_leads.drop_v == pytest.approx(0.34565 + 40 * 0.002, abs=1e-4)
    reaches = [{r.gauge: r.one_way_m for r in sizing.reach}[Gauge(12)] for sizing in (alone, with_leads)]
    assert reaches == pytest.approx([1.3887, 1.2035], abs=1e-3)
    assert size(replace(BRANCH, leads_ohm=0.02)).gauge is None


def test_what_the_shared_leads_lose_counts_from_the_battery_on() -> None:
    """1.2 V from the battery on, 0.9 V lost before: the 0.346 V of 12 AWG are too much, 10 AWG's 0.217 V are not."""
    tight = replace(BRANCH, before_v=0.9, path_drop_v=1.2)
    sizing = size(tight)
    assert sizing.gauge == Gauge(10)
    assert sizing.decided_by == ("drop from the battery",)
    path = _judged(sizing, ConstraintName.PATH_DROP)
    assert path.actual == pytest.approx(0.9 + 0.21741, abs=1e-4)
    assert path.margin == pytest.approx(1.2 / 1.11741, abs=1e-3)
    assert _judged(sizing, ConstraintName.DROP).margin == pytest.approx(0.6 / 0.21741, abs=1e-2)
    longest = {r.gauge: r.one_way_m for r in sizing.reach}[Gauge(12)]
    assert longest == pytest.approx(0.8 * 0.3 / 0.34565, abs=1e-3)
    assert size(replace(tight, before_v=1.3)).reach[0].one_way_m == 0
    assert size(replace(BRANCH, before_v=0.9)).constraint(ConstraintName.PATH_DROP) is None


def test_a_drop_before_the_circuit_is_no_negative_number() -> None:
    """What makes no sense is refused with the field's name."""
    for field in ("before_v", "leads_ohm"):
        with pytest.raises(ValueError, match=field):
            replace(BRANCH, **{field: -0.1})  # type: ignore[arg-type]
    with pytest.raises(ValueError, match="path_drop_v"):
        replace(BRANCH, path_drop_v=0.0)
