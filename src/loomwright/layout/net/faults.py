"""What is wrong with places, trunks and keep-outs as they are drawn, and what only people can answer."""

from __future__ import annotations

from typing import TYPE_CHECKING

from loomwright.catalogue.wire_diameter import outside_diameter_mm
from loomwright.findings import Finding, Place, Severity, by_weight
from loomwright.layout.net.drops import REACH_M
from loomwright.layout.net.ground import ground_of
from loomwright.layout.net.trunks import LOOP_M
from loomwright.layout.places import place_of
from loomwright.units import Dimension, show
from loomwright.units.gauge import Gauge
from loomwright.wording import listed, natural

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from loomwright.layout.net.drops import Drop
    from loomwright.layout.net.ground import Ground
    from loomwright.layout.places import TerminalAt
    from loomwright.layout.result import Terminal
    from loomwright.model.device import Device
    from loomwright.model.mark import Mark
    from loomwright.model.robot import Robot, Trunk

#: The thinnest wire that a robot has anyway: data pairs and captive leads.
_DATA_GAUGE = Gauge(22)
_SHOWN = 3


def net_findings(
    robot: Robot, places: Mapping[Terminal, TerminalAt], drops: Sequence[Drop], *, proposed: bool
) -> tuple[Finding, ...]:
    """Return what has to be told about the places and trunks of a robot, the gravest first."""
    ground = ground_of(robot.plates)
    found = [*_off_the_plates(robot, ground), *_under_keep_outs(robot, places, ground), *_joints(robot)]
    for trunk in robot.trunks:
        found += [*_trunk_findings(trunk, ground), *_capacity(robot, trunk)]
    if places:
        found += _unreached(robot, places, drops, ground, proposed=proposed)
    return by_weight(found)


def _off_the_plates(robot: Robot, ground: Ground) -> Iterator[Finding]:
    for device in _placed(robot):
        at = place_of(robot, device)
        if at is not None and not ground.on_a_plate(at[:2]):
            yield Finding(
                "device-off-plate",
                Severity.MUST,
                _place(device.spot.at.mark, f"{device.path}.at", device.mark),
                f"{device.called} is at {_cm(at[0])} right and {_cm(at[1])} forward, which is outside the outline of "
                f"{'the plate' if len(robot.plates) == 1 else 'every plate'}.",
                "Correct its `at:`, or the `outline:` of the plate that carries it.",
            )


def _under_keep_outs(robot: Robot, places: Mapping[Terminal, TerminalAt], ground: Ground) -> Iterator[Finding]:
    for device in _placed(robot):
        own = {socket: place.at for (name, socket), place in places.items() if name == device.id}
        at = place_of(robot, device)
        points = {**own, "": at} if at is not None else dict(own)
        under: dict[str, list[str]] = {}
        for socket in sorted(points, key=natural):
            for keep_out in ground.keep_outs(points[socket], points[socket]):
                under.setdefault(keep_out.name, []).append(socket)
        for keep_out in (k for plate in robot.plates for k in plate.keep_outs):
            if keep_out.name in under:
                sockets = [socket for socket in under[keep_out.name] if socket]
                what = (
                    f"{device.called} itself" if "" in under[keep_out.name] else f"{_names(sockets)} of {device.called}"
                )
                yield Finding(
                    "keep-out-over-terminal",
                    Severity.MUST,
                    _place(keep_out.mark or device.spot.at.mark, f"plate.keep outs.{keep_out.name}", device.mark),
                    f"The keep-out {keep_out.name} covers {what}, so no wire may get there.",
                    f"Draw {keep_out.name} smaller, or move {device.called}.",
                )


def _trunk_findings(trunk: Trunk, ground: Ground) -> Iterator[Finding]:
    place = _place(trunk.mark, trunk.path or f"plate.trunks.{trunk.name}")
    stretches = list(zip(trunk.points, trunk.points[1:], strict=False))
    names = {keep_out.name for a, b in stretches for keep_out in ground.keep_outs(a, b)}
    if names:
        left_out = "it is not used at all" if trunk.moving else "that stretch of it is not used"
        yield Finding(
            "trunk-in-keep-out",
            Severity.MUST,
            place,
            f"The trunk {trunk.name} runs through the keep-out {listed(sorted(names, key=natural), 'and')}, so "
            f"{left_out}.",
            "Lead it round, or draw the keep-out as small as it is.",
        )
    if not trunk.moving and not all(ground.inside(a, b) for a, b in stretches):
        yield Finding(
            "trunk-off-plate",
            Severity.SHOULD,
            place,
            f"The trunk {trunk.name} leaves the outline of the plate, where nothing carries its wires.",
            "Correct its places, or the `outline:` of the plate.",
        )
    if trunk.moving and trunk.travel.value is None:
        yield Finding(
            "travel-unknown",
            Severity.SHOULD,
            place,
            f"{trunk.name} moves, and nobody says how far, so its wires get {_cm(LOOP_M)} of slack and no more. At the "
            "end of its travel they may be pulled out.",
            "Move it from end to end by hand, measure how far its far end goes, and write `travel: 60 cm`.",
            asks=True,
        )


def _capacity(robot: Robot, trunk: Trunk) -> Iterator[Finding]:
    capacity_m = trunk.capacity.value
    gauges = sorted({_DATA_GAUGE, *robot.stock.gauges}, key=lambda gauge: -gauge.number)
    wires = [(mm, gauge) for gauge in gauges if (mm := outside_diameter_mm(gauge)) is not None]
    if capacity_m is None or not wires:
        return
    thinnest_mm, gauge = min(wires, key=lambda wire: wire[0])
    if capacity_m * 1000 < thinnest_mm:
        mark = trunk.capacity.mark or trunk.mark
        yield Finding(
            "trunk-takes-no-wire",
            Severity.MUST,
            _place(mark, f"{trunk.path or f'plate.trunks.{trunk.name}'}.capacity"),
            f"The trunk {trunk.name} lets {capacity_m * 1000:g} mm through, and one wire of {gauge} is "
            f"{thinnest_mm:g} mm thick.",
            "Write the diameter that its clips and holes let through, such as `capacity: 15 mm`, or `as needed`.",
            source="ul-758-1015-computed",
        )


def _joints(robot: Robot) -> Iterator[Finding]:
    moving = [trunk for trunk in robot.trunks if trunk.moving]
    riders = [device for device in _placed(robot) if device.spot.rides_on.value is not None]
    riders = [device for device in riders if place_of(robot, device) is not None]
    if riders and not moving:
        names = list(dict.fromkeys(device.called for device in sorted(riders, key=lambda d: natural(d.id))))
        first = min(riders, key=lambda d: (natural(d.id), d.id))
        yield Finding(
            "rides-without-joint",
            Severity.SHOULD,
            _place(first.spot.rides_on.mark, f"{first.path}.rides on", first.mark),
            f"{_names(names)} {'rides' if len(names) == 1 else 'ride'} on something that moves, and no trunk is drawn "
            "that moves with it, so the wires get no slack for its travel.",
            "Draw the moving stretch among the trunks: "
            "`lift tower: {along: [[35 cm, 43 cm], [35 cm, 56 cm]], moving: yes, travel: 60 cm}`.",
        )
    if moving and not any(device.spot.rides_on.value is not None for device in _placed(robot)):
        yield Finding(
            "nothing-rides",
            Severity.CONSIDER,
            _place(moving[0].mark, moving[0].path or f"plate.trunks.{moving[0].name}"),
            f"{moving[0].name} moves, and nothing says that it rides on it, so no wire takes it.",
            "Write `rides on:` with every motor and sensor that moves along.",
        )


def _unreached(
    robot: Robot, places: Mapping[Terminal, TerminalAt], drops: Sequence[Drop], ground: Ground, *, proposed: bool
) -> Iterator[Finding]:
    """Tell of terminals that no way leads away from, and of those that every trunk is far from."""
    reached: dict[Terminal, float] = {}
    for drop in drops:
        reached[drop.terminal] = min(drop.flat_m, reached.get(drop.terminal, drop.flat_m))
    for device in sorted(_placed(robot), key=lambda d: (natural(d.id), d.id)):
        own = [terminal for terminal in places if terminal[0] == device.id]
        free = [terminal for terminal in own if not ground.keep_outs(places[terminal].at, places[terminal].at)]
        place = _place(device.spot.at.mark, f"{device.path}.at", device.mark)
        cut_off = [socket for terminal in free if terminal not in reached for socket in terminal[1:]]
        if cut_off:
            yield Finding(
                "no-trunk-reaches",
                Severity.SHOULD,
                place,
                f"No way leads from {_names(cut_off)} of {device.called} to any trunk: keep-outs and the edge of the "
                "plate shut it in.",
                "Leave a gap in the keep-outs, turn the device with `facing:`, or draw a trunk on that side.",
            )
        far = [(reached[terminal], terminal[1]) for terminal in free if reached.get(terminal, 0.0) > 2 * REACH_M]
        if far and not proposed:
            yield Finding(
                "no-trunk-reaches",
                Severity.SHOULD,
                place,
                f"{_names([socket for _, socket in far])} of {device.called} "
                f"{'is' if len(far) == 1 else 'are'} {_cm(max(far)[0])} away from the nearest trunk, and nothing holds "
                "the wires on their way.",
                f"Draw a trunk that passes within {_cm(REACH_M)} on that side, or turn the device with `facing:`.",
            )


def _placed(robot: Robot) -> list[Device]:
    return [device for device in robot if device.spot.at.value is not None and not device.driven_by]


def _names(names: Sequence[str]) -> str:
    more = len(names) - _SHOWN
    return listed(list(names), "and") if more <= 0 else f"{', '.join(names[:_SHOWN])} and {more} more"


def _cm(length_m: float) -> str:
    return show(round(length_m, 3), Dimension.LENGTH)


def _place(mark: Mark | None, thing: str, instead: Mark | None = None) -> Place:
    mark = mark or instead
    return Place(mark.file, mark.line, mark.column, thing) if mark else Place(thing=thing)
