"""Rows for the robot as a whole: the meter itself, the battery's path, plus against minus."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Final

from loomwright.electrical.board import whole_board
from loomwright.electrical.hand_meter import ohm_range, ohm_words
from loomwright.electrical.network_of import end_node
from loomwright.electrical.parts import minus_node, plus_node
from loomwright.electrical.practice import leads_ohm, practice, practice_source
from loomwright.model.part import Polarity, Role
from loomwright.model.reason import Origin
from loomwright.proof.wake_up_reading import polar, slow
from loomwright.proof.wake_up_result import Expected, Kind, Meaning, Measurement, Probe, Stop, Topic
from loomwright.proof.wake_up_wires import ALL_OUT, EMPTY, WAIT, wire_row
from loomwright.proof.wake_up_words import at_end, ohms, short_ohm
from loomwright.wiring.battery_path import top_blocks
from loomwright.wiring.result import CircuitKind
from loomwright.wording import natural

if TYPE_CHECKING:
    from collections.abc import Iterator

    from loomwright.model.device import Device
    from loomwright.model.part import Socket
    from loomwright.plan.result import Plan, PlannedWire
    from loomwright.proof.wake_up_reading import Readings

ALL_IN: Final = "every breaker and fuse in, main breaker off, battery out"
_METALS: Final = (
    "Scratch through paint and coating: both probes on the frame must first read as good as the leads alone."
)


def meter_row() -> Measurement:
    """Return the row that proves the meter and tells what its own leads add."""
    low, high = leads_ohm()
    stop_ohm = high + practice("contacts")
    return Measurement(
        number=0,
        key="meter: leads",
        topic=Topic.METER,
        about="meter",
        what="The meter itself: both probes together",
        why="A broken lead or a flat battery in the meter makes every row a lie. Write down what the leads read.",
        board=ALL_OUT,
        red=Probe("the tip of the black probe"),
        black=Probe("the tip of the red probe"),
        setting=ohms(stop_ohm),
        expected=Expected(
            kind=Kind.RANGE,
            words=ohm_range(low, high),
            reason="what good leads have",
            origin=Origin.CATALOGUE,
            low=low,
            high=high,
        ),
        stop=Stop(
            words=f"above {ohm_words(stop_ohm)}, or no beep",
            then="Change the leads or the meter's battery, and begin again.",
            source=practice_source("leads to"),
            above=stop_ohm,
        ),
        notes=("A beep is not enough for a power wire: many meters beep up to some tens of ohm. Read the number.",),
    )


def path_rows(readings: Readings) -> Iterator[Measurement]:
    """Give the rows of the main leads, and of the main breaker that is off. The battery's own leads have none."""
    plan = readings.plan
    for wire in _main_leads(plan):
        polarity = wire.b.polarity
        yield wire_row(readings, wire, f"main {polarity} lead to {wire.b.device}", topic=Topic.MAIN)
    yield from _breaker_off(readings)


def block_rows(readings: Readings) -> Iterator[Measurement]:
    """Give the row of plus against minus at each block with nothing in it."""
    for block, supply in blocks(readings.plan):
        red, black = plus_node(block, supply), minus_node(block, supply)
        reason = "what lies in the block itself"
        expected = readings.expected(EMPTY, red, black, reason)
        across = readings.attached(EMPTY, red, black)
        limit = "good insulation" if expected.kind is Kind.OPEN else "short"
        yield Measurement(
            number=0,
            key=f"{block.id}: empty, plus to minus",
            topic=Topic.BRANCH,
            about=block.id,
            what=f"No short in {block.id}, with nothing in its slots: plus against minus",
            why="A strand across the main terminals takes the battery's full current, and no breaker stands before it.",
            board=ALL_OUT,
            red=main_port(block, supply, Polarity.PLUS),
            black=main_port(block, supply, Polarity.MINUS),
            setting=ohms(expected.high if expected.high is not None else math.inf),
            expected=expected,
            swapped=readings.expected(EMPTY, black, red, reason, swapped=True) if polar(across) else None,
            stop=Stop(
                words=f"below {ohm_words(practice(limit))}, and it stays there",
                then="Look for strands and swarf at the main terminals, and for a breaker that is still in.",
                source=practice_source(limit),
                below=practice(limit),
            ),
            notes=(WAIT,) if slow(across) else (),
        )


def board_rows(readings: Readings) -> Iterator[Measurement]:
    """Give the row of the whole robot: plus against minus with everything in."""
    board = whole_board(readings.plan)
    for block, supply in blocks(readings.plan):
        red, black = plus_node(block, supply), minus_node(block, supply)
        reason = "everything that hangs on the block, side by side"
        expected = readings.expected(board, red, black, reason)
        across = readings.attached(board, red, black)
        swapped = readings.expected(board, black, red, reason, swapped=True) if polar(across) else None
        limit_ohm = short_ohm([each.low for each in (expected, swapped) if each is not None])
        yield Measurement(
            number=0,
            key=f"{block.id}: whole board, plus to minus",
            topic=Topic.BOARD,
            about=block.id,
            what=f"The whole robot: plus against minus at {block.id}",
            why="Each branch was fine alone; this is what the battery will see. Healthy robots differ: it follows from "
            "what is connected.",
            board=ALL_IN,
            red=main_port(block, supply, Polarity.PLUS),
            black=main_port(block, supply, Polarity.MINUS),
            setting=ohms(expected.high if expected.high is not None else math.inf),
            expected=expected,
            swapped=swapped,
            stop=Stop(
                words=f"below {ohm_words(limit_ohm)} either way round, and it stays there",
                then="No battery. Take the breakers out one by one: after the one that makes the reading jump, look.",
                source=practice_source("share of least"),
                below=limit_ohm,
            ),
            notes=(
                *([WAIT] if slow(across) else []),
                "Write this reading down: it is this robot's own first good value, and the one to compare with later.",
            ),
            meanings=(Meaning("open", "A breaker or fuse is not seated, or the minus lead of the block is off."),),
        )


def _main_leads(plan: Plan) -> list[PlannedWire]:
    wires = [w for c in plan.circuits if c.circuit.kind is CircuitKind.MAIN for w in c.wires]
    kept = [wire for wire in wires if "battery" not in (wire.a.device, wire.b.device)]
    return sorted(kept, key=lambda wire: natural(wire.id))


def _breaker_off(readings: Readings) -> Iterator[Measurement]:
    """Give the row that shows that the breaker, off, parts plus: from where the battery comes in to each block."""
    breaker = readings.plan.robot.device("main breaker")
    plus = [wire for wire in _main_leads(readings.plan) if wire.a.polarity is Polarity.PLUS]
    into = next((wire for wire in plus if breaker is not None and wire.b.device == breaker.id), None)
    out = next((wire for wire in plus if breaker is not None and wire.a.device == breaker.id), None)
    if breaker is None or breaker.absent or into is None or out is None:
        return
    least_ohm = practice("good insulation")
    red, black = end_node(into, into.a), end_node(out, out.b)
    yield Measurement(
        number=0,
        key="main breaker: off",
        topic=Topic.MAIN,
        about=breaker.id,
        what="The main breaker, off, really parts plus",
        why="When something burns, this button is all there is.",
        board=ALL_OUT,
        red=at_end(into, into.a),
        black=at_end(out, out.b),
        setting=ohms(math.inf),
        expected=readings.expected(EMPTY, red, black, "the only way of plus leads through the breaker"),
        stop=Stop(
            words=f"below {ohm_words(least_ohm)}",
            then="Push the button again and look. If it still conducts, the breaker is broken: put in another.",
            source=practice_source("good insulation"),
            below=least_ohm,
        ),
        wires=(into.id, out.id),
    )


def blocks(plan: Plan) -> list[tuple[Device, Socket]]:
    """Return the blocks on the battery's path with their supply."""
    found = [(block, block.part.first(Role.SUPPLY)) for block in top_blocks(plan.robot)]
    return [(b, s) for b, s in found if s is not None and s.port(Polarity.PLUS) and s.port(Polarity.MINUS)]


def main_port(block: Device, supply: Socket, polarity: Polarity) -> Probe:
    """Return a probe at one of a block's main terminals."""
    port = supply.port(polarity)
    held = f", {port.kind}" if port is not None else ""
    return Probe(f"{block.id} {supply.name} {polarity}{held}", block.id, supply.name, str(polarity))
