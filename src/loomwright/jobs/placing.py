"""What the slots and the routes have to tell: wishes that cannot all be had, and what the layout noticed."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from loomwright.findings import Finding, Place, Severity
from loomwright.jobs.own_leads import own_supply_leads
from loomwright.layout.lengths import lead_m
from loomwright.units import Dimension, show
from loomwright.wiring.result import CircuitKind
from loomwright.wording import listed

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from loomwright.jobs.deciding import Decided
    from loomwright.jobs.sizer import Sizer
    from loomwright.layout.result import Layout
    from loomwright.layout.slot_problem import Clash
    from loomwright.model.device import Device
    from loomwright.model.mark import Mark
    from loomwright.model.robot import Robot
    from loomwright.wiring.result import Circuit

_FED = (CircuitKind.FEEDER, CircuitKind.BRANCH, CircuitKind.OUTPUT)
_SHOWN = 8


def placing_findings(robot: Robot, decided: Decided) -> Iterator[Finding]:
    """Give a finding for every clash of wishes about slots, and what the layout noticed."""
    answer = decided.seated.answer
    for clash in answer.clashes if answer is not None else ():
        yield _clash(robot, clash)
    yield from decided.noticed
    yield from _without_a_way(decided)
    if decided.layout is not None:
        yield from _leads_that_reach(robot, decided)
        if decided.layout.net.proposed and any(section.proposed for section in decided.layout.sections):
            yield _proposed(robot, decided.layout)


def _without_a_way(decided: Decided) -> Iterator[Finding]:
    """Tell of circuits whose ends have places and whose wires find no way between them."""
    told: set[str] = set()
    for run, why in decided.no_way.items():
        circuit = next((c for c in decided.sizer.wiring.circuits if run == c.id or run.startswith(f"{c.id} (")), None)
        if circuit is None or circuit.id in told:
            continue
        told.add(circuit.id)
        yield Finding(
            "no-way",
            Severity.MUST,
            Place(circuit.mark.file, circuit.mark.line, circuit.mark.column, circuit.path),
            f"The wires of {circuit.id} have no way: {why}. What is told of their length is only a guess.",
            "Leave a gap in the keep-outs, widen the `capacity:` of a trunk, draw another one, or move a thing that "
            "stands on another.",
        )


def _proposed(robot: Robot, layout: Layout) -> Finding:
    """Tell that nobody drew a trunk, and which ones the plan went by."""
    names = list(dict.fromkeys(section.trunk for section in layout.sections if section.proposed))
    what = f"No trunk is drawn that power may take, so this plan goes by trunks that it proposes: {_named(names)}."
    mark = robot.plate.mark
    place = Place(mark.file, mark.line, mark.column, "plate") if mark else Place(robot.file, thing="plate")
    fix = "Look at the Plate (dashed). `plan` prints the lines for `trunks:`; change them to what you can clip to."
    return Finding("trunks-proposed", Severity.CONSIDER, place, what, fix)


def _leads_that_reach(robot: Robot, decided: Decided) -> Iterator[Finding]:
    """Tell of leads that a thing brings along and that would go straight into its slot: two joints less."""
    sizer = decided.sizer
    for circuit in sizer.wiring.circuits:
        load = robot.device(circuit.load)
        wires = [wire for wire in circuit.wires if not wire.captive and wire.key in sizer.lengths.ways]
        if circuit.kind not in _FED or load is None or not wires or load.wishes.joint.said:
            continue
        leads = [(lead_m(robot, wire.b), sizer.lengths.ways[wire.key]) for wire in wires]
        if all(lead > 0 and lead >= way + sizer.lengths.loop_m for lead, way in leads) and _taken(sizer, circuit):
            yield Finding(
                "leads-reach",
                Severity.CONSIDER,
                Place(circuit.mark.file, circuit.mark.line, circuit.mark.column, circuit.path),
                f"The leads that {load.called} brings along, {show(leads[0][0], Dimension.LENGTH)}, reach "
                f"{sizer.source(circuit)} {sizer.choices[circuit.id].slot} by themselves.",
                "Write `joint: none` to put them in there without a wire between: two joints less that can fail.",
                source="common practice",
            )


def _taken(sizer: Sizer, circuit: Circuit) -> bool:
    """Tell whether the slot takes the gauge of the load's own leads."""
    choice = sizer.choices.get(circuit.id)
    source = sizer.robot.device(choice.device) if choice is not None else None
    outlet = source.part.socket(choice.slot) if source is not None and choice is not None else None
    gauge = own_supply_leads(sizer.robot, circuit)
    return outlet is not None and gauge is not None and all(port.takes(gauge) for port in outlet.ports)


@dataclass(frozen=True, slots=True)
class _Wish:
    """A wish in words, and where it stands in the file."""

    words: str
    mark: Mark | None
    path: str


def _clash(robot: Robot, clash: Clash) -> Finding:
    wishes = {key: _in_words(robot, key) for key in clash.wishes}
    first = next((wishes[key] for key in clash.drops), None) or next(iter(wishes.values()), None)
    mark = first.mark if first is not None else None
    owner = _owner(robot, clash)
    if mark and first:
        place = Place(mark.file, mark.line, mark.column, first.path)
    elif owner is not None:
        place = Place(owner.mark.file, owner.mark.line, owner.mark.column, owner.path)
    else:
        place = Place(robot.file, thing="blocks")
    return Finding("wishes-clash", Severity.MUST, place, _what(clash, wishes), _fix(clash, wishes, owner))


def _owner(robot: Robot, clash: Clash) -> Device | None:
    """Return the device that all slots of a clash are on; None where they are on several."""
    names = {device for device, _ in clash.spots}
    return robot.device(names.pop()) if len(names) == 1 else None


def _what(clash: Clash, wishes: dict[str, _Wish]) -> str:
    stands = [f"{wish.words}{_line(wish.mark)}" for wish in wishes.values()]
    against = f" These stand against each other: {'; '.join(stands)}." if stands else ""
    if not clash.counting:
        return f"Not every wish about slots can be had.{against}"
    slots = len(clash.spots)
    usable = f"{slots} slot{'s' if slots != 1 else ''} of that kind {'are' if slots != 1 else 'is'} usable"
    names = _named([f"{device} {slot}" for device, slot in clash.spots])
    where = f" ({names})" if clash.spots else ""
    return f"{len(clash.items)} circuits ({_named(clash.items)}) need a slot, and {usable}{where}.{against}"


def _fix(clash: Clash, wishes: dict[str, _Wish], owner: Device | None) -> str:
    if not clash.drops and owner is not None and owner.kind != "block":
        return f"Feed one of them from something else than {owner.called}, or take a thing off the robot."
    if not clash.drops:
        return "Add a block or a sub-block with free slots, or take a thing off the robot."
    dropped = listed([f"{wishes[key].words}{_line(wishes[key].mark)}" for key in clash.drops], "and")
    return f"Least is lost by giving up {dropped}; this plan does so. Change that line, or another of these."


def _in_words(robot: Robot, key: str) -> _Wish:
    """Read a wish's key, as `layout.seat_wishes` writes them."""
    kind, _, rest = key.partition(" ")
    if kind == "reserved":
        return _reserved(robot, rest)
    device = next((d for d in robot if rest in (d.called, d.id)), None)
    if device is None:
        return _Wish(key, None, rest)
    if kind == "gauge":
        said = device.wishes.gauge
        return _Wish(f"{rest} on {said.value} wire", said.mark, f"{device.path}.wire")
    group = device.feed.group
    return _Wish(f"{rest} on a {group.value} slot", group.mark, f"{device.path}.feed")


def _reserved(robot: Robot, spot: str) -> _Wish:
    name, _, slot = spot.rpartition(" ")
    block = robot.device(name)
    kept = block.reserved.get(slot) if block is not None else None
    if block is None or kept is None:
        return _Wish(f"{spot} kept free", None, spot)
    return _Wish(f"{spot} kept free for {kept.value}", kept.mark, f"{block.path}.reserved.{slot}")


def _line(mark: Mark | None) -> str:
    return f" ({mark.file}:{mark.line})" if mark is not None else ""


def _named(names: Sequence[str]) -> str:
    shown = [*names[:_SHOWN], *([f"{len(names) - _SHOWN} more"] if len(names) > _SHOWN else [])]
    return listed(shown, "and")
