"""How the rack is told on a terminal: a line for each battery, its reasons below it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from loomwright.documents.json.rack import BatteryRisk
    from loomwright.jobs.rack.view import RackView
    from loomwright.rack.battery import RackBattery
    from loomwright.rack.charging import Charging
    from loomwright.rack.health.result import BatteryHealth
    from loomwright.rack.next_up import Candidate

_HEAD: Final = ("battery", "verdict", "where", "resistance", "capacity", "charge", "cycles")


def fit_lines(view: RackView, only: str = "") -> Iterator[str]:
    """Tell every battery, or one, with its verdict, what is known of it and why; chargers that stand out after them."""
    pairs = [
        (battery, known)
        for battery, known in zip(view.batteries, view.health, strict=True)
        if not only or battery.label == only
    ]
    rows = [_HEAD, *(_row(battery, known) for battery, known in pairs)]
    widths = [max(len(row[n]) for row in rows) for n in range(len(_HEAD))]
    yield _line(rows[0], widths)
    for row, (_, known) in zip(rows[1:], pairs, strict=True):
        yield _line(row, widths)
        yield from (f"    {reason}" for reason in known.verdict.reasons)
        if known.verdict.ask:
            yield f"    Next: {known.verdict.ask}"
        if only:
            yield from (f"    {note}" for note in known.health.notes)
            yield from (f"    Set aside: {one.why}" for one in known.health.set_aside)
    if not only and view.chargers:
        yield ""
        for charger, told in zip(view.chargers, view.charger_health, strict=True):
            yield f"charger {charger.label}: {told.verdict}" + (f". {' '.join(told.reasons)}" if told.reasons else "")


def next_lines(candidates: Sequence[Candidate]) -> Iterator[str]:
    """Tell which battery is next, why, and which come after it."""
    if not candidates:
        yield "No battery can go into the robot: see `loomwright rack fit`."
        return
    first = candidates[0]
    if first.ready:
        yield f"Next: {first.label}."
    elif first.fit:
        yield f"No battery is ready. The first that will be: {first.label}."
    else:
        yield f"No battery is fit for a match. The least bad: {first.label} ({first.state})."
    for one in candidates:
        mark = "ready" if one.ready else str(one.state) if not one.fit else "not ready"
        yield f"  {one.label}  {mark}, charge times worth {one.score:.0%}"
        yield from (f"      {why[:1].upper()}{why[1:].rstrip('.')}." for why in one.why)


def risk_lines(risks: Sequence[BatteryRisk]) -> Iterator[str]:
    """Tell the odds of a brown-out with each battery, on the same matches."""
    if risks:
        yield ""
        yield f"{risks[0].brown_out.of} matches with each as it is now, the same drivers, joints and luck:"
    for one in risks:
        low, high = one.brown_out.span
        yield (
            f"  with {one.label} the risk of a brown-out is {one.brown_out.share:.0%} ({low:.0%} to {high:.0%}); "
            f"in a bad match the bus falls to {one.low_v:.1f} V."
        )


def charging_lines(charging: Charging, cautions: Sequence[str]) -> Iterator[str]:
    """Tell the cautions first, then what goes on which charger, then what does not and why."""
    yield from cautions
    yield ""
    if not charging.put:
        yield "Nothing goes on a charger now."
    for one in charging.put:
        rate = "fast" if one.fast else "gently"
        yield f"{one.battery} on {one.charger}, {rate}, {one.amps:g} A: {one.why}."
        if one.watched:
            yield f"    {one.watched.capitalize()}."
    for left in charging.leave:
        yield f"{left.battery} on none: {left.why}."


def _row(battery: RackBattery, known: BatteryHealth) -> tuple[str, ...]:
    health = known.health
    ohm, ah, charge = health.resistance_ohm, health.capacity_ah, health.charge
    where = battery.charger if battery.place == "charger" else battery.place
    return (
        battery.label,
        str(known.verdict.state),
        where or "not said",
        f"{ohm.middle * 1e3:.1f} mohm ({ohm.low * 1e3:.1f} to {ohm.high * 1e3:.1f})" if health.tested else "not read",
        f"{ah.middle:.1f} Ah ({ah.low:.1f} to {ah.high:.1f})" if health.capacity_tested else "not tested",
        f"{charge.middle:.0%} ({charge.low:.0%} to {charge.high:.0%})",
        f"{battery.cycles}",
    )


def _line(row: Sequence[str], widths: Sequence[int]) -> str:
    return "  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip()
