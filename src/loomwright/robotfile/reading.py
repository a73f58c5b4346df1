"""Read robot.yaml into a robot: tree, build, defaults, form, parts, references - all faults at once."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from loomwright.findings import Finding, Place, UnreadableInputError
from loomwright.model.robot import Doubt, House, Remark, Robot
from loomwright.model.stock import Stock
from loomwright.robotfile.assemble import Assembly
from loomwright.robotfile.builds import apply_build, apply_defaults, build_names
from loomwright.robotfile.buses import marks_of, read_buses
from loomwright.robotfile.forms.form import RobotForm
from loomwright.robotfile.forms.leaves import Branch, Faults, Leaf, plain
from loomwright.robotfile.marked.yaml_tree import read_tree
from loomwright.robotfile.noticed import notice
from loomwright.robotfile.parts.part_names import PartNames
from loomwright.robotfile.plates import plate_forms, read_plates
from loomwright.robotfile.references import References
from loomwright.wording import listed, nearest, quoted

if TYPE_CHECKING:
    from collections.abc import Iterator

    from loomwright.robotfile.forms.form import WiresForm
    from loomwright.robotfile.forms.form_base import Form
    from loomwright.robotfile.forms.form_things import MechanismForm
    from loomwright.robotfile.forms.leaves import Raw
    from loomwright.robotfile.marked.tree import Mapping
    from loomwright.robotfile.parts.library import Library

_LONGEST_NAME = 60


def read_robot(data: bytes, *, library: Library, stock: Stock, build: str = "", file: str = "robot.yaml") -> Robot:
    """Read one robot file, for one build (the empty name is the design itself).

    The design and every build are read each time, so that a slip in any of them is told at once.

    Raises
    ------
    UnreadableInputError
        With the first fault of YAML itself, or with every fault of the content.
    """
    tree = read_tree(data, file=file)
    faults = Faults()
    builds = build_names(tree, faults)
    _refuse_unknown_build(tree, build, builds, faults)
    readings = {name: _read_build(tree, name, builds, library, stock, faults, file) for name in ("", *builds)}
    if faults.found:
        raise UnreadableInputError(faults.in_order())
    robot, form = readings[build]
    return replace(robot, noticed=notice(robot, form))


def _refuse_unknown_build(tree: Mapping, build: str, builds: tuple[str, ...], faults: Faults) -> None:
    if build and build not in builds:
        close = nearest(build, builds, limit=1)
        hint = f"Did you mean `--build '{close[0]}'`? " if close else ""
        faults.add(
            "unknown-build",
            None,
            f"This file has no build {quoted(build)}; it has {listed(builds) if builds else 'none'}.",
            f"{hint}Name one of these with --build, or write it under `builds:`.",
            mark=tree.where("builds"),
            path="builds",
        )


def _read_build(
    tree: Mapping, build: str, builds: tuple[str, ...], library: Library, stock: Stock, faults: Faults, file: str
) -> tuple[Robot, RobotForm]:
    """Read one build, and note what is wrong with it; a slip of the design itself is told only once."""
    found = Faults()
    built = apply_build(tree, build, found)
    root = plain(apply_defaults(built.tree))
    assert isinstance(root, Branch)  # noqa: S101  read_tree gives a mapping
    form = RobotForm.model_validate(root, context={"faults": found})
    _look_at_name(form, root, found)
    assembly = Assembly(PartNames(library, found), found)
    assembly.collect(form)
    mechanisms = [mechanism.name for mechanism in assembly.mechanisms]
    ids = References(assembly.devices, mechanisms, found, dict.fromkeys(built.gone, build))
    ids.check()
    plate, upper_plates = read_plates(form, found)
    robot = Robot(
        name=form.robot,
        rules=form.rules,
        build=build,
        builds=builds,
        asks=form.unsaid.value == "ask",
        devices=tuple(assembly.devices),
        mechanisms=tuple(assembly.mechanisms),
        buses=read_buses(form, ids),
        plate=plate,
        upper_plates=upper_plates,
        house=_house(form.wires),
        stock=stock,
        doubts=tuple(_doubts(form, ids)),
        remarks=(*_remarks(root, build), *_notes(form)),
        file=file,
    )
    faults.found += [_in_build(fault, build) for fault in found.found] if build else found.found
    return robot, form


def _in_build(fault: Finding, build: str) -> Finding:
    """Say that a fault is one of a build, where its place does not say so by itself."""
    thing = fault.place.thing
    if thing.startswith("builds.") or f"build {build}" in thing:
        return fault
    place = Place(fault.place.file, fault.place.line, fault.place.column, f"{thing} (from build {build})")
    return replace(fault, place=place)


def _look_at_name(form: RobotForm, root: Branch, faults: Faults) -> None:
    name = root.get("robot", root)
    if not form.robot.strip() and (isinstance(name, Leaf) or name is root):
        faults.add("missing-key", name, "The robot has no name.", "Write `robot: NAME` at the top.")
    elif form.robot.strip() and not any(char.isprintable() and not char.isspace() for char in form.robot):
        what = "The robot's name has only signs in it that nobody sees."
        faults.add("bad-id", root["robot"], what, "Write a name that can be read: it stands on every page.")
    elif len(form.robot) > _LONGEST_NAME:
        what = f"The robot's name has {len(form.robot)} characters; the sheets have room for {_LONGEST_NAME}."
        faults.add("too-long", root["robot"], what, "Shorten it; the rest can go under `notes:`.")


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
        step=form.step,
        service_loop=form.service_loop,
        slack=form.slack,
        path_drop=form.path_drop,
    )


def _doubts(form: RobotForm, ids: References) -> Iterator[Doubt]:
    for swap in form.maybe_swapped:
        branch: Branch = swap.branch
        here = [name for name in swap.which if name not in ids.gone]
        for name in here:
            if name not in ids.called:
                ids.dangling(name, f"{branch.path}.which", marks_of(branch["which"])[name], ids.called)
        if branch and len(swap.which) < 2:  # noqa: PLR2004  one thing can't be swapped
            what = "`maybe swapped` wants two things or more that may stand for each other."
            ids.faults.add("too-few-claims", branch, what, "Write `{which: [one id, another id], in: id}`.")
        if len(here) > 1:
            yield Doubt(tuple(here), swap.in_, branch.mark)


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


def _notes(form: RobotForm) -> Iterator[Remark]:
    """Keep the notes of what is no device: data lines, what mechanisms do, plates and their trunks."""
    written: list[tuple[str, Form]] = [*form.data.items()]
    for plate_name, plate in plate_forms(form):
        written += [*plate.trunks.items(), (plate_name, plate)]
    written += [(f"{name}: does", mechanism.does) for name, mechanism in _mechanisms(form.mechanisms)]
    for name, held in written:
        raw = held.branch.get("note") if held.branch is not None else None
        if isinstance(raw, Leaf):
            yield Remark("note", name, raw.text, raw.mark)


def _mechanisms(mechanisms: dict[str, MechanismForm]) -> Iterator[tuple[str, MechanismForm]]:
    for name, mechanism in mechanisms.items():
        yield name, mechanism
        yield from _mechanisms(mechanism.parts)


def _told(topic: str, subject: str, raw: Raw) -> Iterator[Remark]:
    if isinstance(raw, Leaf):
        yield Remark(topic, subject, raw.text, raw.mark)
    elif isinstance(raw, Branch) and topic == "stale":
        where, says = (held.text if isinstance(held := raw.get(key), Leaf) else "" for key in ("where", "says"))
        yield Remark(topic, where, says, raw.mark)
    elif isinstance(raw, Branch):
        for key, value in raw.items():
            yield from _told(topic, key, value)
    else:
        for item in raw:
            yield from _told(topic, subject, item)
