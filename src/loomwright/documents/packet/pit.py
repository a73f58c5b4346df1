"""The pit card: one sheet, both sides, for the two minutes before a match and the five after it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from loomwright.documents.packet.blocks import (
    Block,
    Column,
    Leaf,
    Look,
    Notice,
    Para,
    Points,
    Rows,
    Section,
    Side,
    Table,
)
from loomwright.proof.pit_card import LIGHT_CARE, pit_card
from loomwright.units import Dimension, show

if TYPE_CHECKING:
    from collections.abc import Iterator

    from loomwright.documents.packet.blocks import Chapter
    from loomwright.plan.result import Plan
    from loomwright.proof.data_map import Chain
    from loomwright.proof.halts import Halt, Returning
    from loomwright.proof.pit_card import PitCard
    from loomwright.proof.slot_map import SlotMap

_CHECK: Final = (Column("", 0, Look.TICK), Column("", 2, Look.STRONG), Column("", 7))
_HALT: Final = (
    Column("halt", 0, Look.STRONG),
    Column("usually means", 2.4),
    Column("look at", 2.6),
    Column("on this robot", 3),
)
_SLOTS: Final = (
    Column("slot", 0, Look.STRONG),
    Column("", 0),
    Column("load", 1),
    Column("wires", 0),
)
_NUMBERS: Final = (Column("battery", 2, Look.STRONG), Column("expect", 3), Column("", 2, Look.WRITE), Column("", 0))
_SIGNS: Final = (Column("light", 2, Look.STRONG), Column("usually means", 5))
#: More places than these are counted.
_FEW: Final = 2
_HANDS: Final = "Hands off while it is on. Before any work: main breaker off, battery unplugged – look, don't assume."
#: Comes before everything else that one may do with a meter in the hand.
SMOKE: Final = (
    "Smoke, hiss, swelling or heat: breaker off, unplug if that is safe, stand clear, fetch your mentor. No probing."
)

_ONE_SHEET: Final = "This page and the next are one card: print them on both sides of one sheet."


def pit_leaf(plan: Plan, beside: Side | Chapter) -> Leaf:
    """Return the front, for before a match, and the back, the maps; `beside` stands before or after them."""
    card = pit_card(plan)
    front = Side("Pit card: before a match", tuple(_front(card)))
    return Leaf(front, Side("Pit card: maps", tuple(_back(card)), columns=2), beside)


def _front(card: PitCard) -> Iterator[Block]:
    yield Notice(_HANDS)
    yield Table(_CHECK, (Rows(tuple(("", check.look, _how(check.how, check.where)) for check in card.checks)),))
    if card.rechecks:
        yield Section("To be gone over again")
        yield Points(
            tuple(f"{held.what}, {held.every}: {held.how} {_at(held.where)}." for held in card.rechecks),
            "ticks",
        )
    yield Section("It stopped: how long?")
    yield Table(_HALT, (Rows(tuple(map(_halt, card.halts))),))
    yield Notice(SMOKE)
    if card.light:
        yield Table(_SIGNS, (Rows(tuple((sign.shows, sign.means) for sign in card.light)),))
        yield Para(LIGHT_CARE)
    yield Table(_NUMBERS, (Rows(tuple((held.what, held.expect, "", held.unit) for held in card.battery)),))
    yield Para(_ONE_SHEET)


def _at(where: tuple[tuple[str, int], ...]) -> str:
    return ", ".join(f"{device} ({many})" for device, many in where)


def _how(how: str, where: tuple[str, ...]) -> str:
    """Tell how to look, and where, unless there are too many places to read in two minutes."""
    if len(where) > _FEW:
        return f"{how} There are {len(where)}."
    known = [place for place in where if ": " in place]
    return f"{how} {'. '.join(known)}." if known else how


def _halt(halt: Halt) -> tuple[str, ...]:
    last = f"to {halt.to_s:g} s" if halt.to_s is not None else "s and more"
    devices = [f"{held.device} ({', '.join(_back_again(held))})" for held in halt.devices]
    return (f"{halt.from_s:g} {last}", halt.means, halt.look_at, "; ".join(devices) or "-")


def _back_again(held: Returning) -> Iterator[str]:
    yield f"back after {show(held.back_after_s, Dimension.TIME)}"
    if held.fed_by:
        yield held.fed_by


def _back(card: PitCard) -> Iterator[Block]:
    groups = tuple(_slots(held) for held in card.slots)
    yield Table(_SLOTS, groups, empty="No slot is known.")
    if card.waiting:
        yield Para(f"Slot not known yet: {', '.join(card.waiting)}.", strong=True)
    for chain in card.chains:
        yield Section(f"Chain: {chain.name}")
        yield Points(tuple(_stops(chain)), "steps" if chain.ordered else "points")
        if not chain.ordered:
            yield Para("Nobody knows the order of this chain; this is only who hangs on it.")
    if card.cables:
        yield Section("Network cables")
        yield Points(
            tuple(f"{held.wire}: {held.a} to {held.b}{', with power' if held.power else ''}" for held in card.cables)
        )
    if card.thresholds:
        yield Section("When the voltage falls")
        yield Points(tuple(f"{held.device}: {held.what} {held.voltage}" for held in card.thresholds))


def _slots(held: SlotMap) -> Rows:
    """Tell the slots in use; free ones that follow one another stand in one row."""
    rows: list[tuple[str, ...]] = []
    free: list[str] = []
    for line in held.lines:
        if line.free and not line.load:
            free.append(line.slot)
            continue
        other = line.label and line.label.casefold() != line.load.casefold()
        load = f"{line.load} (labelled: {line.label})" if other else line.load
        rows.append((line.slot, _short(line.protection), load, ", ".join(line.wires)))
    if free:
        rows.append(("free", "", ", ".join(free), ""))
    return Rows(tuple(rows), f"{held.source}")


def _short(protection: str) -> str:
    """Leave the rating: what kind it is can be seen in the slot; an output's own limit can't."""
    rating = protection.rsplit(", ", 1)[-1]
    return f"limit {rating}" if protection.startswith("own limit") else rating


def _stops(chain: Chain) -> Iterator[str]:
    for stop in chain.stops:
        number = f", id {stop.number}" if stop.number else ""
        yield f"{stop.device}{number}{' – terminator' if stop.terminator else ''}"
