"""The sections of plan.yaml that stand below the circuits: devices, runs, the cut list, and the proofs last."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from loomwright.robotfile.plans.plan_form import UNKNOWN, YES
from loomwright.units import Dimension, show
from loomwright.wording import natural

if TYPE_CHECKING:
    from loomwright.layout.slot_problem import Clash
    from loomwright.plan.memory import KeptCut, KeptDevice, KeptRoute, Memory
    from loomwright.robotfile.marked.plain_yaml import Content
    from loomwright.search import Certificate
    from loomwright.units import Gauge

_ALL_FIGURES: Final = 6


def sections(kept: Memory) -> dict[str, Content]:
    """Give what is decided for the robot as a whole; a section that has nothing to say is left out."""
    told: dict[str, Content] = {
        "devices": [_device(name, kept.devices[name]) for name in sorted(kept.devices)],
        "main leads": kept.shared,
        "runs": [_run(name, kept.routes[name]) for name in sorted(kept.routes, key=lambda run: (natural(run), run))],
        "bundles": [
            {"bundle": name, "diameter": f"{kept.bundles[name] * 1000:.2f} mm"}
            for name in sorted(kept.bundles, key=lambda bundle: (natural(bundle), bundle))
        ],
        "cuts": [_cut(held) for held in kept.cuts],
        "crossings": kept.crossings,
        "clashes": [_clash(held) for held in kept.clashes],
        "proofs": [_proof(name, kept.certificates[name]) for name in sorted(kept.certificates)],
    }
    return {key: value for key, value in told.items() if value}


def shown_length(length_m: float | None) -> str:
    """Write a length to the millimetre."""
    return UNKNOWN if length_m is None else show(round(length_m, 3), Dimension.LENGTH, digits=_ALL_FIGURES)


def shown_gauge(gauge: Gauge | None) -> str:
    """Write a gauge."""
    return str(gauge) if gauge else UNKNOWN


def _device(name: str, held: KeptDevice) -> dict[str, Content]:
    told: dict[str, Content] = {"device": name}
    if held.called != name:
        told["called"] = held.called
    told["part"] = held.part
    return told | ({"at": held.at} if held.at else {})


def _run(name: str, held: KeptRoute) -> dict[str, Content]:
    return {"run": name, "gauge": shown_gauge(held.gauge), "along": list(held.edges)}


def _cut(held: KeptCut) -> dict[str, Content]:
    told: dict[str, Content] = {"spool": held.spool, "length": shown_length(held.length_m)}
    if held.bought:
        told["bought"] = YES
    return told | {"left": shown_length(held.left_m), "pieces": [" ".join(piece) for piece in held.wires]}


def _clash(held: Clash) -> dict[str, Content]:
    told: dict[str, Content] = {
        "items": list(held.items),
        "spots": [{"device": device, "slot": slot} for device, slot in held.spots],
        "wishes": list(held.wishes),
        "drops": list(held.drops),
    }
    return told | ({"counting": YES} if held.counting else {})


def _proof(name: str, held: Certificate) -> dict[str, Content]:
    told: dict[str, Content] = {
        "of": name,
        "cost": _amount(held.cost, held.unit),
        "bound": _amount(held.bound, held.unit),
        "breaks": _count(held.breaks),
        "least breaks": _count(held.least_breaks),
    }
    if held.baseline is not None:
        told["baseline"] = _amount(held.baseline, held.unit)
    if held.baseline_breaks is not None:
        told["baseline breaks"] = _count(held.baseline_breaks)
    return told


def _amount(value: float, unit: str) -> str:
    return f"{_number(value)} {unit}".rstrip()


def _count(value: float) -> str | int:
    return int(value) if value == round(value) >= 0 else _number(value)


def _number(value: float) -> str:
    """Write a number with all its figures, so that it comes back the same."""
    return f"{value:.0f}" if abs(value) < 1e15 and value == round(value) else repr(float(value))  # noqa: PLR2004
