"""What tells a wire that was planned, and maybe made, from the one that is planned now."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from loomwright.units import Dimension, show

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from loomwright.plan.memory import KeptDevice, KeptEnd, KeptWire

_SAME_M = 0.0005
"""Lengths are told to the millimetre [m]."""


@dataclass(frozen=True, slots=True)
class Difference:
    """One thing that is not the same: the end that it is about ("" for the whole wire), and what, in words."""

    end: str
    words: str


def as_planned(old: KeptWire, new: KeptWire) -> tuple[Difference, ...]:
    """Return every difference of a wire that is still on paper; what is not known now is none."""
    return (*_copper(old, new), *_length(old, new, 0.0), *_end("A", old.a, new.a), *_end("B", old.b, new.b))


def as_made(
    old: KeptWire,
    new: KeptWire,
    *,
    before: Mapping[str, KeptDevice],
    after: Mapping[str, KeptDevice],
    loop_m: float,
) -> tuple[Difference, ...]:
    """Return what must change on a wire that is made; `loop_m` [m] is the service loop at each end.

    `before` and `after` are the devices of both plans: whoever swaps one opens the ends on it, whatever they look like.
    """
    swapped = {
        name: f"{name} is another part: {now.part} instead of {before[name].part}"
        for name, now in after.items()
        if name in before and before[name].part != now.part
    }
    return (
        *_copper(old, new),
        *_length(old, new, loop_m),
        *_made_end("A", old, old.a, new.a, swapped),
        *_made_end("B", old, old.b, new.b, swapped),
    )


def place(end: KeptEnd) -> str:
    """Say where an end is: "block H3 plus"."""
    if not end.device:
        return "not known yet"
    return " ".join(word for word in (end.device, end.socket, end.polarity) if word)


def _copper(old: KeptWire, new: KeptWire) -> Iterator[Difference]:
    """Compare what a wire is made of."""
    if new.gauge is not None and old.gauge is not None and new.gauge != old.gauge:
        yield Difference("", f"{new.gauge} instead of {old.gauge}")
    if new.colour and old.colour and new.colour != old.colour:
        yield Difference("", f"{new.colour} instead of {old.colour}")
    if new.captive and not old.captive:
        yield Difference("", "the part's own lead instead of a wire")
    if old.captive and not new.captive:
        yield Difference("", "a wire instead of the part's own lead")


def _length(old: KeptWire, new: KeptWire, loop_m: float) -> Iterator[Difference]:
    """Compare lengths: one loop can be given away where a wire has to be longer, and one more held where shorter."""
    if old.length_m is None or new.length_m is None or new.captive or old.captive:
        return
    longer_m = new.length_m - old.length_m
    words = f"{_shown(new.length_m)} instead of {_shown(old.length_m)}"
    if longer_m > loop_m + _SAME_M:
        yield Difference("", words)
    elif longer_m < -_SAME_M and -longer_m > loop_m - _SAME_M:
        yield Difference("B", words)


def _end(letter: str, was: KeptEnd, now: KeptEnd) -> Iterator[Difference]:
    """Compare where an end is and what is on it."""
    decided = bool(now.device) and bool(now.socket or not was.socket)
    if decided and (now.device, now.socket, now.polarity) != (was.device, was.socket, was.polarity):
        yield Difference(letter, f"{place(now)} instead of {place(was)}")
    if now.terminal and was.terminal and now.terminal != was.terminal:
        yield Difference(letter, f"{now.terminal} instead of {was.terminal}")


def _made_end(
    letter: str, wire: KeptWire, was: KeptEnd, now: KeptEnd, swapped: Mapping[str, str]
) -> Iterator[Difference]:
    if was.device in swapped:
        # A lead goes with the part that brings it: nobody made an end there.
        yield Difference("" if wire.captive and not was.terminal else letter, swapped[was.device])
    yield from _end(letter, was, now)


def _shown(length_m: float) -> str:
    return show(round(length_m, 3), Dimension.LENGTH)
