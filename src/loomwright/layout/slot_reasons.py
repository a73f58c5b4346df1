"""Why each circuit stands where it does, in words that a student can check at the block."""

from __future__ import annotations

from itertools import combinations
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Mapping

    from loomwright.layout.slot_problem import Item, Seat, SlotProblem, Spot

Seats = tuple[tuple[str, "Spot | None"], ...]
_MM_PER_CM = 10
_WORTH_TELLING_MM = 20


def reasons_of(problem: SlotProblem, seats: Seats) -> dict[str, str]:
    """Return the reason of each item's seat: "closest heavy slot, next to left front, no crossing"."""
    by_spot = {seat.spot: seat for seat in problem.seats}
    seated = {name: by_spot[spot] for name, spot in seats if spot is not None and spot in by_spot}
    crossing = _crossing_pairs(problem, seated)
    holders = {seat.spot: name for name, seat in seated.items()}
    return {
        item.name: ", ".join(
            (
                _how_far(item, seated[item.name], holders),
                *_beside(problem, item.name, seated),
                _crosses(item.name, crossing),
            )
        )
        for item in problem.items
        if item.name in seated
    }


def crossings_of(problem: SlotProblem, seats: Seats) -> int:
    """Count the pairs of circuits that cross where they leave a face."""
    by_spot = {seat.spot: seat for seat in problem.seats}
    seated = {name: by_spot[spot] for name, spot in seats if spot is not None and spot in by_spot}
    return len(_crossing_pairs(problem, seated))


def _how_far(item: Item, seat: Seat, holders: Mapping[Spot, str]) -> str:
    group = f"{seat.group} slot" if seat.group else "slot"
    if len(item.options) == 1:
        return f"the only {group} that suits it"
    taken = next(option for option in item.options if option.spot == seat.spot)
    closest = min(item.options, key=lambda option: (option.breaks, option.wire_mm))
    if taken.breaks > closest.breaks:
        return f"a {group}, since no other that suits it is left"
    over_mm = taken.wire_mm - closest.wire_mm
    if over_mm < _WORTH_TELLING_MM:
        return "as close as any" if _all_equal(item) else f"closest {group}"
    here = holders.get(closest.spot)
    who = f"which {here} has" if here is not None else "which stays free"
    return f"{over_mm / _MM_PER_CM:.0f} cm more wire than {closest.spot[1]}, {who}"


def _all_equal(item: Item) -> bool:
    best = min(option.breaks for option in item.options)
    lengths = {option.wire_mm for option in item.options if option.breaks == best}
    return len(lengths) == 1


def _beside(problem: SlotProblem, name: str, seated: Mapping[str, Seat]) -> list[str]:
    here = seated[name]
    partners = [two if one == name else one for one, two in problem.pairs if name in (one, two)]
    near = [p for p in partners if p in seated and _next_to(here, seated[p])]
    return [f"next to {' and '.join(near)}"] if near else []


def _next_to(one: Seat, other: Seat) -> bool:
    return one.face == other.face and abs(one.place - other.place) == 1


def _crosses(name: str, pairs: list[tuple[str, str]]) -> str:
    others = [two if one == name else one for one, two in pairs if name in (one, two)]
    if not others:
        return "no crossing"
    return f"crosses {' and '.join(others[:2])}" + (f" and {len(others) - 2} more" if len(others) > 2 else "")  # noqa: PLR2004


def _crossing_pairs(problem: SlotProblem, seated: Mapping[str, Seat]) -> list[tuple[str, str]]:
    headings = {item.name: dict(item.headings) for item in problem.items}
    return [
        (one, two)
        for one, two in combinations(seated, 2)
        if (face := seated[one].face) == seated[two].face
        and face in headings[one]
        and face in headings[two]
        and (seated[one].place - seated[two].place) * (headings[one][face] - headings[two][face]) < 0
    ]
