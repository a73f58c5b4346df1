"""Check an answer to a slot problem, and count what it costs: straight from the words of the problem.

Nothing here is shared with the search, so that one mistake cannot hide in both.
"""

from __future__ import annotations

from collections import Counter
from itertools import combinations

from loomwright.layout.slot_problem import Clash, Seat, SlotAnswer, SlotOption, SlotProblem, Spot, Wish

Seated = dict[str, Seat]


def check_slots(problem: SlotProblem, answer: SlotAnswer) -> tuple[int, int, int]:
    """Count the breaks, the rework [points] and the wire and prices [mm] of an answer.

    Raises
    ------
    ValueError
        The answer breaks a rule of the problem, or its certificate or one of its clashes is wrong.
    """
    seats = {seat.spot: seat for seat in problem.seats}
    options = {item.name: {option.spot: option for option in item.options} for item in problem.items}
    told = [name for name, _ in answer.seats]
    if sorted(told) != sorted(options):
        raise ValueError("the answer is not about the items of the problem, each once")
    taken = [(name, spot) for name, spot in answer.seats if spot is not None]
    for name, spot in taken:
        if spot not in seats or spot not in options[name]:
            raise ValueError(f"{name} cannot sit on {spot}")
    if len({spot for _, spot in taken}) < len(taken):
        raise ValueError("two items sit on one seat")
    seated = {name: seats[spot] for name, spot in taken}
    chosen = [options[name][spot] for name, spot in taken]
    broken = _broken(problem, seated)
    breaks = sum(option.breaks for option in chosen) + sum(broken.values())
    breaks += problem.unseated_breaks * (len(told) - len(taken))
    rework = sum(option.rework for option in chosen)
    crossings = _crossings(problem, seated)
    cost_mm = _cost(problem, seated, chosen, crossings)
    _check_certificate(answer, breaks, cost_mm, crossings)
    for clash in answer.clashes:
        _check_clash(problem, clash, set(broken))
    return breaks, rework, cost_mm


def _broken(problem: SlotProblem, seated: Seated) -> dict[str, int]:
    """Give the key of each wish that does not hold, with what it counts."""
    broken: dict[str, int] = {}
    for wish in problem.wishes:
        if wish.near:
            faces = {seated[name].face for name in (wish.item, wish.near) if name in seated}
            times = int(len(faces) > 1)
        elif wish.item:
            times = int(wish.item in seated and seated[wish.item].spot not in wish.spots)
        else:
            times = sum(seat.spot in wish.spots for seat in seated.values())
        if times:
            broken[wish.key] = broken.get(wish.key, 0) + times * wish.weight
    return broken


def _crossings(problem: SlotProblem, seated: Seated) -> int:
    """Count the pairs on one face whose places and headings are in opposite orders."""
    headings = {item.name: dict(item.headings) for item in problem.items}
    count = 0
    for one, two in combinations(seated, 2):
        face = seated[one].face
        if face == seated[two].face and face in headings[one] and face in headings[two]:
            places = seated[one].place - seated[two].place
            count += places * (headings[one][face] - headings[two][face]) < 0
    return count


def _cost(problem: SlotProblem, seated: Seated, chosen: list[SlotOption], crossings: int) -> int:
    prices = problem.prices
    cost_mm = sum(option.wire_mm for option in chosen) + prices.crossing_mm * crossings
    for one, two in problem.pairs:
        if one in seated and two in seated:
            same_face = seated[one].face == seated[two].face
            gap = max(0, abs(seated[one].place - seated[two].place) - 1)
            cost_mm += prices.apart_mm * gap if same_face else prices.other_face_mm
    for corner in {seat.corner for seat in problem.seats if seat.corner}:
        here = {name for name, seat in seated.items() if seat.corner == corner}
        cost_mm += prices.mixed_corner_mm * (sum(not here.isdisjoint(side) for side in problem.sides) > 1)
    return cost_mm + prices.bunched_mm * _bunched(problem, seated)


def _bunched(problem: SlotProblem, seated: Seated) -> int:
    """Count the free seats of each group on each face that are above or below its even share."""
    bunched = 0
    occupied = {seat.spot for seat in seated.values()}
    for group in {seat.group for seat in problem.seats}:
        seats = [seat for seat in problem.seats if seat.group == group]
        free = Counter(seat.face for seat in seats if seat.spot not in occupied)
        for face, here in Counter(seat.face for seat in seats).items():
            least, over = divmod(sum(free.values()) * here, len(seats))
            most = least + (over > 0)
            bunched += max(0, free[face] - most, least - free[face])
    return bunched


def _check_certificate(answer: SlotAnswer, breaks: int, cost_mm: int, crossings: int) -> None:
    certificate = answer.certificate
    if (certificate.unit, certificate.cost, certificate.breaks) != ("mm", cost_mm, breaks):
        raise ValueError(f"the certificate tells another cost than {breaks} breaks and {cost_mm} mm")
    if certificate.bound > cost_mm or certificate.least_breaks > breaks:
        raise ValueError("the certificate claims that no answer is as good as this one")
    if certificate.baseline is not None and certificate.baseline_breaks is not None:
        plain = (certificate.baseline_breaks, certificate.baseline)
        if plain < (breaks, cost_mm):
            raise ValueError("the answer is worse than the plain one")
    if answer.crossings != crossings:
        raise ValueError(f"the answer tells {answer.crossings} crossings where there are {crossings}")


def _check_clash(problem: SlotProblem, clash: Clash, broken: set[str]) -> None:
    """Count a clash again: its items have no seat but its spots, as far as its wishes go, and these are too few."""
    wishes = {wish.key: wish for wish in problem.wishes}
    if not set(clash.drops) <= set(clash.wishes) <= set(wishes) or not set(clash.drops) <= broken:
        raise ValueError("a clash names a wish that is not there, or gives up one that holds")
    if not clash.counting:
        return
    said = [wishes[key] for key in clash.wishes]
    options = {item.name: {option.spot for option in item.options} for item in problem.items}
    reach: set[Spot] = set()
    for name in clash.items:
        reach |= {spot for spot in options[name] if all(_allows(wish, name, spot) for wish in said)}
    reach &= {seat.spot for seat in problem.seats}
    if reach != set(clash.spots) or len(clash.items) <= len(reach):
        raise ValueError("a clash of counting does not count")


def _allows(wish: Wish, name: str, spot: Spot) -> bool:
    if wish.near or wish.item not in {"", name}:
        return True
    return (spot in wish.spots) == bool(wish.item)
