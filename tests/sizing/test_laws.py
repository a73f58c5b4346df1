"""Laws that hold whatever is asked."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from loomwright.catalogue.conductor import resistance_ohm_per_m
from loomwright.catalogue.protection_curve import trip_curve
from loomwright.sizing import DEFAULT_STOCK, OutOfTableError, Request, Sizing, ampacity_bases, drop_bases, drop_v, size
from loomwright.units.gauge import Gauge

currents = st.floats(0.1, 300)
lengths = st.floats(0.05, 20)
gauges = st.integers(-3, 22).map(Gauge)
stocks = st.sets(st.sampled_from(DEFAULT_STOCK), min_size=1).map(tuple)
BASES = [(name, c) for name, basis in ampacity_bases().items() for c in basis.insulations_c]


@st.composite
def requests(draw: st.DrawFn) -> Request:
    """Draw a request that every basis can answer or refuse."""
    basis, insulation_c = draw(st.sampled_from(BASES))
    return Request(
        current_a=draw(currents),
        one_way_m=draw(lengths),
        allowed_drop_v=draw(st.floats(0.05, 3)),
        drop_basis=draw(st.sampled_from(sorted(drop_bases()))),
        conductor_c=draw(st.floats(-20, 150)),
        ampacity_basis=basis,
        thin_wire_basis=draw(st.none() | st.sampled_from(sorted(ampacity_bases()))),
        insulation_c=insulation_c,
        ambient_c=draw(st.floats(-20, 59)),
        bundle_wires=draw(st.integers(1, 30)),
        loading_pct=draw(st.floats(1, 100)),
        protection_a=draw(st.none() | st.floats(1, 120)),
        hold_a=draw(st.none() | st.floats(1, 160)),
        trip_curve=draw(st.none() | st.sampled_from(["blade-regular", "strip", "breaker-push-pull"]).map(trip_curve)),
        fault_current_a=draw(st.none() | st.floats(50, 2000)),
        stock=draw(stocks),
    )


def _size(request: Request) -> Sizing:
    """Size, or pass over what no table answers."""
    try:
        return size(request)
    except OutOfTableError:
        assume(False)  # noqa: FBT003  hypothesis's own signature
        raise


def _not_thinner(more: Sizing, less: Sizing) -> bool:
    """Tell whether the harder demand got as much copper or more; no gauge at all is more than any."""
    if more.gauge is None or less.gauge is None:
        return more.gauge is None
    return not more.gauge.thinner_than(less.gauge)


@given(gauges, gauges, currents, lengths, st.sampled_from(["copper", "cm-10.75", "ac-43.13", "nec-ch9-8"]))
def test_more_copper_never_drops_more(one: Gauge, other: Gauge, current_a: float, circuit_m: float, basis: str) -> None:
    """On every basis, the tables with rounded digits included."""
    thin, thick = sorted((one, other), key=lambda gauge: -gauge.number)
    by_thin = drop_v(basis, thin, current_a=current_a, circuit_m=circuit_m)
    by_thick = drop_v(basis, thick, current_a=current_a, circuit_m=circuit_m)
    assume(by_thin is not None and by_thick is not None)
    assert by_thick is not None
    assert by_thin is not None
    assert by_thick <= by_thin


@given(gauges, st.floats(-50, 200), st.floats(-50, 200))
def test_hotter_copper_never_conducts_better(gauge: Gauge, one_c: float, other_c: float) -> None:
    """Resistance grows with temperature."""
    cool, hot = sorted((one_c, other_c))
    assert resistance_ohm_per_m(gauge, conductor_c=cool) <= resistance_ohm_per_m(gauge, conductor_c=hot)


@given(requests(), st.floats(1, 5))
def test_longer_never_needs_less(request: Request, times: float) -> None:
    """A longer wire drops more and is never thinner."""
    here = _size(request)
    assert request.one_way_m is not None
    farther = _size(replace(request, one_way_m=request.one_way_m * times))
    assert _not_thinner(farther, here)


@given(requests(), st.floats(1, 5))
def test_a_higher_load_is_never_on_a_thinner_wire(request: Request, times: float) -> None:
    """More current needs as much copper or more."""
    assert _not_thinner(_size(replace(request, current_a=request.current_a * times)), _size(request))


@given(requests(), st.integers(0, 12))
def test_a_fuller_bundle_is_never_on_a_thinner_wire(request: Request, more: int) -> None:
    """More wires together need as much copper or more."""
    assert _not_thinner(_size(replace(request, bundle_wires=request.bundle_wires + more)), _size(request))


@given(requests(), st.floats(0, 100))
def test_warmer_air_is_never_for_a_thinner_wire(request: Request, warmer_c: float) -> None:
    """Warmer air needs as much copper or more, up to no gauge at all."""
    assert _not_thinner(_size(replace(request, ambient_c=request.ambient_c + warmer_c)), _size(request))


@given(requests(), st.floats(1, 10))
def test_a_harder_short_is_never_for_a_thinner_wire(request: Request, times: float) -> None:
    """A higher fault current needs as much copper or more."""
    assume(request.fault_current_a is not None)
    assert request.fault_current_a is not None
    assert _not_thinner(_size(replace(request, fault_current_a=request.fault_current_a * times)), _size(request))


@given(requests(), stocks)
def test_a_larger_stock_never_makes_the_wire_thicker(request: Request, more: tuple[Gauge, ...]) -> None:
    """With more to choose from the answer is as thin or thinner."""
    larger = _size(replace(request, stock=tuple(dict.fromkeys((*request.stock, *more)))))
    assert _not_thinner(_size(request), larger)


@given(requests(), gauges)
def test_a_floor_never_gives_a_thinner_wire(request: Request, floor: Gauge) -> None:
    """A decision once made holds: the answer is the plain one or thicker, and never below the floor."""
    kept = _size(replace(request, floor=floor))
    assert _not_thinner(kept, _size(request))
    assert kept.gauge is None or not kept.gauge.thinner_than(floor)


@given(requests())
def test_the_answer_is_the_thinnest_that_breaks_nothing(request: Request) -> None:
    """A plain twin: try every stocked gauge by itself."""
    sizing = _size(request)
    alone = [gauge for gauge in request.stock if _size(replace(request, stock=(gauge,))).gauge is not None]
    assert sizing.gauge == max(alone, key=lambda gauge: gauge.number, default=None)
    assert {e.gauge for e in sizing.exclusions} == set(request.stock) - set(alone)


@given(requests())
def test_margins_and_verdicts_agree(request: Request) -> None:
    """A margin of 1 or more is a constraint that holds; the smallest gauge that satisfies it is never thicker then."""
    sizing = _size(request)
    for constraint in sizing.constraints:
        if constraint.margin is not None:
            assert constraint.ok == (constraint.margin >= 1 - 1e-9)
        if constraint.ok:
            assert constraint.smallest is not None
            assert not sizing.shown_for.thinner_than(constraint.smallest)
    assert (sizing.gauge is not None) == all(c.ok is not False for c in sizing.constraints)


@given(requests())
def test_a_wire_at_its_ampacity_is_as_hot_as_its_insulation_stands(request: Request) -> None:
    """Never hotter; and just as hot, less the cold air that is not credited, where the main basis has the gauge."""
    sizing = _size(request)
    assume(sizing.ampacity_a)
    at_limit = _size(replace(request, sustained_a=sizing.ampacity_a, stock=(sizing.shown_for,)))
    hot_c = at_limit.conductor_temperature_c
    assert hot_c is not None
    assert hot_c <= request.insulation_c + 1e-6
    if request.thin_wire_basis is None:
        uncredited_c = max(0.0, ampacity_bases()[request.ampacity_basis].ambient_c - request.ambient_c)
        assert hot_c == pytest.approx(request.insulation_c - uncredited_c)
