"""What kind of thing a row speaks of: a motor or another thing, and its part class where the list names one."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Final

from loomwright.robotfile.lists.draft import CONTROLLER, Entry, Told
from loomwright.robotfile.lists.plain_names import id_of
from loomwright.units import Dimension, QuantityError, read

if TYPE_CHECKING:
    from loomwright.robotfile.lists.circuit_list import ListedCircuit
    from loomwright.robotfile.lists.near_parts import NearParts

_CLASS: Final = re.compile(r"[a-z0-9-]+/[a-z0-9-]+")
_WORD: Final = re.compile(r"[a-z]+")
#: Words of what moves. The trade's own; a list that has the column `mechanism` needs none of them.
_MOVES: Final = frozenset(
    {
        *("motor", "drive", "steer", "steering", "lift", "elevator", "arm", "wrist", "turret", "roller", "intake"),
        *("feeder", "conveyor", "shooter", "flywheel", "climber", "winch", "grabber", "gripper", "wheel"),
    }
)
#: Words of what only belongs to something that moves.
_SENSES: Final = frozenset(
    {
        *("sensor", "switch", "encoder", "camera", "light", "valve", "solenoid", "compass", "angle", "computer"),
        *("controller", "radio", "regulator", "compressor", "fan", "pump"),
    }
)
#: Behind as much as this stands a motor; common practice [A].
_MOTOR_A: Final = 30.0
_MOTOR: Final = ("motor", "controller")


def take_for_motor(entry: Entry, row: ListedCircuit, near: NearParts, *, load: str) -> None:
    """Decide whether a thing is a motor: the list says it, or its name or its breaker does."""
    said = row.take("mechanism")
    if said is not None and not said.is_unknown:
        entry.mechanism, entry.is_motor = id_of(said.text), True
    kind = near.kind(row.text("part"))
    if kind:
        entry.is_motor = kind in _MOTOR
    elif not entry.is_motor and (why := _why_a_motor(entry.name, row)):
        entry.is_motor = True
        entry.remarks.append(f"taken for a motor by its {why}; if it is none, move it to `electronics` with `part:`")
    entry.is_motor = entry.is_motor or load == f"{entry.name}{CONTROLLER}"
    if entry.is_motor and load == entry.name and said is not None:
        entry.remarks.append("the list shows no controller of its own: perhaps its motor has one built in")


def part_of(entry: Entry, row: ListedCircuit, near: NearParts) -> None:
    """Write the part class that the list names; other words for a part are kept, and help to find the class."""
    said = row.cells.get("part")
    if said is None:
        return
    if said.is_unknown or _CLASS.fullmatch(said.text):
        row.take("part")
        kind = near.kind(said.text) or said.text.partition("/")[0]
        key = kind if kind in _MOTOR and entry.is_motor else "motor" if entry.is_motor else "part"
        entry.facts[key] = Told(said.text, said)
    else:
        entry.words.append(said.text)


def _why_a_motor(name: str, row: ListedCircuit) -> str:
    words = {word.removesuffix("s") for word in _WORD.findall(name.casefold())} | set(_WORD.findall(name.casefold()))
    if words & _SENSES:
        return ""
    if words & _MOVES:
        return "name"
    try:
        return "breaker" if read(row.text("protection"), Dimension.CURRENT) >= _MOTOR_A else ""
    except QuantityError:
        return ""
