"""What a hunt lights up on the drawings: wires and devices that may be the fault, the likelier the stronger."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

from loomwright.rulebook.lookup import feeds
from loomwright.web.views.hunt_cards import percent
from loomwright.wording import natural

if TYPE_CHECKING:
    from loomwright.jobs.bench import Bench, BenchView
    from loomwright.plan.result import Plan

#: From which probability on a thing is lit, and how: each has an outline of its own, so that grey tells them apart.
_LEVELS: Final = ((0.5, "most"), (0.15, "some"), (0.02, "few"))


def lit_on(bench: Bench, view: BenchView) -> list[dict[str, Any]]:
    """Return what is lit while a hunt is open, the likeliest first; nothing else is worked out without one."""
    if view.state.hunt(view.plan.robot.build) is None:
        return []
    seen = bench.hunt(view).view
    suspects = seen.suspects if seen is not None else ()
    found: dict[tuple[str, str], float] = {}
    for one in suspects:
        # Suspects rule each other out: what two of them are at has the odds of both.
        for name in [*(("wire", wire) for wire in one.wires), *(("device", device) for device in one.devices)]:
            found[name] = found.get(name, 0.0) + one.probability
    told = sorted(found.items(), key=lambda held: (-held[1], natural(held[0][1])))
    return [
        {
            "name": name,
            "percent": percent(odds),
            "level": level,
            "abouts": [name, *(_branches(view.plan, name) if kind == "device" else [])],
        }
        for (kind, name), odds in told
        if (level := _level(odds))
    ]


def _level(odds: float) -> str:
    return next((level for least, level in _LEVELS if odds >= least), "")


def _branches(plan: Plan, device: str) -> list[str]:
    """Return the rows of the Spine that feed a device: it is not drawn there itself."""
    return [f"{circuit.source} {circuit.slot.value}" for circuit in feeds(plan, device) if circuit.slot.value]
