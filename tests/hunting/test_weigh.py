"""What is believed after answers: exact, in whatever order, and never certain."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loomwright.hunting.board import board_of
from loomwright.hunting.hunting import standing
from loomwright.hunting.marginals import two_there
from loomwright.hunting.problem import Check, Fault, Hunt, Observation
from loomwright.hunting.weigh import OTHER, Weighed, weigh
from tests.hunting.made_up import OUTCOMES, hunt_of

EXAMPLES = settings().max_examples


@st.composite
def asked(draw: st.DrawFn) -> tuple[Hunt, list[Observation]]:
    """Draw a hunt with pairs, chances that are no certainties, and some answers, a few of them doubtful."""
    chance = np.random.default_rng(draw(st.integers(0, 2**32 - 1)))
    faults, checks = draw(st.integers(1, 6)), draw(st.integers(1, 5))
    chances = np.zeros((faults + 1, checks, 4))
    kinds = []
    for column in range(checks):
        width = draw(st.integers(2, 4))
        shares = chance.dirichlet(np.full(width, 0.4), faults + 1).round(1)
        shares[np.arange(faults + 1), shares.argmax(axis=1)] += 1 - shares.sum(axis=1)
        chances[:, column, :width] = shares
        kinds.append(
            Check(key=f"C{column}", seconds=float(chance.uniform(5, 180)), outcomes=OUTCOMES[:width], misread=0.03)
        )
    hunt = Hunt(
        faults=tuple(
            Fault(
                key=f"F{row}",
                odds=float(chance.uniform(0.001, 0.3)),
                repair_s=float(chance.uniform(20, 400)),
                parts=(f"end {row // 2}",) if draw(st.booleans()) else (),
            )
            for row in range(1, faults + 1)
        ),
        checks=tuple(kinds),
        chances=chances,
        healthy_s=100.0,
        other_odds=0.001,
        pairs=True,
    )
    return hunt, [_drawn(draw, draw(st.sampled_from(kinds))) for _ in range(draw(st.integers(0, 6)))]


def _drawn(draw: st.DrawFn, check: Check) -> Observation:
    if draw(st.booleans()):
        return Observation(check=check.key, outcome=draw(st.sampled_from(check.outcomes)))
    return Observation(check=check.key, odds=tuple((name, draw(st.floats(0.1, 1.0))) for name in check.outcomes))


def probabilities(hunt: Hunt, seen: list[Observation]) -> dict[tuple[str, ...], float]:
    """Return every explanation's probability by its faults; a fault on no list is called so."""
    return _weighed(hunt, seen, 999)[0]


def by_hand(hunt: Hunt, seen: list[Observation]) -> dict[tuple[str, ...], float]:
    """Return the same from the words of what was asked, one explanation after the other in plain Python."""
    weights: dict[tuple[str, ...], float] = {}
    rows = {fault.key: row for row, fault in enumerate(hunt.faults, start=1)}
    groups = [(), *[(one,) for one in hunt.faults], *combinations(hunt.faults, 2)]
    for group in groups:
        if len(group) == 2 and group[0].parts and set(group[0].parts) == set(group[1].parts):
            continue
        weight = float(np.prod([fault.odds for fault in group]))
        for one in seen:
            shown = _shown(hunt, [rows[fault.key] for fault in group if fault.key not in one.after], one.check)
            odds = dict(one.odds) if one.odds else {one.outcome: 1.0}
            weight *= sum(odds[name] * shown[name] for name in odds) / sum(odds.values())
        weights[tuple(fault.key for fault in group)] = weight
    weights["on no list",] = hunt.other_odds * float(
        np.prod([1 / len(check.outcomes) for one in seen for check in hunt.checks if check.key == one.check])
    )
    return {key: weight / sum(weights.values()) for key, weight in weights.items() if key != ("on no list",) or weight}


def _shown(hunt: Hunt, rows: list[int], key: str) -> dict[str, float]:
    """Add up every way in which two faults show their outcomes, and take the worse of each."""
    place = [check.key for check in hunt.checks].index(key)
    check = hunt.checks[place]
    shown = dict.fromkeys(check.outcomes, 0.0)
    first, second = [hunt.chances[row, place] for row in ([*rows, 0] if len(rows) == 1 else rows or [0, 0])][:2]
    for one, name in enumerate(check.outcomes):
        for other, worse in enumerate(check.outcomes):
            shown[max(name, worse, key=check.outcomes.index)] += (
                first[one] * second[other] if len(rows) == 2 else first[one] * (one == other)
            )
    return {name: (1 - check.misread) * value + check.misread / len(shown) for name, value in shown.items()}


def test_two_suspects_by_hand() -> None:
    """Odds 1 : 0.3 : 0.1; two outcomes, 10 % misread, so 0.95 against 0.05; dark is what the first fault shows."""
    hunt = hunt_of([[0], [1], [0]], odds=[0.3, 0.1], misread=0.1)
    told = probabilities(hunt, [Observation(check="C0", outcome="low")])
    assert told["F1",] == pytest.approx(0.3 * 0.95 / (1 * 0.05 + 0.3 * 0.95 + 0.1 * 0.05))
    assert told[()] == pytest.approx(0.05 / 0.34)


@given(asked())
def test_it_is_exact(question: tuple[Hunt, list[Observation]]) -> None:
    """No fault, all single faults, all pairs that may be together and the unknown one: as a plain sum has it."""
    assert probabilities(*question) == pytest.approx(by_hand(*question), rel=1e-9, abs=1e-12)


@settings(max_examples=EXAMPLES // 3)
@given(asked(), st.randoms(use_true_random=False))
def test_the_order_of_answers_is_no_matter(question: tuple[Hunt, list[Observation]], chance: object) -> None:
    """Another order gives the same suspects and steps, to the last digit."""
    hunt, seen = question
    other = list(seen)
    chance.shuffle(other)  # type: ignore[attr-defined]
    one, two = standing(hunt, seen), standing(hunt, other)
    assert [(each.faults, each.probability) for each in one.suspects] == [
        (each.faults, each.probability) for each in two.suspects
    ]
    assert one.steps == two.steps


@given(asked())
def test_nothing_is_ever_excluded(question: tuple[Hunt, list[Observation]]) -> None:
    """Whatever the answers, every explanation keeps a probability above 0, and all of them add up to 1."""
    told = probabilities(*question)
    assert min(told.values()) > 0
    assert sum(told.values()) == pytest.approx(1)


@given(asked(), st.integers(0, 12))
def test_pairs_that_are_not_told_are_weighed_all_the_same(question: tuple[Hunt, list[Observation]], most: int) -> None:
    """However few pairs are told, each probability is the true one, the likeliest are told, and the rest is said."""
    hunt, seen = question
    told, found = _weighed(hunt, seen, most)
    true = by_hand(hunt, seen)
    assert told == pytest.approx({key: true[key] for key in told}, rel=1e-9, abs=1e-12)
    rest = [share for key, share in true.items() if key not in told]
    assert found.untold == pytest.approx(sum(rest), abs=1e-9)
    pairs = [share for key, share in told.items() if len(key) == 2]
    assert len(pairs) <= most
    assert len(pairs) == most or sum(rest) < 1e-6
    assert max(rest, default=0.0) <= min(pairs, default=1.0) * (1 + 1e-9)


@given(asked())
def test_how_likely_a_fault_is_there(question: tuple[Hunt, list[Observation]]) -> None:
    """Alone or with another: the sum over all explanations that it is in, told or not."""
    hunt, seen = question
    true, found = by_hand(hunt, seen), _weighed(hunt, seen, 1)[1]
    for row, fault in enumerate(hunt.faults, start=1):
        assert found.there[row] == pytest.approx(sum(one for key, one in true.items() if fault.key in key))
    assert found.there[0] == pytest.approx(true[()])
    assert two_there(found) == pytest.approx(sum(one for key, one in true.items() if len(key) == 2), abs=1e-9)


def _weighed(hunt: Hunt, seen: list[Observation], most: int) -> tuple[dict[tuple[str, ...], float], Weighed]:
    found = weigh(board_of(hunt), seen, most_pairs=most)
    names = [
        ("on no list",) if one == OTHER else tuple(hunt.faults[each - 1].key for each in (one, two) if each)
        for one, two in zip(found.first, found.second, strict=True)
    ]
    return dict(zip(names, found.probability.tolist(), strict=True)), found


def test_a_hundred_answers_do_not_grow_too_small() -> None:
    """Answers that speak against every explanation, again and again: products of chances would be 0 long before."""
    hunt = hunt_of(np.eye(41, 40, k=-1, dtype=np.int64), odds=[1e-4] * 40, misread=1e-4, pairs=True)
    seen = [Observation(check=f"C{n}", outcome="low") for n in range(40)] * 4
    found = weigh(board_of(hunt), seen, most_pairs=9)
    assert found.probability.sum() + found.untold == pytest.approx(1)
    assert [tuple(sorted((one, two))) for one, two in zip(found.first, found.second, strict=True)][-9:] != []
    assert found.there[1:].sum() == pytest.approx(2 * two_there(found) + found.probability[1:41].sum())
    assert two_there(found) > 0.99


def test_degrees_of_a_fault_are_one_fault() -> None:
    """A joint of 3 or of 30 ohm: answers speak for a degree, what is believed of the fault is both together."""
    table = np.zeros((4, 2, 2))
    table[0, :, 0] = 1.0
    table[1] = [[0.0, 1.0], [1.0, 0.0]]
    table[2] = [[0.0, 1.0], [0.0, 1.0]]
    table[3] = [[0.5, 0.5], [0.5, 0.5]]
    faults = [Fault(key=key, odds=0.1, repair_s=60.0, parts=(f"at {key}",)) for key in ("poor", "poor", "dead")]
    checks = [Check(key=key, seconds=10.0, outcomes=("well", "low"), misread=0.02) for key in ("C0", "C1")]
    hunt = Hunt(faults=tuple(faults), checks=tuple(checks), chances=table, healthy_s=100.0, pairs=True)
    seen = [Observation(check="C0", outcome="low"), Observation(check="C1", outcome="well")]
    now = standing(hunt, seen)
    # 0.1 times 0.99 times 0.99 or 0.01, against 0.1 times a quarter: each degree as it is, not both halved.
    alone = {one.faults: one.probability for one in now.suspects}
    assert alone["poor",] / alone["dead",] == pytest.approx(0.99 * (0.99 + 0.01) / 0.25)
    assert ("poor", "poor") not in alone
    assert now.bad[0].faults == ("poor",)
    assert now.bad[0].probability == pytest.approx(alone["poor",] + alone["poor", "dead"])


def test_a_mended_fault_is_gone_from_later_answers() -> None:
    """Of two faults one is mended and the trouble stays: the other one alone explains that now."""
    hunt = hunt_of([[0, 0], [1, 0], [1, 1]], odds=[0.3, 0.05], pairs=True)
    before = [Observation(check="C0", outcome="low")]
    after = [*before, Observation(check="C0", outcome="low", after=("F1",))]
    assert probabilities(hunt, before)["F1",] > 0.7
    told = probabilities(hunt, after)
    assert told == pytest.approx(by_hand(hunt, after))
    assert told["F1",] < 0.1 < told["F2",]
    assert told["F1", "F2"] / told["F2",] == pytest.approx(0.3)


def test_faults_of_the_same_parts_are_never_together() -> None:
    """An end that is open is not shorted; a fault of other parts, or of more, may be there with it."""
    hunt = hunt_of([[0], [1], [1], [1]], pairs=True)
    parts = (("end A",), ("end A",), ("end A", "wire 1"))
    faults = tuple(replace(fault, parts=sits) for fault, sits in zip(hunt.faults, parts, strict=True))
    told = probabilities(replace(hunt, faults=faults), [])
    assert {key for key in told if len(key) == 2} == {("F1", "F3"), ("F2", "F3")}


@settings(max_examples=EXAMPLES // 3)
@given(asked())
def test_names_decide_nothing(question: tuple[Hunt, list[Observation]]) -> None:
    """Faults and checks with other names: the same probabilities and the same best times under the new names."""
    hunt, seen = question
    other = replace(
        hunt,
        faults=tuple(replace(one, key=f"z{one.key[::-1]}") for one in hunt.faults),
        checks=tuple(replace(one, key=f"a{one.key[::-1]}") for one in hunt.checks),
    )
    again = [replace(one, check=f"a{one.check[::-1]}") for one in seen]
    renamed = {
        tuple(f"z{name[::-1]}" if name[0] == "F" else name for name in key): one
        for key, one in probabilities(hunt, seen).items()
    }
    assert probabilities(other, again) == pytest.approx(renamed)
    mine, theirs = standing(hunt, seen).steps, standing(other, again).steps
    assert [step.expected_s for step in mine] == [step.expected_s for step in theirs]
    assert [step.check for step in mine] == [step.check[:0:-1] for step in theirs]
