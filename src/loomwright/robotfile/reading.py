"""Read robot.yaml into a robot: tree, defaults, build, form, parts, references - all faults at once."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from pydantic import ValidationError

from loomwright.findings import Finding, UnreadableInputError
from loomwright.model.fact import Fact, Saying
from loomwright.model.robot import Bus, Doubt, House, Plate, Remark, Robot, Stock, Trunk
from loomwright.robotfile.assemble import Assembly
from loomwright.robotfile.builds import apply_build, apply_defaults, build_names
from loomwright.robotfile.form import RobotForm
from loomwright.robotfile.leaves import Branch, Faults, Leaf, Row, plain
from loomwright.robotfile.references import References
from loomwright.robotfile.yaml_tree import read_tree
from loomwright.wording import listed, nearest, quoted

if TYPE_CHECKING:
    from collections.abc import Iterator

    from loomwright.model.mark import Mark
    from loomwright.robotfile.form import BusForm, PlateForm, SwapForm, WiresForm
    from loomwright.robotfile.leaves import Raw
    from loomwright.robotfile.library import Library
    from loomwright.robotfile.tree import Mapping

_FLAGS = ("moving", "sharp edge", "near swarf", "signal only")


def read_robot(data: bytes, *, library: Library, stock: Stock, build: str = "", file: str = "robot.yaml") -> Robot:
    """Read one robot file, for one build (the empty name is the design itself).

    Raises
    ------
    UnreadableInputError
        With the first fault of YAML itself, or with every fault of the content.
    """
    faults = Faults()
    tree = read_tree(data, file=file)
    builds = build_names(tree)
    tree = _for_build(tree, build, builds, faults)
    root = plain(tree)
    assert isinstance(root, Branch)  # noqa: S101  read_tree gives a mapping
    form = _filled_in(root, faults)
    if form is None:
        raise UnreadableInputError(_in_order(faults))
    assembly = Assembly(library, faults)
    assembly.collect(form)
    ids = References(assembly.devices, [m.name for m in assembly.mechanisms], faults)
    ids.check()
    buses = tuple(_with_members(_bus(name, bus, ids), ids) for name, bus in form.data.items())
    buses += tuple(_unlisted_buses(form, ids))
    doubts = tuple(_doubts(form, ids))
    if faults.found:
        raise UnreadableInputError(_in_order(faults))
    return Robot(
        name=form.robot,
        rules=form.rules,
        build=build,
        builds=builds,
        asks=form.unsaid.value == "ask",
        devices=tuple(assembly.devices),
        mechanisms=tuple(assembly.mechanisms),
        buses=buses,
        plate=_plate(form.plate),
        house=_house(form.wires),
        stock=stock,
        doubts=doubts,
        remarks=tuple(_remarks(root, build)),
        file=file,
    )


def _for_build(tree: Mapping, build: str, builds: tuple[str, ...], faults: Faults) -> Mapping:
    if build and build not in builds:
        known = listed(builds) if builds else "none"
        faults.add(
            "unknown-build",
            None,
            f"This file has no build {quoted(build)}; it has {known}.",
            "Name one of these with --build, or write it under `builds:`.",
            mark=tree.where("builds"),
            path="builds",
        )
    return apply_build(apply_defaults(tree), build if build in builds else "", faults)


def _filled_in(root: Branch, faults: Faults) -> RobotForm | None:
    try:
        return RobotForm.model_validate(root, context={"faults": faults})
    except ValidationError as error:
        for detail in error.errors(include_url=False, include_input=False):
            spot = _spot(root, detail["loc"])
            missing = detail["type"] == "missing"
            key = str(detail["loc"][-1])
            faults.add(
                "missing-key" if missing else "bad-form",
                spot,
                f"`{key}` is missing." if missing else f"What stands here has the wrong form for `{key}`.",
                f"Write `{key}: ...`." if missing else _right_form(spot, detail["type"]),
            )
        return None


def _spot(root: Branch, loc: tuple[int | str, ...]) -> Raw:
    """Walk pydantic's path as far as the tree goes."""
    at: Raw = root
    for step in loc:
        if isinstance(at, Branch) and step in at:
            at = at[str(step)]
        elif isinstance(at, Row) and isinstance(step, int) and step < len(at):
            at = at[step]
    return at


def _right_form(spot: Raw, kind: str) -> str:
    if isinstance(spot, Leaf) and "tuple" in kind:
        return f"Write a list: `[{spot.text}]`."
    if isinstance(spot, (Leaf, Row)):
        return "Write names with values under it, such as `name: {part: ...}`."
    return "Write a list with `- ` or `[...]`."


def _in_order(faults: Faults) -> list[Finding]:
    return sorted(dict.fromkeys(faults.found), key=lambda f: (f.place.line, f.place.column, f.code))


def _bus(name: str, form: BusForm, ids: References) -> Bus:
    branch: Branch = form.branch
    network = form.kind.value == "network" or bool(form.links)
    mark: Mark = branch.mark
    order = form.order
    found = [ids.on_bus(n, order.mark or mark, branch.path) for claim in order.said for n in claim.value]
    members = [m for m in found if m]
    twice = sorted({m for m in members if members.count(m) > 1}) if order.saying is Saying.VALUE else []
    for member in twice:
        ids.faults.add(
            "twice-in-chain", None, f"{member} stands twice in {name}.", "A chain passes each device once.",
            mark=order.mark, path=branch.path,
        )  # fmt: skip
    others = [ids.on_bus(n, mark, f"{branch.path}.devices") for n in form.devices]
    members += [m for m in others if m and m not in members]
    ends = form.terminators.map(lambda names: tuple(_known(ids, names, form.terminators, branch.path)))
    links = [
        (one, other)
        for link in form.links
        if (pair := [ids.on_bus(n, mark, f"{branch.path}.links", network=True) for n in link]) and len(pair) == 2  # noqa: PLR2004
        if (one := pair[0]) and (other := pair[1])
    ]
    for link in form.links:
        if len(link) != 2:  # noqa: PLR2004  a cable has two ends
            ids.faults.add(
                "bad-link",
                branch,
                f"A link of {name} joins {len(link)} things.",
                "Write `[one, other]` for each cable.",
            )
    known = order.map(lambda names: tuple(m for n in names if (m := _resolved(ids, n))))
    return Bus(name, "network" if network else "bus", tuple(members), known, ends, tuple(links), mark, branch.path)


def _with_members(bus: Bus, ids: References) -> Bus:
    """Add the devices that name this bus themselves."""
    named = [d.id for d in ids.devices if bus.name in d.key.bus.values and d.id not in bus.members]
    return replace(bus, members=(*bus.members, *named))


def _unlisted_buses(form: RobotForm, ids: References) -> Iterator[Bus]:
    """Give a bus of unknown order for each name that things use; where `data` lists buses, others are slips."""
    for device in ids.devices:
        for name in device.key.bus.values:
            if name in form.data:
                continue
            mark = device.key.bus.mark or device.mark
            if form.data:
                close = nearest(name, form.data)
                hint = f"Did you mean {listed([f'`{word}`' for word in close])}? " if close else ""
                ids.faults.add(
                    "unknown-bus", None, f"There is no data bus {quoted(name)}.",
                    f"{hint}Write it under `data:`; with `{{order: unknown}}` where the chain is not known.",
                    mark=mark, path=f"{device.path}.bus",
                )  # fmt: skip
    if form.data:
        return
    names = dict.fromkeys(name for device in ids.devices for name in device.key.bus.values)
    for name in names:
        first = next(d for d in ids.devices if name in d.key.bus.values)
        mark = first.key.bus.mark or first.mark
        order: Fact[tuple[str, ...]] = Fact(Saying.UNKNOWN, (), mark)
        yield _with_members(Bus(name, "bus", (), order, Fact(), (), mark, f"{first.path}.bus"), ids)


def _known(ids: References, names: tuple[str, ...], fact: Fact[tuple[str, ...]], path: str) -> Iterator[str]:
    for name in names:
        found = ids.on_bus(name, fact.mark, f"{path}.terminators") if fact.mark else None
        if found:
            yield found


def _resolved(ids: References, name: str) -> str | None:
    devices = ids.called.get(name, [])
    roles = ("bus in", "bus out")
    fitting = [d.id for d in devices if d.part.family or any(s.role.value in roles for s in d.part.sockets)]
    return fitting[0] if fitting else None


def _house(form: WiresForm) -> House:
    return House(
        supply=form.supply,
        drop=form.drop,
        ambient=form.ambient,
        insulation=form.insulation,
        conductor_temperature=form.conductor_temperature,
        bundle=form.bundle,
        loading=form.loading,
        planning_current=form.planning_current,
    )


def _plate(form: PlateForm) -> Plate:
    trunks = tuple(
        Trunk(
            name, trunk.along, tuple(f for f in _FLAGS if getattr(trunk, f.replace(" ", "_")).value), trunk.branch.mark
        )
        for name, trunk in form.trunks.items()
    )
    return Plate(outline=form.outline, trunks=trunks, keep_outs=tuple(form.keep_outs.values()))


def _doubts(form: RobotForm, ids: References) -> Iterator[Doubt]:
    said = form.maybe_swapped
    swaps: tuple[SwapForm, ...] = () if said is None else said if isinstance(said, tuple) else (said,)
    for swap in swaps:
        branch: Branch = swap.branch
        for name in swap.which:
            if name not in ids.called:
                ids.faults.add(
                    "unknown-id",
                    branch,
                    f"Nothing on this robot is called {quoted(name)}.",
                    "Check the spelling of the id.",
                )
        yield Doubt(swap.which, swap.in_, branch.mark)


def _remarks(root: Branch, build: str) -> Iterator[Remark]:
    """Keep what people noted: removed things, stale remarks, conventions, notes, a build's own words."""
    for topic in ("conventions", "removed", "stale", "notes"):
        if topic in root:
            yield from _told(topic, topic, root[topic])
    builds = root.get("builds")
    chosen = builds.get(build) if isinstance(builds, Branch) else None
    if isinstance(chosen, Branch):
        for key in ("note", "differs"):
            if key in chosen:
                yield from _told(f"build {key}", build, chosen[key])


def _told(topic: str, subject: str, raw: Raw) -> Iterator[Remark]:
    if isinstance(raw, Leaf):
        yield Remark(topic, subject, raw.text, raw.mark)
    elif isinstance(raw, Branch):
        flat = all(isinstance(value, Leaf) for value in raw.values())
        if flat and topic == "stale":
            yield Remark(
                topic, raw["where"].text if "where" in raw else "", raw["says"].text if "says" in raw else "", raw.mark
            )
            return
        for key, value in raw.items():
            yield from _told(topic, key, value)
    else:
        for item in raw:
            yield from _told(topic, subject, item)
