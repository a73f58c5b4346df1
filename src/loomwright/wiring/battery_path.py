"""The battery path: battery, plug, main breaker, block. The breaker breaks the positive lead only."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

from loomwright.model.part import Polarity, Role
from loomwright.wiring.ask import question
from loomwright.wiring.result import Circuit, CircuitKind, EndAt, Wire
from loomwright.wording import natural

if TYPE_CHECKING:
    from collections.abc import Iterator

    from loomwright.findings import Finding
    from loomwright.model.device import Device
    from loomwright.model.robot import Robot

MAIN = "main"


def battery_path(robot: Robot, questions: list[Finding]) -> Iterator[Circuit]:
    """Give the circuit from the battery to the first block, and one for each further block beside it."""
    blocks = top_blocks(robot)
    source = [d for name in ("battery", "battery plug", "main breaker") if (d := robot.device(name)) and not d.absent]
    if robot.device("battery") is None:
        questions.append(
            question(
                "no-battery",
                None,
                "battery",
                "The file names no battery, so nothing is fed.",
                "Write `battery: {part: battery/agm-12v-18ah, leads: 6 AWG}`.",
            )
        )
        return
    if not blocks:
        questions.append(
            question(
                "no-block",
                None,
                "blocks",
                "The file names no distribution block, so no branch can be given a slot.",
                "Write `blocks: {block: {part: block/6-heavy-10-light-2-fused}}`.",
            )
        )
    yield _circuit(MAIN, [*source, *blocks[:1]], source[0])
    for block in blocks[1:]:
        yield _circuit(f"{MAIN} to {block.id}", [*source, block], block, last_lead_only=True)


def top_blocks(robot: Robot) -> list[Device]:
    """Return the blocks that hang on the battery path: those that name no other feed."""
    names = ("main breaker", "battery", "battery plug")
    blocks = sorted(robot.of_kind("block"), key=lambda block: natural(block.id))
    return [
        b for b in blocks if not b.feed.slot.said and (b.feed.source.open_to_decide or b.feed.source.value in names)
    ]


def _circuit(name: str, path: list[Device], owner: Device, *, last_lead_only: bool = False) -> Circuit:
    wires: list[Wire] = []
    for polarity in (Polarity.PLUS, Polarity.MINUS):
        leads = list(_lead(name, path, polarity))
        wires += leads[-1:] if last_lead_only else leads
    load = path[-1]
    supply = load.part.first(Role.SUPPLY)
    return Circuit(
        id=name,
        kind=CircuitKind.MAIN,
        load=load.id,
        load_socket=supply.name if supply else "",
        sources=(path[0].id,),
        wires=tuple(wires),
        mark=owner.mark,
        path=owner.path,
    )


def _lead(name: str, path: list[Device], polarity: Polarity) -> Iterator[Wire]:
    """Give the wires of one polarity, passing by every part that has no port for it."""
    carriers = [d for d in path if _has(d, polarity)]
    for one, other in pairwise(carriers):
        out, inlet = one.part.first(Role.OUTLET), other.part.first(Role.SUPPLY)
        if out is None or inlet is None:
            continue
        role = f"{one.id} to {other.id}, {polarity}"
        yield Wire(
            name, role, CircuitKind.MAIN, EndAt(one.id, out.name, polarity), EndAt(other.id, inlet.name, polarity)
        )


def _has(device: Device, polarity: Polarity) -> bool:
    socket = device.part.first(Role.SUPPLY) or device.part.first(Role.OUTLET)
    return socket is not None and socket.port(polarity) is not None
