"""Which few wishes cannot all be had: by counting where that is it, else the smallest set, and never one too many."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations
from time import perf_counter

import pytest

from loomwright.layout.engine import slot_clash
from loomwright.layout.engine.slot_clash import explain
from loomwright.layout.engine.slot_solver import seat
from loomwright.layout.engine.slot_together import Together, together
from loomwright.layout.slot_problem import Item, Seat, SlotOption, SlotProblem, Spot, Wish
from loomwright.search import Effort
from tests.layout.slot_problems import FREE, every_seating, small


def block(names: list[str], *wishes: Wish, heavy: int = 7, light: int = 8, unseated_breaks: int = 1000) -> SlotProblem:
    """Let each item sit anywhere on a block of heavy slots (left) and light ones (right)."""
    seats = [Seat(("block", f"H{n}"), "left", n, "heavy") for n in range(1, heavy + 1)]
    seats += [Seat(("block", f"L{n}"), "right", n, "light") for n in range(1, light + 1)]
    options = tuple(SlotOption(s.spot, 0) for s in seats)
    items = tuple(Item(name, options) for name in names)
    return SlotProblem(items=items, seats=tuple(seats), prices=FREE, wishes=wishes, unseated_breaks=unseated_breaks)


def spots(letter: str, *numbers: int) -> tuple[Spot, ...]:
    return tuple(("block", f"{letter}{n}") for n in numbers)


MOTORS = [f"motor {n}" for n in range(1, 11)]


def heavy_wishes(count: int, cheap: int = 0) -> list[Wish]:
    all_heavy = spots("H", *range(1, 8))
    return [
        Wish(key=f"group {m}", item=m, spots=all_heavy, weight=1 if n == cheap else 2)
        for n, m in enumerate(MOTORS[:count])
    ]


def test_eight_circuits_need_one_of_seven_seats() -> None:
    """Counting: all eight and all seven are named, and the cheapest wish is the one to drop."""
    fan = Wish(key="pin fan", item="fan", spots=spots("L", 1))
    problem = block([*MOTORS[:8], "fan"], *heavy_wishes(8, cheap=4), fan)
    answer = seat(problem, effort=Effort.USUAL)
    (clash,) = answer.clashes
    assert clash.counting
    assert clash.items == tuple(MOTORS[:8])
    assert clash.spots == spots("H", *range(1, 8))
    assert clash.wishes == tuple(f"group {m}" for m in MOTORS[:8])
    assert clash.drops == ("group motor 5",)
    assert (answer.certificate.breaks, answer.certificate.least_breaks) == (1, 1)
    assert all(spot is not None for _, spot in answer.seats)


def test_ten_circuits_for_seven_seats_is_one_clash_with_three_drops() -> None:
    """More than one too many is still told once."""
    (clash,) = seat(block(MOTORS, *heavy_wishes(10)), effort=Effort.FIRST).clashes
    assert len(clash.items) == 10
    assert len(clash.drops) == 3


def test_a_reserved_slot_is_named_where_it_is_what_is_missing() -> None:
    """Seven circuits on seven seats of which one is reserved: the reservation stands in the clash."""
    kept = Wish(key="reserved H3", item="", spots=spots("H", 3), weight=5)
    (clash,) = seat(block(MOTORS[:7], *heavy_wishes(7), kept), effort=Effort.FIRST).clashes
    assert "reserved H3" in clash.wishes
    assert clash.drops == ("group motor 1",)
    assert clash.spots == spots("H", 1, 2, 4, 5, 6, 7)


def test_two_wishes_for_one_item_are_no_matter_of_counting() -> None:
    """A pin against a gauge that only other slots take: two wishes, one item, and everything else is left out."""
    pin = Wish(key="pin", item="motor 2", spots=spots("H", 2), weight=9)
    gauge = Wish(key="gauge", item="motor 2", spots=spots("H", 4, 5), weight=3)
    (clash,) = seat(block(MOTORS[:5], *heavy_wishes(5), pin, gauge), effort=Effort.USUAL).clashes
    assert clash.wishes == ("gauge", "pin")
    assert clash.drops == ("gauge",)
    assert clash.items == ("motor 2",)
    assert not clash.counting


def test_a_wish_for_one_face_stands_against_two_pins() -> None:
    """A local clash of a pair: three wishes, and without any one of them the rest can be had."""
    problem = block(
        ["arm", "lift", "fan"],
        Wish(key="pin arm", item="arm", spots=spots("H", 1), weight=4),
        Wish(key="pin lift", item="lift", spots=spots("L", 1, 2), weight=4),
        Wish(key="pin fan", item="fan", spots=spots("L", 3), weight=4),
        Wish(key="one face", item="lift", near="arm", weight=3),
    )
    (clash,) = seat(problem, effort=Effort.USUAL).clashes
    assert clash.wishes == ("one face", "pin arm", "pin lift")
    assert clash.drops == ("one face",)
    assert not clash.counting


def test_an_item_that_no_seat_is_left_for_is_explained_without_wishes() -> None:
    """Nine items for eight seats: no wish is to blame, so there is none to drop."""
    problem = block(MOTORS[:9], heavy=0)
    (clash,) = seat(problem, effort=Effort.FIRST).clashes
    assert (len(clash.items), len(clash.spots), clash.wishes, clash.drops) == (9, 8, (), ())


def test_where_a_seat_counts_less_than_the_wishes_the_item_is_left_out() -> None:
    """Two pins on one slot that count more than a seat: one item has none, and both wishes are named."""
    pins = [Wish(key=f"pin {m}", item=m, spots=spots("H", 1), weight=50) for m in MOTORS[:2]]
    answer = seat(block(MOTORS[:2], *pins, unseated_breaks=10), effort=Effort.FIRST)
    (clash,) = answer.clashes
    assert [spot for _, spot in answer.seats].count(None) == 1
    assert (clash.wishes, clash.drops) == (("pin motor 1", "pin motor 2"), ())


def test_a_wish_broken_for_something_graver_is_no_clash() -> None:
    """It could be had; the options of the items are only worth more."""
    item = Item("arm", (SlotOption(("block", "H1"), 0, breaks=5), SlotOption(("block", "H2"), 0)))
    wish = Wish(key="pin", item="arm", spots=spots("H", 1), weight=1)
    answer = seat(replace(block([], wish), items=(item,)), effort=Effort.USUAL)
    assert answer.certificate.breaks == 1
    assert answer.clashes == ()


def _had(problem: SlotProblem, items: set[str], keys: set[str]) -> bool:
    """Tell, by trying every seating, whether these items can be seated with these wishes."""
    seats = {s.spot: s for s in problem.seats}
    for seated in every_seating(problem):
        if any(seated[name] is None for name in items):
            continue
        for wish in (w for w in problem.wishes if w.key in keys):
            spot, near = seated.get(wish.item), seated.get(wish.near)
            if wish.near and spot and near and seats[spot].face != seats[near].face:
                break
            if wish.item and not wish.near and spot is not None and spot not in wish.spots:
                break
            if not wish.item and set(wish.spots) & {seated[name] for name in items}:
                break
        else:
            return True
    return False


@pytest.mark.parametrize("seed", range(40))
def test_a_clash_is_the_smallest_there_is(seed: int) -> None:
    """By trying every seating and every set of wishes: it cannot be had, and nothing smaller with its drop can't."""
    problem = small(seed)
    tight = tuple(
        Wish(key=f"group {i.name}", item=i.name, spots=tuple(o.spot for o in i.options[:2]), weight=2)
        for i in problem.items
    )
    problem = replace(problem, wishes=(*problem.wishes, *tight), unseated_breaks=1000)
    answer = seat(problem, effort=Effort.USUAL)
    seated = {name for name, spot in answer.seats if spot is not None}
    lost = {clash_drop for clash in answer.clashes for clash_drop in clash.drops}
    kept = {wish.key for wish in problem.wishes} - slot_clash_lost(problem, dict(answer.seats))
    for clash in answer.clashes:
        if len(clash.drops) != 1:
            continue
        assert not _had(problem, seated, set(clash.wishes))
        for size in range(len(clash.wishes) - 1):
            for fewer in combinations(sorted(kept), size):
                assert _had(problem, seated, {*fewer, *clash.drops}), (clash, fewer)
    assert lost <= slot_clash_lost(problem, dict(answer.seats))


def slot_clash_lost(problem: SlotProblem, seated: dict[str, Spot | None]) -> set[str]:
    return {wish.key for wish in problem.wishes if not slot_clash._holds(problem, wish, seated)}


def test_some_of_those_forty_clash() -> None:
    """The test above has something to look at."""
    problems = [small(seed) for seed in range(40)]
    assert sum(bool(seat(p, effort=Effort.FIRST).clashes) for p in problems) > 3


def test_a_conflict_that_is_not_minimal_is_never_told(monkeypatch: pytest.MonkeyPatch) -> None:
    """What cannot be verified is an error of the program."""
    monkeypatch.setattr(slot_clash, "_smallest", lambda _asked, _items, keys: keys)
    fan = Wish(key="pin fan", item="fan", spots=spots("L", 1))
    with pytest.raises(RuntimeError, match="not the smallest"):
        seat(block([*MOTORS[:8], "fan"], *heavy_wishes(8), fan), effort=Effort.FIRST)


def test_without_tries_a_conflict_is_still_minimal(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where the smallest would take too long, one from which nothing can be left out is told."""
    monkeypatch.setattr(slot_clash, "_TRIES", 0)
    (clash,) = seat(block([*MOTORS[:8]], *heavy_wishes(8)), effort=Effort.FIRST).clashes
    assert len(clash.wishes) == 8


def test_a_planted_clash_is_explained_within_its_time() -> None:
    """24 items on 24 slots with a wish each, and eight of them on seven slots: well within 0.3 s."""
    names = [f"load {n}" for n in range(1, 17)]
    light = [Wish(key=f"light {n}", item=n, spots=spots("L", *range(1, 17))) for n in names[:15]]
    problem = block([*MOTORS[:8], *names], *heavy_wishes(8), *light, heavy=8, light=16)
    seated = dict(seat(problem, effort=Effort.FIRST).seats)
    start = perf_counter()
    (clash,) = explain(problem, seated)
    assert perf_counter() - start < 0.3
    assert len(clash.wishes) == 8


def test_the_items_of_a_counting_clash_are_fewest() -> None:
    """Without any one of them, the others can be seated: checked with a second matching."""
    problem = block([*MOTORS[:8], "fan"], *heavy_wishes(8))
    asked: Together = together(problem)
    keys = [f"group {m}" for m in MOTORS[:8]]
    short, seats = asked.short_of_seats(["fan", *MOTORS[:8]], keys)
    assert (len(short), len(seats)) == (8, 7)
    assert all(not asked.short_of_seats([i for i in short if i != left], keys)[0] for left in short)
