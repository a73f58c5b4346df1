"""How batteries are usually handled on the day, from the table."""

from __future__ import annotations

from collections.abc import Mapping

from loomwright.catalogue.tables import table
from loomwright.rack.day.problem import DayPractice
from loomwright.rack.day.slips import SlipPractice


def usual_practice() -> DayPractice:
    """Return the usual way, every number from `rack_day_practice` with its source there."""
    rows = _rows()
    return DayPractice(
        lead_min=int(rows["lead"]["value"]),
        back_min=int(rows["back"]["value"]),
        cool_before_min=int(rows["cool before charging"]["value"]),
        cool_after_fast_min=int(rows["cool after fast"]["value"]),
        match_ah=float(rows["match charge"]["value"]),
        least_charge=float(rows["least charge"]["value"]),
        fast_from_a=float(rows["fast from"]["value"]),
        most_a=float(rows["most current"]["value"]),
        efficiency=float(rows["efficiency"]["value"]),
        taper_min=int(rows["taper time"]["value"]),
        taper_slow=int(rows["taper slowness"]["value"]),
        spare_enough_min=int(rows["spare enough"]["value"]),
        worth_step=int(rows["worth step"]["value"]),
    )


def usual_slips() -> SlipPractice:
    """Return how days usually slip, every number from the same table."""
    rows = _rows()
    return SlipPractice(
        late_chance=float(rows["slip chance"]["value"]),
        late_mean_min=float(rows["slip mean"]["value"]),
        caught=float(rows["slip caught"]["value"]),
        turn_extra_min=int(rows["turn extra"]["value"]),
    )


def practice_source(name: str) -> str:
    """Return the source key of a row of the table; KeyError where there is none."""
    return _rows()[name]["source"]


def _rows() -> dict[str, Mapping[str, str]]:
    return {row["name"]: row for row in table("rack_day_practice")}
