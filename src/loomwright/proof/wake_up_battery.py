"""The battery before its plug is mated: polarity and rest voltage."""

from __future__ import annotations

from typing import TYPE_CHECKING

from loomwright.electrical.practice import practice, practice_source
from loomwright.model.part import Role
from loomwright.model.reason import Origin
from loomwright.proof.wake_up_result import Expected, Kind, Measurement, Probe, Stop, Topic
from loomwright.proof.wake_up_words import dc_volts, volt_range, volt_words

if TYPE_CHECKING:
    from collections.abc import Iterator

    from loomwright.model.device import Device
    from loomwright.plan.result import Plan


def battery_rows(plan: Plan) -> Iterator[Measurement]:
    """Give the row of the battery's polarity at its own half of the plug, before the halves meet."""
    plug, battery = plan.robot.device("battery plug"), plan.robot.device("battery")
    inlet = plug.part.first(Role.SUPPLY) if plug is not None and not plug.absent else None
    if battery is None or battery.absent or plug is None or inlet is None:
        return
    least_v = practice("battery not below")
    yield Measurement(
        number=0,
        key="battery: polarity",
        topic=Topic.BATTERY,
        about="battery",
        what="The battery's polarity and rest voltage, at its own half of the plug",
        why="A battery the wrong way round kills regulators and modules within seconds. This is the last look before.",
        board="main breaker off, plug still apart",
        red=Probe(f"the plus contact in the battery's half of {plug.id}", plug.id, inlet.name, "plus"),
        black=Probe(f"the minus contact in the battery's half of {plug.id}", plug.id, inlet.name, "minus"),
        setting=dc_volts(),
        expected=rested(battery),
        stop=Stop(
            words=f"a minus sign, or below {volt_words(least_v)}",
            then="A minus sign: the lugs are on the wrong posts; a mentor puts them right. Too low: charge it, take "
            "another.",
            source=practice_source("battery not below"),
            below=least_v,
        ),
        first=("Keep the two probe tips apart: across a battery they weld.",),
    )


def rested(battery: Device) -> Expected:
    """Return what a charged battery that has rested reads [V]."""
    part = battery.part
    low, high = part.number("rested from"), part.number("rested to")
    if low is None or high is None:
        return Expected(
            kind=Kind.UNKNOWN,
            words="a plus sign; how much is not known, as the battery's class is not",
            reason=f"{part.id} does not say what it rests at",
            origin=Origin.UNKNOWN,
            unknown=(battery.id,),
        )
    return Expected(
        kind=Kind.RANGE,
        words=volt_range(low, high),
        reason="charged and rested",
        origin=Origin.CATALOGUE,
        low=low,
        high=high,
    )
