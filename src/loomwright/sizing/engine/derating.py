"""How much less a wire may carry in warm air and in a bundle."""

from __future__ import annotations

import math
from collections.abc import Mapping
from itertools import pairwise

from loomwright.catalogue.tables import table, whole
from loomwright.sizing.result import OutOfTableError

_THICK = 8  # AC 43.13-1B Table 11-9, note 1: 8 AWG and thicker stand for 9 wires, thinner ones for 33 or more
_THICK_WIRES = 9
_TABLE_LOADING_PCT = 20.0


def heat_balance(*, insulation_c: float, ambient_c: float, table_c: float) -> float:
    """Return sqrt((insulation - ambient)/(insulation - table ambient)), 0 where the air is too hot.

    A wire's heating goes with its current squared and its cooling with its temperature rise; so the current that
    brings it to the limit of its insulation goes with the square root of the rise left. Source: heat-balance.
    """
    return math.sqrt(max(0.0, insulation_c - ambient_c) / (insulation_c - table_c))


def ambient_factor(basis: str, *, insulation_c: float, ambient_c: float, table_c: float) -> float:
    """Return the ambient factor of a basis: the heat balance, held down to what the basis itself prints.

    Air colder than the table's is not credited. Where the basis prints a factor f at some ambient, the square of
    the factor falls on the straight line from 1 through that point, if that is the lower of the two.
    """
    if ambient_c <= table_c:
        return 1.0
    factor = heat_balance(insulation_c=insulation_c, ambient_c=ambient_c, table_c=table_c)
    for row in table("ambient_factor"):
        if row["basis"] == basis and float(row["insulation_c"]) == insulation_c:
            lost = (1 - float(row["factor"]) ** 2) / (float(row["ambient_c"]) - table_c)
            factor = min(factor, math.sqrt(max(0.0, 1 - lost * (ambient_c - table_c))))
    return factor


def bundle_factor(rule: str, *, wires: int, loading_pct: float) -> float:
    """Return the bundle factor for a number of wires that run together and how loaded they are [%].

    The curves of MIL-W-5088 are read straight between their loadings, below 20 % as at 20 %, and end at 19
    wires. The steps of the other rules count loaded conductors and know no loading.

    Raises
    ------
    OutOfTableError
        For a bundle or a loading that the rule does not reach; nothing is extrapolated.
    """
    if rule == "any":
        return 1.0
    if rule == "single":
        if wires > 1:
            raise OutOfTableError(f"This basis holds for a single wire, not for {wires}.", "Take a bundled basis.")
        return 1.0
    rows = [row for row in table("bundle_factor") if row["rule"] == rule and _covers(row, wires)]
    if not rows:
        most = max(int(row["wires_to"]) for row in table("bundle_factor") if row["rule"] == rule)
        raise OutOfTableError(
            f"The bundle factors of {rule} end at {most} wires, and this bundle has {wires}.",
            "Split the bundle, or take an ampacity basis that goes further: cfr-183.425.",
        )
    if not rows[0]["loading_pct"]:
        return float(rows[0]["factor"])
    return _at_loading([(float(row["loading_pct"]), float(row["factor"])) for row in rows], loading_pct)


def table_11_9_covers(*, thickness: int, wires: int, loading_pct: float) -> str:
    """Say why AC 43.13-1B Table 11-9 does not hold for a bundle, empty where it does.

    The table stands for 33 or more wires, 9 for `thickness` (gauge number) 8 and below, with at most 20 % of the
    bundle's capacity used. A smaller bundle may be loaded more, as long as the curves of MIL-W-5088 take no more
    off it than off 19 wires at 20 %.
    """
    if thickness <= _THICK and wires > _THICK_WIRES:
        return f"Table 11-9 holds for at most {_THICK_WIRES} wires of 8 AWG and thicker"
    if loading_pct <= _TABLE_LOADING_PCT:
        return ""
    curves = "mil-w-5088"
    last = max(int(row["wires_to"]) for row in table("bundle_factor") if row["rule"] == curves)
    covered = bundle_factor(curves, wires=last, loading_pct=_TABLE_LOADING_PCT)
    if wires <= last and bundle_factor(curves, wires=wires, loading_pct=loading_pct) >= covered:
        return ""
    return f"Table 11-9 holds for a bundle that is {_TABLE_LOADING_PCT:g} % loaded, not {loading_pct:g} %"


def _covers(row: Mapping[str, str], wires: int) -> bool:
    last = whole(row, "wires_to")
    return int(row["wires_from"]) <= wires and (last is None or wires <= last)


def _at_loading(curve: list[tuple[float, float]], loading_pct: float) -> float:
    points = sorted(curve)
    if loading_pct <= points[0][0]:
        return points[0][1]
    for (low, at_low), (high, at_high) in pairwise(points):
        if low <= loading_pct <= high:
            return at_low + (at_high - at_low) * (loading_pct - low) / (high - low)
    raise OutOfTableError(
        f"The bundle curves end at {points[-1][0]:g} % loading, and {loading_pct:g} % was asked.",
        "Say how much of the bundle's capacity is used, up to 100 %.",
    )
