"""What the last plan means for the next one: what stays as it is, what stays where it can, what is known already."""

from __future__ import annotations

from typing import TYPE_CHECKING

from loomwright.jobs.deciding import Bound
from loomwright.layout import Before, KnownRoutes, KnownSlots
from loomwright.plan.fitted import made_wires
from loomwright.plan.memory import Memory
from loomwright.search import Effort

if TYPE_CHECKING:
    from loomwright.layout.result import KnownNet
    from loomwright.model.robot import Robot
    from loomwright.search import Certificate, Watch
    from loomwright.wiring.result import Wiring


def bound_by(
    robot: Robot,
    wiring: Wiring,
    memory: Memory,
    *,
    net: KnownNet | None = None,
    inputs: str,
    current: bool,
    effort: Effort,
    watch: Watch,
) -> Bound:
    """Return what binds the decisions of a plan; `current` tells that nothing has changed since that of the memory.

    Then nothing is decided again, unless a proof is asked for that is not there yet. What is made
    stays as long as it can; what is only on paper moves where that saves anything made, or a proof finds better.
    `net` is the net of these very inputs, where it is known.
    """
    made = made_wires(robot, wiring, memory, inputs=inputs)
    made_circuits = frozenset(circuit for circuit, _ in made)
    spots = {name: (memory.sources.get(name, ""), slot) for name, slot in memory.slots.items()}
    slots = _still_good(memory.certificates.get("slots"), effort) if current else None
    trunks = _still_good(memory.certificates.get("trunks"), effort) if current else None
    lengths = {key: memory.kept_wires[key].length_m for key in made if key in memory.kept_wires}
    return Bound(
        before=Before(spots, made_circuits, paper=not current),
        net=net,
        slots=None if slots is None else KnownSlots(slots, memory.clashes),
        routes=KnownRoutes(
            edges={name: route.edges for name, route in memory.routes.items()},
            gauges={name: route.gauge for name, route in memory.routes.items()},
            shared=memory.shared,
            fixed=frozenset(name for name in memory.routes if _circuit_of(name) in made_circuits),
            loose=net.loose if net is not None else {},
            bundles=memory.bundles,
            certificate=trunks,
        ),
        lengths={key: length_m for key, length_m in lengths.items() if length_m is not None},
        gauges={name: gauge for name in made_circuits if (gauge := memory.gauges.get(name)) is not None},
        made=made,
        effort=effort,
        watch=watch,
    )


def _still_good(certificate: Certificate | None, effort: Effort) -> Certificate | None:
    """Return the certificate of the last decision, None where a proof is asked for that it does not have."""
    if certificate is None or (effort is Effort.PROVE and not certificate.proved):
        return None
    return certificate


def _circuit_of(run: str) -> str:
    """Return the circuit that a run belongs to: its name without the number of a second lane."""
    head, _, tail = run.rpartition(" (")
    return head if head and tail.endswith(")") and tail[:-1].isdigit() else run


def forgetting(robot: Robot, wiring: Wiring, memory: Memory) -> Memory:
    """Return what is left of a memory when the last plan is to be forgotten: what is made, and numbers used on it.

    Where nothing is made, nothing is left, and wires are numbered from 1 again.
    """
    made = made_wires(robot, wiring, memory)
    if not made:
        return Memory()
    circuits = {circuit for circuit, _ in made}
    return Memory(
        robot=memory.robot,
        build=memory.build,
        next_wire=memory.next_wire,
        wires={key: name for key, name in memory.wires.items() if key in made},
        slots={name: slot for name, slot in memory.slots.items() if name in circuits},
        sources={name: source for name, source in memory.sources.items() if name in circuits},
        gauges={name: gauge for name, gauge in memory.gauges.items() if name in circuits},
        kept_wires={key: wire for key, wire in memory.kept_wires.items() if key in made},
        fitted=memory.fitted & made,
        devices=memory.devices,
        routes={name: route for name, route in memory.routes.items() if _circuit_of(name) in circuits},
        renamed=memory.renamed,
        signed=memory.signed,
    )
