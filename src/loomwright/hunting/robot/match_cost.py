"""What it costs in a match when something is down: seconds of the whole robot, by shares for its parts."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING, Final

from loomwright.catalogue.tables import table
from loomwright.rulebook.lookup import is_a

if TYPE_CHECKING:
    from collections.abc import Iterator

    from loomwright.hunting.robot.taken_down import Down
    from loomwright.model.device import Device
    from loomwright.plan.result import Plan

#: Kinds of mechanism that move the robot about.
DRIVES: Final = ("drive", "drive side", "steered module")
_OTHER: Final = "other"


@dataclass(frozen=True, slots=True, kw_only=True)
class Cost:
    """What a loss costs that happens in the middle of a match [s of the whole robot].

    `moment_s` is for one that lasts a moment, `stays_s` for one that lasts. After a moment all is `back_after_s` later
    as it was [s].
    """

    moment_s: float
    stays_s: float
    back_after_s: float


def match_cost(plan: Plan, down: Down) -> Cost:
    """Return what it costs that so much is down, for a moment and to the end."""
    half_s = seconds("match") / 2
    shares = list(_shares(plan, down))
    return Cost(
        moment_s=_lost_s(shares, half_s),
        stays_s=min(1.0, sum(share for share, _ in shares)) * half_s,
        back_after_s=max((back_s for _, back_s in shares), default=0.0),
    )


def drive_motors(plan: Plan) -> tuple[str, ...]:
    """Return the motors that move the robot about."""
    return tuple(device.id for device in plan.robot if device.kind == "motor" and _does(plan, device) in DRIVES)


def seconds(what: str) -> float:
    """Return how long a match, or a moment, lasts [s]."""
    return _amounts()["seconds", what]


def _shares(plan: Plan, down: Down) -> Iterator[tuple[float, float]]:
    """Give the share of the robot that each thing is worth, with the time after which it is back [s]."""
    back = _back(plan, down)
    if down.vital:
        yield _amounts()["share", "robot"], max(back[name] for name in down.vital)
    for name in down.motors:
        motor = plan.robot.device(name)
        kind = _does(plan, motor) if motor is not None else _OTHER
        driver = motor.driven_by if motor is not None and motor.driven_by else name
        yield _amounts().get(("motor", kind), _amounts()["motor", _OTHER]), back.get(driver, seconds("moment"))
    for name in (*down.dark, *down.missing):
        device = plan.robot.device(name)
        if device is not None and name not in down.vital and (share := _of_device(device)):
            yield share, back[name]


def _back(plan: Plan, down: Down) -> dict[str, float]:
    """Return after which time each device is back [s]; one that nothing reached waits for the network between."""
    back = {name: _back_s(plan.robot.device(name)) for name in down.dark}
    between = [
        held for name, held in back.items() if (d := plan.robot.device(name)) is not None and d.kind == "network"
    ]
    return back | dict.fromkeys(down.missing, max(between, default=seconds("moment")))


def _lost_s(shares: list[tuple[float, float]], most_s: float) -> float:
    """Return what is lost until all is back, one after the other [s]; never more than the whole robot at a time."""
    lost_s, before_s = 0.0, 0.0
    for until_s in sorted({min(back_s, most_s) for _, back_s in shares}):
        still = sum(share for share, back_s in shares if min(back_s, most_s) >= until_s)
        lost_s += min(1.0, still) * (until_s - before_s)
        before_s = until_s
    return lost_s


def _back_s(device: Device | None) -> float:
    """Return after which time a device works again that had no power for a moment [s]."""
    moment_s = seconds("moment")
    if device is None or (device.part.number("hold-up time") or 0.0) >= moment_s:
        return moment_s
    return max(device.part.number("recovery time") or 0.0, moment_s)


def _of_device(device: Device) -> float:
    return next((share for (what, of), share in _amounts().items() if what == "device" and is_a(device.part, of)), 0.0)


def _does(plan: Plan, device: Device) -> str:
    """Return what kind of mechanism a device belongs to."""
    found = next((one for one in plan.robot.mechanisms if one.name == device.mechanism), None)
    return (found.kind.value if found is not None else None) or _OTHER


@lru_cache(maxsize=1)
def _amounts() -> dict[tuple[str, str], float]:
    return {(row["what"], row["of"]): float(row["amount"]) for row in table("hunt_cost")}
