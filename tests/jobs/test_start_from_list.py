"""A folder from a list: a plan's own list comes back with every slot, gauge and length; a faulty one writes nothing."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from click.testing import CliRunner

from loomwright.cli.new import command
from loomwright.documents.tables.csv_sheet import circuits_csv
from loomwright.documents.tables.wiring import CircuitRow, circuit_rows
from loomwright.findings import UnreadableInputError
from loomwright.jobs.check import check
from loomwright.jobs.start import new_from_list
from loomwright.model.device import Device
from loomwright.model.robot import Robot
from loomwright.plan.result import Plan
from loomwright.robotfile.folder import open_folder
from loomwright.units import Dimension, read
from tests.robots import EXAMPLES, example_plan, plan_of

#: Kinds whose slot, gauge and length have a place of their own in the robot file.
FED = ("feeder", "branch", "output")
MM = 0.0006


def listed(tmp_path: Path, plan: Plan) -> Path:
    """Write the list of a plan and start a folder from it."""
    source = tmp_path / "circuits.csv"
    source.write_bytes(circuits_csv(plan))
    folder = tmp_path / "Tern"
    new_from_list(folder, source)
    return folder


def first_feeds(plan: Plan) -> Iterator[CircuitRow]:
    """Give the rows that are a thing's first feed; a second coil has no place of its own."""
    return (row for row in circuit_rows(plan) if row.kind in FED and ": " not in row.circuit)


def fed_device(robot: Robot, name: str) -> Device:
    """Give the device that takes the power of what is called so: a motor's controller where it has one."""
    return next(device for device in robot.called(name) if not device.driven_by)


@pytest.mark.parametrize("name", EXAMPLES)
def test_the_list_of_a_plan_comes_back_with_every_slot_gauge_and_length(tmp_path: Path, name: str) -> None:
    """Plan, list, new folder, check: it is read without a fault, and says what the list says to the millimetre."""
    plan = example_plan(name)
    folder = listed(tmp_path, plan)
    found = check(folder)
    assert found.robot.name == "Tern"
    for row in first_feeds(plan):
        device = fed_device(found.robot, row.circuit)
        slots = device.feed.slot.value or device.channels.map(lambda channels: f"valve {channels[0]}").value
        assert slots == row.slot
        gauge = device.wishes.gauge.value
        assert (str(gauge) if gauge else "-") == row.gauge
        assert device.wishes.length.value == pytest.approx(row.length_m, abs=MM)
        assert device.wishes.protection.value == (row.protection_a if row.protection_a != "-" else None)
    for row in circuit_rows(plan):
        if row.kind == "motor":
            motor = next(device for device in found.robot.called(row.load) if device.driven_by)
            assert str(motor.wishes.gauge.value) == row.gauge
            assert motor.wishes.length.value == pytest.approx(row.length_m, abs=MM)
        elif row.kind == "signal" and ": on " in row.circuit:
            device = fed_device(found.robot, row.circuit.partition(": on ")[0])
            fed = any(device.called == other.circuit for other in first_feeds(plan))
            said = device.wishes.signal_length if fed else device.wishes.length
            assert said.value == pytest.approx(row.length_m, abs=MM)
            assert device.hookup.sockets.value == (row.circuit.partition(": on ")[2],)


@pytest.mark.parametrize("name", EXAMPLES)
def test_with_the_parts_named_it_is_the_same_robot(tmp_path: Path, name: str) -> None:
    """Once somebody names the part classes, the plan has the slots, gauges, lengths and chains of the list.

    But for a wire that is no longer than its part's own leads: a length that short is taken for these leads.
    """
    plan = example_plan(name)
    text = (listed(tmp_path, plan) / "robot.yaml").read_text(encoding="utf-8")
    again = plan_of(with_parts(text, plan.robot))
    now = {row.circuit: row for row in circuit_rows(again)}
    for row in circuit_rows(plan):
        same = now[row.circuit]
        assert (same.kind, same.load, same.source, same.slot) == (row.kind, row.load, row.source, row.slot)
        planned = again.circuit(row.circuit)
        assert planned is not None
        own_leads = all(wire.captive for wire in planned.wires)
        if (row in list(first_feeds(plan)) and not own_leads) or row.kind == "motor":
            assert (same.gauge, same.plus_colour, same.minus_colour) == (row.gauge, row.plus_colour, row.minus_colour)
            assert same.length_m == pytest.approx(row.length_m, abs=MM)
    assert now.keys() == {row.circuit for row in circuit_rows(plan)}


def with_parts(text: str, robot: Robot) -> str:
    """Name the part class of every entry, as somebody would who reads the type plates."""
    told: dict[str, dict[str, str]] = {"battery": {"plug": "plug/battery-quick-disconnect"}}
    for device in robot:
        key = "controller" if device.id != device.called else "motor" if device.mechanism else "part"
        told.setdefault(device.called, {})[key] = device.part.id
    lines, about = [], ""
    for line in text.splitlines():
        if found := re.fullmatch(r"\s*(?P<name>[\w+ ]+):", line):
            about = found["name"]
        key = line.strip().partition(":")[0]
        if ": unknown" in line and key in ("part", "motor", "controller", "plug"):
            line = f"{line.partition(':')[0]}: {told[about].get(key, 'built in')}"  # noqa: PLW2901  the line is edited
        lines.append(line)
    return "\n".join(lines).replace("Tern", robot.name) + "\n"


def test_what_of_a_list_has_no_key_stands_as_a_remark(tmp_path: Path) -> None:
    """Wire ids, ways, further coils and the length of the battery's path are not lost: each stands beside its thing."""
    plan = example_plan("tidepool")
    text = " ".join(
        re.sub(r"^\s*#", " ", (listed(tmp_path, plan) / "robot.yaml").read_text(), flags=re.MULTILINE).split()
    )
    for row in circuit_rows(plan):
        assert f"wires: {row.wires}" in text
        assert row.path == "-" or f"path: {row.path}" in text
        assert row.length in text or f"{read(row.length, Dimension.LENGTH):g} m" in text
    assert "the whole path from the battery to the block: protection [A]: 120 A" in text


def test_a_list_with_a_fault_writes_nothing(tmp_path: Path) -> None:
    """Neither the folder nor any file in it is made where a row can't be understood."""
    source = tmp_path / "ours.csv"
    source.write_text("name,length\nradio,far\nlift,near\n", encoding="utf-8")
    with pytest.raises(UnreadableInputError) as caught:
        new_from_list(tmp_path / "new", source)
    assert [fault.place.line for fault in caught.value.faults] == [2, 3]
    assert not (tmp_path / "new").exists()


def test_a_robot_file_that_is_there_is_left_alone_and_a_missing_list_is_told(tmp_path: Path) -> None:
    """A robot.yaml of the team is never written over, and a list that is not there is said to be missing."""
    mine = tmp_path / "robot.yaml"
    mine.write_text("robot: Mine\n", encoding="utf-8")
    source = tmp_path / "ours.csv"
    source.write_text("name\nradio\n", encoding="utf-8")
    with pytest.raises(UnreadableInputError, match="robot-file-there"):
        new_from_list(tmp_path, source)
    assert mine.read_text(encoding="utf-8") == "robot: Mine\n"
    with pytest.raises(UnreadableInputError, match="file-not-readable"):
        new_from_list(tmp_path / "new", tmp_path / "none.csv")


def test_own_parts_count_and_a_folder_without_a_name_for_a_robot_gets_one(tmp_path: Path) -> None:
    """A part of the team's own may stand in the list; a folder whose name is too long does not name the robot."""
    folder = tmp_path / ("x" * 61)
    (folder / "parts" / "camera").mkdir(parents=True)
    supply = "supply: {role: supply, ports: [plus, minus], held by: push clamp}"
    ours = f"title: Our eye\nsource: our own\nsockets: {{{supply}}}\n"
    (folder / "parts" / "camera" / "our-eye.yaml").write_text(ours, encoding="utf-8")
    source = tmp_path / "ours.csv"
    source.write_text("name,part\neye,camera/our-eye\n", encoding="utf-8")
    new_from_list(folder, source)
    robot, _ = open_folder(folder).read()
    assert robot.name == "My robot"
    assert robot.called("eye")[0].part.title == "Our eye"


def test_the_command_says_what_it_made_and_ends_with_two_where_it_made_nothing(tmp_path: Path) -> None:
    """`loomwright new DIR --from LIST` names the files and what to do next."""
    source = tmp_path / "ours.csv"
    source.write_text("name,slot\nradio,F2\n", encoding="utf-8")
    done = CliRunner().invoke(command, [str(tmp_path / "tern"), "--from", str(source), "--json"])
    assert done.exit_code == 0
    assert '"robot.yaml"' in done.output
    assert "radio:" in (tmp_path / "tern" / "robot.yaml").read_text(encoding="utf-8")
