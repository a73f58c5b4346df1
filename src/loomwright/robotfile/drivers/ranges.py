"""Values of a driver's step: a range of time or of a share, written as one amount or as two ends."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Final, TypeVar

from loomwright.robotfile.forms.leaves import Leaf, Row
from loomwright.robotfile.forms.not_readable import NotReadableError
from loomwright.units import Dimension, QuantityError, read, read_range, show
from loomwright.wording import quoted

if TYPE_CHECKING:
    from collections.abc import Callable

    from loomwright.match.driver import Range
    from loomwright.robotfile.forms.leaves import Faults, Raw

T = TypeVar("T")
OFF: Final = "off"
#: Commands are given every 20 ms; nothing that a driver does can be shorter.
SHORTEST_STEP_S: Final = 0.02
#: More than any match: whoever writes more has slipped with a unit.
LONGEST_MATCH_S: Final = 600.0
#: Kinds that are sent to a place, or to a speed, and not told a share of full voltage.
PLACES: Final = ("steering", "lift", "arm", "climber")
SPEEDS: Final = ("flywheel",)
_MOST_AT_ONCE: Final = 100
_ENDS = 2
_UNITS = {Dimension.RATIO: "%", Dimension.TIME: "s"}
_EXAMPLES = {Dimension.RATIO: "[20 %, 40 %]", Dimension.TIME: "[1.5 s, 3 s]"}
_STROKES = re.compile(r"(?P<number>.*\d)\s*strokes?")
_BARE = re.compile(r"[+-]?(?:\d+\.?\d*|\.\d+)", re.ASCII)


def read_or_note(raw: Raw, reader: Callable[[Raw], T], faults: Faults) -> T | None:
    """Read a value; note what is wrong with it and return None where it can't be read."""
    try:
        return reader(raw)
    except QuantityError as error:
        faults.add("bad-value", raw, error.what, error.fix)
    except NotReadableError as error:
        error.note(faults, raw)
    return None


def lasting(raw: Raw) -> Range:
    """Read how long a step lasts [s]; raise QuantityError or NotReadableError."""
    low_s, high_s = _range(raw, Dimension.TIME)
    if low_s < SHORTEST_STEP_S:
        what = (
            "This step may take no time." if low_s == 0 else f"This step may take {show(low_s, Dimension.TIME)} only."
        )
        raise NotReadableError(
            "step-too-short", what, f"Write {show(SHORTEST_STEP_S, Dimension.TIME)} or more, or take the step out."
        )
    _refuse_long(high_s)
    return low_s, high_s


def moment(raw: Raw) -> float:
    """Read when a phase begins or ends [s]; raise QuantityError or NotReadableError."""
    at_s = read(_amount(one_text(raw), Dimension.TIME), Dimension.TIME)
    _refuse_long(at_s)
    return at_s


def share(raw: Raw) -> Range:
    """Read a share of what there is to do, 0 to 1; raise QuantityError or NotReadableError."""
    return _within(_range(raw, Dimension.RATIO), 0.0, "This is a share of what there is to do, from 0 % to 100 %.")


def turning(raw: Raw) -> Range:
    """Read how much is added on one side of a drive, -1 to 1; raise QuantityError or NotReadableError."""
    return _within(_range(raw, Dimension.RATIO), -1.0, "A turn is a share of full voltage, from -100 % to 100 %.")


def goal(raw: Raw, whom: str) -> Range:
    """Read what a kind or a mechanism is asked for, -1 to 1; raise QuantityError or NotReadableError."""
    if isinstance(raw, Leaf) and raw.text.strip().casefold() == OFF:
        if whom in PLACES:
            raise NotReadableError(
                "off-is-no-place",
                f"`{OFF}` is no place that the {whom} could go to.",
                "Write `0 %` to send it back to where it began, or leave it out: then it stays where it is.",
            )
        return 0.0, 0.0
    found = _range(raw, Dimension.RATIO)
    if whom in PLACES:
        return _within(found, 0.0, f"The {whom} is told a share of its way, from 0 % to 100 %.")
    if whom in SPEEDS:
        return _within(found, 0.0, f"The {whom} is told a share of its full speed, from 0 % to 100 %.")
    return _within(found, -1.0, "A goal is a share of all there is, from -100 % to 100 %.")


def weight(raw: Raw) -> float:
    """Read how often something is met among others; raise QuantityError or NotReadableError."""
    return read(one_text(raw), Dimension.NUMBER)


def how_many(raw: Raw) -> int:
    """Read a number of shots or strokes; raise QuantityError or NotReadableError."""
    text = one_text(raw).strip()
    strokes = _STROKES.fullmatch(text)
    number = int(read(strokes["number"] if strokes else text, Dimension.COUNT))
    if number > _MOST_AT_ONCE:
        raise QuantityError(f"{number} in one step is more than any robot does.", f"Write {_MOST_AT_ONCE} or less.")
    return number


def one_text(raw: Raw) -> str:
    """Return the text of one value; raise NotReadableError for a list or keys."""
    if isinstance(raw, Leaf):
        return raw.text
    kind = "a list" if isinstance(raw, Row) else "keys and values"
    raise NotReadableError("bad-form", f"One value belongs here, and here stand {kind}.", "Write one value.")


def _range(raw: Raw, dimension: Dimension) -> Range:
    signed = dimension is Dimension.RATIO
    if isinstance(raw, Leaf):
        return read_range(_amount(raw.text, dimension), dimension, signed=signed)
    if not isinstance(raw, Row) or len(raw) != _ENDS or not all(isinstance(end, Leaf) for end in raw):
        raise NotReadableError(
            "bad-range", "A range has two ends: the least and the most.", f"Write `{_EXAMPLES[dimension]}`."
        )
    low, high = (_amount(end.text, dimension) for end in raw)
    if _BARE.fullmatch(low.strip()) and not _BARE.fullmatch(high.strip()):
        # `[20, 40 %]` is as clear as `20 to 40 %`.
        low = f"{low} {_UNITS[dimension]}" if _UNITS[dimension] in high else low
    ends = read(low, dimension, signed=signed), read(high, dimension, signed=signed)
    if ends[0] > ends[1]:
        what = "This range runs backwards: its first end is the larger one."
        raise QuantityError(what, f"Write `[{raw[1].text}, {raw[0].text}]`.")
    return ends


def _amount(text: str, dimension: Dimension) -> str:
    """Let a lone zero be without its unit, and see a share that is written as a number."""
    if not _BARE.fullmatch(bare := text.strip().replace("−", "-")):
        return text
    number = float(bare)
    if number == 0:
        return f"0 {_UNITS[dimension]}"
    if dimension is Dimension.RATIO and abs(number) <= 1:
        raise QuantityError(f"{quoted(text)} has no unit.", f"Write `{100 * number:g} %`.")
    return text


def _within(found: Range, least: float, told: str) -> Range:
    if least <= found[0] and found[1] <= 1.0:
        return found
    wrong = found[0] if found[0] < least else found[1]
    at_most = f"{100 * max(least, min(1.0, wrong)):g} %"
    raise QuantityError(told, f"Write `{at_most}` instead of `{show(wrong, Dimension.RATIO)}`.")


def _refuse_long(at_s: float) -> None:
    if at_s > LONGEST_MATCH_S:
        raise NotReadableError(
            "match-too-long",
            f"No match takes {at_s:g} s.",
            f"Write {LONGEST_MATCH_S:.0f} s at most, and look at the unit: `s` or `min`.",
        )
