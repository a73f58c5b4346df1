"""Made-up blocks and robots for the slot search, from a seed: the shapes that real ones have, nobody's robot.

A block with slots along its left and right faces and two in front; devices around it on a plate; wires leave a face
either right where the device is, or through one of a few trunks, so that several leave at one place.
"""

from __future__ import annotations

import random

from loomwright.layout.slot_problem import Item, Seat, SlotOption, SlotPrices, SlotProblem, Spot, Wish

PRICES = SlotPrices(crossing_mm=60, apart_mm=25, other_face_mm=250, mixed_corner_mm=200, bunched_mm=40)
_PITCH_MM = 22
_HALF_WIDTH_MM = 70
_HEAVY_A_FACE = 5


def instance(
    seed: int, *, items: int = 24, a_face: int = 12, reserved: int = 2, trunks: bool | None = None
) -> SlotProblem:
    """Make a problem with `items` circuits on twice `a_face` slots and two in front, less the reserved ones."""
    chance = random.Random(seed)  # noqa: S311  # made-up robots, no secrets
    by_trunk = chance.choice([False, True]) if trunks is None else trunks
    seats = _seats(a_face)
    kept_free = chance.sample([seat for seat in seats if seat.group == "light"], reserved)
    exits = sorted(chance.sample(range(-150, 450, 10), 4))
    kinds = _kinds(chance, items)
    made: list[Item] = []
    wishes = [Wish(key=f"reserved {seat.spot[1]}", item="", spots=(seat.spot,), weight=3) for seat in kept_free]
    open_seats = [seat for seat in seats if seat not in kept_free]
    at: dict[str, tuple[int, int]] = {}
    for name, group in kinds:
        leader = name.removesuffix(" follower")
        where = (chance.randint(-450, 450), chance.randint(-350, 650))
        if leader in at:
            where = (at[leader][0] + chance.randint(-40, 40), at[leader][1] + chance.randint(-60, 60))
        at[name] = where
        made.append(_item(name, group, where, seats, exits if by_trunk else []))
    for name, group in chance.sample(kinds, 2):
        wishes += _pin(name, chance.choice([seat.spot for seat in open_seats if seat.group == group]))
    names = {name for name, _ in kinds}
    return SlotProblem(
        items=tuple(made),
        seats=tuple(seats),
        prices=PRICES,
        pairs=tuple((name, f"{name} follower") for name in sorted(names) if f"{name} follower" in names),
        sides=tuple(tuple(sorted(n for n in names if n.startswith(side))) for side in ("left drive", "right drive")),
        wishes=tuple(wishes),
    )


def _pin(name: str, spot: Spot) -> list[Wish]:
    return [Wish(key=f"pin of {name}", item=name, spots=(spot,), weight=5)]


def _seats(a_face: int) -> list[Seat]:
    found: list[Seat] = []
    for face, letter in (("left", "A"), ("right", "B")):
        for place in range(a_face):
            group = "heavy" if place < _HEAVY_A_FACE else "light"
            corner = f"{face} {place // 3}"
            found.append(Seat(("block", f"{letter}{place + 1}"), f"block {face}", place, group, corner))
    found += [Seat(("block", f"F{place + 1}"), "block front", place, "fused", "front") for place in range(2)]
    return found


def _kinds(chance: random.Random, items: int) -> list[tuple[str, str]]:
    """Name the circuits: two drives with followers, mechanisms in pairs, then light loads, two fused ones last."""
    heavy = ["left drive", "left drive follower", "right drive", "right drive follower", "lift", "lift follower"]
    heavy += ["arm", "arm follower", "winch"][: max(0, items // 6)]
    light = ["roller", "roller follower", "wrist", "wrist follower", "belt", "belt follower"]
    light += [f"load {number}" for number in range(1, max(1, items - len(heavy) - len(light) - 1))]
    chance.shuffle(light)
    kinds = [(name, "heavy") for name in heavy] + [(name, "light") for name in light]
    return [*kinds[: items - 2], ("radio", "fused"), ("controller", "fused")]


def _item(name: str, group: str, where: tuple[int, int], seats: list[Seat], exits: list[int]) -> Item:
    """Give an item its seats: its own group, and heavy slots for a light load as a break."""
    across, forward = where
    exit_mm = min(exits, key=lambda at: (abs(at - forward), at)) if exits else forward
    options: list[SlotOption] = []
    for seat in seats:
        allowed = seat.group == group or (group, seat.group) == ("light", "heavy")
        if not allowed:
            continue
        x_mm = {"left": -_HALF_WIDTH_MM, "right": _HALF_WIDTH_MM, "front": 0}[seat.face.removeprefix("block ")]
        y_mm = seat.place * _PITCH_MM if x_mm else -40
        along = abs(y_mm - exit_mm) + abs(exit_mm - forward)
        detour = 2 * (_HALF_WIDTH_MM + 30) if x_mm * across < 0 else 0
        wire = 2 * (along + abs(across - x_mm) + detour)
        options.append(SlotOption(seat.spot, wire, breaks=int(seat.group != group)))
    headings = (("block left", exit_mm), ("block right", exit_mm), ("block front", across))
    return Item(name, tuple(options), headings)
