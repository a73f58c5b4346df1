"""Which chargers end low, and what is a battery's own fault."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomwright.rack.battery import RackBattery, class_of
from loomwright.rack.chargers import ChargerHealth, ChargerVerdict, charger_health
from loomwright.rack.fleet import RackCharger
from loomwright.rack.readings import Reading
from loomwright.records.event import Kind


def _team(
    ends: dict[str, float], *, weak: dict[int, float] | None = None, batteries: int = 5, times: int = 2, seed: int = 1
) -> tuple[ChargerHealth, ...]:
    """Charge every battery on every charger; `ends` are where they end [V], `weak` what a battery takes off that."""
    rng = np.random.default_rng(seed)
    team = []
    for n in range(batteries):
        off = (weak or {}).get(n, 0.0)
        charges = tuple(
            _charge(label, n, k, end - off + 0.12 * rng.standard_t(4))
            for label, end in ends.items()
            for k in range(times)
        )
        team.append(RackBattery(label=f"B{n}", of=class_of(None), charges=charges))
    return charger_health([RackCharger(label=label) for label in ends], team)


def _charge(label: str, battery: int, time: int, volts: float | None) -> Reading:
    day = 20000 + battery + time / 10
    return Reading(key=f"{label}{battery}{time}", kind=Kind.CHARGED, day=day, who="AB", value=volts, tool=label)


def _verdicts(found: tuple[ChargerHealth, ...]) -> list[ChargerVerdict]:
    return [one.verdict for one in found]


LOW, USUAL, UNKNOWN = ChargerVerdict.LOW, ChargerVerdict.USUAL, ChargerVerdict.UNKNOWN


def test_one_low_charger_among_good_ones() -> None:
    """Ending at 13.3 V where the others end at 13.9 V: low, by how much, from how many charges."""
    found = _team({"C1": 13.9, "C2": 13.3, "C3": 13.9})
    assert _verdicts(found) == [USUAL, LOW, USUAL]
    assert "10 charges on 5 batteries" in found[1].reasons[0]
    assert any("V below the team's other chargers" in one for one in found[1].reasons)
    assert found[1].ends_v is not None
    assert found[1].ends_v.low < 13.3 < found[1].ends_v.high


def test_five_of_one_kind_that_all_end_low() -> None:
    """Five ending between 12.8 and 13.3 V (common practice): none stands out, all of them are low."""
    found = _team({"C1": 12.8, "C2": 12.9, "C3": 13.0, "C4": 13.05, "C5": 13.1})
    assert _verdicts(found) == [LOW] * 5
    assert all("common practice" in one.reasons[1] for one in found)


def test_a_weak_battery_is_not_the_chargers_fault() -> None:
    """One battery ends 0.6 V low on each of three chargers: none is low, though a third of the charges are."""
    found = _team({"C1": 13.9, "C2": 13.9, "C3": 13.9}, weak={0: 0.6}, batteries=3)
    assert _verdicts(found) == [USUAL] * 3


def test_a_charger_that_saw_one_battery_only_is_not_judged() -> None:
    """Six low ends on one battery tell nothing of which of the two it is; nor do two charges on two."""
    one = RackBattery(label="B1", of=class_of(None), charges=tuple(_charge("C1", 0, k, 12.9) for k in range(6)))
    (found,) = charger_health([RackCharger(label="C1")], [one])
    assert found.verdict is UNKNOWN
    assert "6 charges with an end voltage on 1 batter" in found.reasons[0]
    two = [replace(one, charges=(_charge("C1", n, 0, 12.9),)) for n in range(2)]
    assert _verdicts(charger_health([RackCharger(label="C1")], two)) == [UNKNOWN]


def test_a_charge_without_its_end_tells_nothing() -> None:
    """Nor does one that was rejected, nor one on a charger that nobody told of; without any there is no voltage."""
    odd = replace(_charge("C1", 0, 3, 9.0), rejected="No charger does that.")
    charges = (*(_charge("C1", 0, k, None) for k in range(3)), odd, _charge("C9", 0, 4, 13.0))
    (found,) = charger_health([RackCharger(label="C1")], [RackBattery(label="B", of=class_of(None), charges=charges)])
    assert (found.verdict, found.charges, found.ends_v) == (UNKNOWN, 0, None)
    assert charger_health([], []) == ()


@pytest.mark.parametrize("odd", [10.0, 12.0, 15.5])
def test_one_odd_charge_makes_no_charger_low(odd: float) -> None:
    """Nine ends at 13.9 V and one of anything leave it as it was."""
    charges = [tuple(_charge("c 1", n, k, 13.9) for k in range(2)) for n in range(5)]
    charges[0] = (replace(charges[0][0], value=odd), charges[0][1])
    team = [RackBattery(label=f"B{n}", of=class_of(None), charges=one) for n, one in enumerate(charges)]
    (found,) = charger_health([RackCharger(label="C 1")], team)
    assert found.verdict is USUAL
    assert found.ends_v is not None
    assert found.ends_v.middle == pytest.approx(13.9, abs=0.06)


@given(st.permutations(range(5)), st.permutations(range(3)))
def test_the_order_changes_nothing(batteries: list[int], chargers: list[int]) -> None:
    """Neither that of the batteries nor that of the chargers nor that of the charges."""
    rng = np.random.default_rng(4)
    team = [
        RackBattery(
            label=f"B{n}",
            of=class_of(None),
            charges=tuple(_charge(f"C{c}", n, 0, 13.7 - 0.3 * c + 0.1 * rng.normal()) for c in range(3)),
        )
        for n in range(5)
    ]
    labels = [RackCharger(label=f"C{n}") for n in range(3)]
    plain = charger_health(labels, team)
    mixed = charger_health([labels[n] for n in chargers], [team[n] for n in batteries])
    for place, n in enumerate(chargers):
        assert mixed[place].verdict is plain[n].verdict
        assert mixed[place].reasons == plain[n].reasons


def test_nine_of_ten_ranges_hold_the_truth() -> None:
    """240 chargers of 60 teams, made as practice says: 84 to 96 % end where their range says."""
    rng = np.random.default_rng(9)
    inside = 0
    for seed in range(60):
        level = 13.8 + 0.6 * rng.normal()
        ends = {f"C{n}": level + 0.4 * rng.normal() for n in range(4)}
        weak = {n: 0.2 * rng.normal() for n in range(5)}
        for one in _team(ends, weak=weak, times=1, seed=seed):
            assert one.ends_v is not None
            inside += one.ends_v.low <= ends[one.label] <= one.ends_v.high
    assert 0.84 <= inside / 240 <= 0.96
