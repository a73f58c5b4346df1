"""Give every circuit a slot: have the slot problem of a robot answered and checked, and say why.

Pins stand as they are written. Everything else follows the objective of `slot_problem.SlotProblem`: fewest broken
wishes, least rework, then wire, crossings and tidiness in millimetres.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from loomwright.layout.checker.slots import check_slots
from loomwright.layout.choice import Choice
from loomwright.layout.seating import FED, Before, Seating, rating_for
from loomwright.layout.slot_problem import SlotAnswer
from loomwright.layout.slot_reasons import crossings_of, reasons_of
from loomwright.layout.ways import Ways
from loomwright.search import SILENT, Effort
from loomwright.wiring.result import CircuitKind
from loomwright.wording import natural

if TYPE_CHECKING:
    from collections.abc import Mapping

    from loomwright.layout.result import Net
    from loomwright.layout.slot_problem import Clash, SlotProblem, Spot
    from loomwright.model.part import Socket
    from loomwright.model.robot import Robot
    from loomwright.search import Certificate, Watch
    from loomwright.wiring.result import Circuit, Wiring


@dataclass(frozen=True, slots=True)
class KnownSlots:
    """What was proved of the last plan's slots, and the clashes that it told of."""

    certificate: Certificate
    clashes: tuple[Clash, ...] = ()


@dataclass(frozen=True, slots=True)
class Seated:
    """Every fed circuit's choice by its id, with the problem and the answer behind them (None: nothing to seat)."""

    choices: Mapping[str, Choice]
    problem: SlotProblem | None = None
    answer: SlotAnswer | None = None


def assign_slots(
    robot: Robot,
    wiring: Wiring,
    net: Net,
    *,
    before: Before | None = None,
    known: KnownSlots | None = None,
    effort: Effort = Effort.USUAL,
    watch: Watch = SILENT,
) -> Seated:
    """Choose a slot for every circuit that is fed from one.

    `before` is what the last plan decided. Where nothing has changed since, `known` is what was proved of it: it is
    then checked and taken over, and nothing is searched.
    """
    circuits = sorted((c for c in wiring.circuits if c.kind in FED), key=lambda c: natural(c.id))
    settled = {c.id: choice for c in circuits if (choice := _settled(robot, c)) is not None}
    pinned = _first_on_each(settled)
    to_seat = [c for c in circuits if c.id not in settled or c.id in pinned]
    if all(c.id in settled for c in to_seat):
        return Seated(settled)
    last = before or Before()
    problem = Seating(robot, Ways(net), last, pinned).problem(to_seat)
    answer = _kept(problem, last, known) or _sought(problem, last, effort, watch)
    reasons = reasons_of(problem, answer.seats)
    spots = dict(answer.seats)
    chosen = {
        c.id: _choice(robot, c, spots[c.id], problem, reasons.get(c.id, "")) for c in to_seat if c.id not in settled
    }
    return Seated(settled | chosen, problem, answer)


def _kept(problem: SlotProblem, before: Before, known: KnownSlots | None) -> SlotAnswer | None:
    """Take over what was decided, where it is still an answer as good as it was."""
    if known is None:
        return None
    seats = tuple(
        (item.name, item.options[0].spot if len(item.options) == 1 else before.spots.get(item.name))
        for item in problem.items
    )
    crossings = crossings_of(problem, seats)
    answer = SlotAnswer(seats=seats, certificate=known.certificate, crossings=crossings, clashes=known.clashes)
    try:
        check_slots(problem, answer)
    except ValueError:
        return None
    return answer


def _sought(problem: SlotProblem, before: Before, effort: Effort, watch: Watch) -> SlotAnswer:
    from loomwright.layout.engine.slot_solver import seat  # noqa: PLC0415  heavy, and a current plan does without it

    answer = seat(problem, effort=effort, watch=watch, start=before.spots)
    check_slots(problem, answer)
    return answer


def _settled(robot: Robot, circuit: Circuit) -> Choice | None:
    """Return what needs no choice: a pin, or a question that keeps the tool from choosing."""
    slot = circuit.slot
    if slot.asks:
        return Choice(open_because=f"its slot is {slot.describe()}")
    if not circuit.sources:
        return Choice(open_because="nothing that could feed it is known")
    if slot.value is not None:
        for name in circuit.sources:
            device = robot.device(name)
            socket = device.part.socket(slot.value) if device else None
            if device is not None and socket is not None:
                return Choice(device.id, socket.name, rating_for(circuit, socket), "pinned", socket.group)
        return Choice(open_because=f"{' or '.join(circuit.sources)} has no slot {slot.value}")
    if robot.asks and not slot.said:
        return Choice(open_because="the file does not say its slot, and what is unsaid is asked")
    return None


def _first_on_each(settled: Mapping[str, Choice]) -> dict[str, Spot]:
    """Return the spots that pins take; of two pins on one slot the first counts, and the rule book speaks of it."""
    taken: dict[Spot, str] = {}
    for name, choice in settled.items():
        if choice.slot:
            taken.setdefault((choice.device, choice.slot), name)
    return {name: spot for spot, name in taken.items()}


def _choice(robot: Robot, circuit: Circuit, spot: Spot | None, problem: SlotProblem, why: str) -> Choice:
    item = next(item for item in problem.items if item.name == circuit.id)
    socket = _socket(robot, spot) if spot is not None else None
    if spot is None or socket is None:
        return Choice(open_because=_why_none(circuit, any_suits=bool(item.options)))
    how = "only" if len(item.options) == 1 else "chosen"
    return Choice(spot[0], spot[1], rating_for(circuit, socket), how, socket.group, why)


def _socket(robot: Robot, spot: Spot) -> Socket | None:
    device = robot.device(spot[0])
    return device.part.socket(spot[1]) if device is not None else None


def _why_none(circuit: Circuit, *, any_suits: bool) -> str:
    wanted = " or ".join(f"{rating:g} A" for rating in circuit.wanted_a)
    kind = f"slot for {wanted}" if wanted and circuit.kind is not CircuitKind.OUTPUT else "output"
    where = " or ".join(circuit.sources)
    if not any_suits:
        return f"{where} has no free {kind} that suits it"
    return f"every {kind} on {where} that suits it is taken"
