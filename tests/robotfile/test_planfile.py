"""plan.yaml: what is written comes back, small changes make small diffs, and a spoilt file is refused."""

from __future__ import annotations

import difflib
from dataclasses import replace

import pytest
import yaml
from hypothesis import example, given, settings
from hypothesis import strategies as st

from loomwright.findings import Finding, UnreadableInputError
from loomwright.plan.memory import PLAN_FORMAT, KeptEnd, KeptWire
from loomwright.plan.remembering import remembered
from loomwright.plan.result import Plan
from loomwright.robotfile.plans.memory_reader import memory_of
from loomwright.robotfile.plans.planfile import read_memory, write_plan
from loomwright.units import Gauge
from tests.documents_plan.factories import branch, chain, nowhere, plan, reasoned, robot

NASTY = (
    *(
        "on",
        "No",
        "y",
        "null",
        "~",
        "010",
        "0x1F",
        "1_0",
        "12:30",
        "1e3",
        "1.5",
        ".inf",
        "2024-01-01",
        "=",
        "<<",
        "---",
    ),
    *(
        "a: b",
        "a #b",
        "#a",
        "- a",
        "?",
        "? a",
        "[a]",
        "{a: b}",
        "a, b",
        "a:",
        ":",
        "&a",
        "*a",
        "!a",
        "|",
        ">",
        "%a",
        "@a",
        "`a`",
    ),
    *(
        "",
        " ",
        " a ",
        "a  b",
        "'",
        '"',
        "\\",
        "\t",
        "\n",
        "a\nb",
        "\u00a0",
        "\u2028",
        "\ufeff",
        "\x85",
        "\x00",
        "\x7f",
        "é",
        "Ω",
    ),
    *("H7 (guessed)", "unknown", "left front (a)", "😀", "7", "-7", "+", "true", "12 AWG", "40 A"),
)


def named(name: str) -> Plan:
    """Make a plan in which everything that can carry a person's word carries this one."""
    held = branch(name, 1, slot=reasoned(name, name, name), source=name, protection=name)
    wires = (replace(held.wires[0], role=name, colour=name), *held.wires[1:])
    return plan((replace(held, wires=wires),), robot=robot(name=name, build=name), inputs=name, next_wire=3)


def fault_codes(text: str) -> list[str]:
    """Read a spoilt file and give the codes of its faults."""
    with pytest.raises(UnreadableInputError) as caught:
        read_memory(text.encode(), "plan.yaml")
    return [fault.code for fault in caught.value.faults]


def faults_of(data: bytes) -> tuple[Finding, ...]:
    """Read a file and give its faults, none for a good one."""
    try:
        read_memory(data, "plan.yaml")
    except UnreadableInputError as error:
        return error.faults
    return ()


def good(held: Plan | None = None) -> str:
    """Write a plan as text."""
    return write_plan(held or plan()).decode()


def test_the_memory_of_a_plan_comes_back() -> None:
    memory = read_memory(write_plan(plan()), "plan.yaml")
    assert memory == remembered(plan())
    assert memory.format == 2
    assert (memory.robot, memory.build) == ("Tidepool", "practice")
    assert (memory.revision, memory.inputs, memory.next_wire) == (plan().revision, "sha256 of the inputs", 9)
    assert memory.wires == {
        ("intake", "minus"): "W8",
        ("intake", "plus"): "W7",
        ("left front", "minus"): "W2",
        ("left front", "plus"): "W1",
        ("main chain", "left front to lift high"): "W5",
        ("right front", "minus"): "W4",
        ("right front", "plus"): "W3",
    }
    assert memory.slots == {"left front": "H3", "right front": "H10"}
    assert memory.sources == {"intake": "", "left front": "block", "main chain": "", "right front": "block"}
    assert memory.slot_reasons["left front"] == "the first heavy slot that is free"
    assert memory.gauges == {"intake": None, "left front": Gauge(12), "main chain": Gauge(22), "right front": Gauge(12)}
    assert memory.kept_wires["left front", "plus"] == KeptWire(
        "W1",
        Gauge(12),
        "RD",
        0.853,
        KeptEnd("block", "H3", "plus", "bare end"),
        KeptEnd("left front controller", "", "plus", "bare end"),
    )


def test_a_file_of_the_format_before_is_still_read() -> None:
    """It lacks devices, runs, cuts and proofs, and what its wires say is taken all the same."""
    text = good().replace("format: 2", "format: 1")
    old = text[: text.index("devices:")]
    assert read_memory(old.encode(), "plan.yaml") == replace(remembered(plan()), format=1, devices={})
    assert memory_of(old.encode(), file="plan.yaml") == replace(remembered(plan()), format=1, devices={})


def test_a_slot_is_remembered_only_where_it_was() -> None:
    memory = read_memory(write_plan(plan()), "plan.yaml")
    assert memory.slot_on("block", "left front") == "H3"
    assert memory.slot_on("sub-block", "left front") == ""
    assert memory.slot_on("block", "never heard of") == ""


def test_a_plan_without_circuits_comes_back() -> None:
    empty = replace(plan(), circuits=(), next_wire=1)
    assert read_memory(write_plan(empty), "plan.yaml").wires == {}


@pytest.mark.parametrize("name", NASTY)
def test_names_that_yaml_would_misread_come_back_as_they_are(name: str) -> None:
    memory = read_memory(write_plan(named(name)), "plan.yaml")
    assert (memory.robot, memory.build, memory.inputs) == (name, name, name)
    assert memory.slots == ({name: name} if name else {})
    assert memory.sources == {name: name}
    assert memory.wires == {(name, name): "W1", (name, "minus"): "W2"}


@settings(max_examples=150)
@given(st.text(st.characters(exclude_categories=["Cs"]), max_size=30))
@example("a" * 2_000)
def test_any_name_comes_back_as_it_is(name: str) -> None:
    memory = read_memory(write_plan(named(name)), "plan.yaml")
    assert memory.robot == name
    assert memory.wires == {(name, name): "W1", (name, "minus"): "W2"}


@pytest.mark.parametrize("name", NASTY)
def test_another_reader_of_yaml_finds_the_same_texts(name: str) -> None:
    """PyYAML with all its guesses at what a word could mean is the twin of our own reader of raw text."""
    held = yaml.safe_load(write_plan(named(name)))
    (circuit,) = held["circuits"]
    assert [held["robot"], circuit["circuit"], circuit["slot"]["value"], circuit["wires"][0]["role"]].count(name) >= 3
    assert circuit["protected by"] == name
    assert held["format"] == 2
    assert held["next wire"] == 3


def test_the_file_reads_as_a_person_would_write_it() -> None:
    text = good(plan((branch("left front", 1),)))
    assert text.startswith("# loomwright writes this file.")
    head = text[text.index("circuits:") : text.index("  - role: plus")]
    assert (
        head
        == """\
circuits:
- circuit: left front
  source: block
  slot:
    value: H3
    reason: the first heavy slot that is free
    origin: computed
  protected by: breaker/snap-action
  protection:
    value: 40 A
    reason: the largest that suits
    origin: catalogue
    source: common practice
  gauge:
    value: 12 AWG
    reason: the rule book wants it
    origin: computed
    source: gauge-40a
  length:
    value: 85.3 cm
    reason: along the trunk
    origin: computed
  wires:
  - role: minus
    id: W2
    gauge: 12 AWG
    colour: BK
    length: 85.3 cm
    A device: block
    A socket: H3
    A polarity: minus
    A terminal: bare end
    A strip: 12 mm
    A tool: wire stripper
    A insulation: none
    B device: left front controller
    B polarity: minus
    B terminal: bare end
    B strip: 12.7 mm
    B folded: fold back and twist
    B tool: wire stripper
    B insulation: none
"""
    )


def changed_lines(one: Plan, other: Plan) -> list[str]:
    """Give the lines that differ, with - and +."""
    lines = difflib.unified_diff(good(one).splitlines(), good(other).splitlines(), n=0, lineterm="")
    return [line for line in lines if line[0] in "+-" and line[:3] not in {"+++", "---"}]


def test_one_change_on_the_robot_is_one_changed_line() -> None:
    before = branch("left front", 1)
    after = replace(before, gauge=replace(before.gauge, value=Gauge(10)))
    both = [plan((chain(), one, nowhere("intake")), revision="r") for one in (before, after)]
    assert changed_lines(*both) == ["-    value: 12 AWG", "+    value: 10 AWG"]


def test_a_new_circuit_only_adds_lines() -> None:
    before = plan((chain(), branch("left front", 1)), revision="r")
    after = plan((branch("arm", 3), branch("left front", 1), chain()), revision="r")
    assert {line[0] for line in changed_lines(before, after)} == {"+"}


def test_the_same_plan_gives_the_same_bytes_in_any_order_of_circuits() -> None:
    assert good() == good(plan(tuple(reversed(plan().circuits))))


def test_a_reason_too_long_for_a_line_is_cut_so_that_the_file_can_be_read_again() -> None:
    text = good(plan((branch("a", 1, slot=reasoned("H1", "\u2028" * 50_000)),), next_wire=3))
    assert read_memory(text.encode(), "plan.yaml").slots == {"a": "H1"}


def test_a_newer_format_is_refused_whatever_else_is_in_it() -> None:
    with pytest.raises(UnreadableInputError) as caught:
        read_memory(b"format: 3\nwires: of another kind\n", "plan.practice.yaml")
    assert str(caught.value) == (
        "plan.practice.yaml:1:1  format  [plan-newer] must\n"
        "  This plan has format 3, and this program reads format 2 at most.\n"
        "  Fix: Use the newer loomwright that wrote it, or bring back the copy from before."
    )
    assert PLAN_FORMAT == 2


@pytest.mark.parametrize("written", ["", "format: one\n", "format: 0\n", "format: [1]\n", "format: -1\n"])
def test_a_file_without_a_format_is_no_plan(written: str) -> None:
    assert fault_codes(f"{written}robot: Tidepool\n") == ["plan-format"]


def test_broken_yaml_is_told_with_its_place() -> None:
    with pytest.raises(UnreadableInputError) as caught:
        read_memory(good().replace("circuits:", 'circuits: "', 1).encode(), "plan.yaml")
    assert caught.value.faults[0].place.line == good().splitlines().index("circuits:") + 1


def test_a_merge_that_git_left_open_is_told_as_that() -> None:
    text = good().replace("next wire: 9\n", "<<<<<<< ours\nnext wire: 9\n=======\nnext wire: 8\n>>>>>>> theirs\n")
    with pytest.raises(UnreadableInputError) as caught:
        read_memory(text.encode(), "plan.yaml")
    (fault,) = caught.value.faults
    assert (fault.code, str(fault.place)) == ("merge-conflict", "plan.yaml:8:1")
    assert fault_codes(text.replace("\n", "\r\n")) == ["merge-conflict"]


def test_one_id_on_two_wires_is_refused() -> None:
    with pytest.raises(UnreadableInputError) as caught:
        read_memory(good().replace("id: W4\n", "id: W1\n").encode(), "plan.yaml")
    (fault,) = caught.value.faults
    first = next(n for n, line in enumerate(good().splitlines(), 1) if line.strip() == "id: W1")
    assert fault.code == "wire-id-twice"
    assert (
        fault.what == f"The wire id `W1` is used twice; the first is in line {first}. Only the tool writes this file."
    )
    assert fault.place.thing == "circuits.right front.wires.minus"


def test_a_number_that_was_given_out_is_not_given_out_again() -> None:
    with pytest.raises(UnreadableInputError) as caught:
        read_memory(good().replace("next wire: 9", "next wire: 8").encode(), "plan.yaml")
    (fault,) = caught.value.faults
    assert (fault.code, fault.fix) == ("plan-next-wire", "Write `next wire: 9`: a wire's id is never used again.")
    assert fault.what == "The next wire would be number 8, and a wire has number 8 already."


def test_a_circuit_or_a_role_that_stands_twice_is_refused() -> None:
    assert fault_codes(good().replace("- circuit: right front", "- circuit: left front")) == ["plan-twice"] * 3
    assert fault_codes(good().replace("  - role: plus\n    id: W1\n", "  - role: minus\n    id: W1\n")) == [
        "plan-twice"
    ]


@pytest.mark.parametrize(
    ("line", "instead"),
    [
        ("robot: Tidepool\n", ""),
        ("build: practice\n", ""),
        (f'revision: "{plan().revision}"\n', ""),
        ("inputs: sha256 of the inputs\n", ""),
        ("next wire: 9\n", ""),
        ("next wire: 9\n", "next wire: many\n"),
        ("next wire: 9\n", "next wire: 0\n"),
        ("robot: Tidepool\n", "robot: [Tidepool]\n"),
        ("- circuit: intake\n", "- other: intake\n"),
        ('- circuit: intake\n  source: ""\n', "- circuit: intake\n"),
        ("    value: H3\n", ""),
        ("  - role: minus\n    id: W2\n", "  - id: W2\n"),
        ("    id: W2\n", ""),
        ("- circuit: intake\n", "- lone\n- circuit: intake\n"),
    ],
)
def test_a_line_that_is_missing_or_wrong_is_told(line: str, instead: str) -> None:
    assert good().count(line) >= 1
    assert fault_codes(good().replace(line, instead, 1)) == ["plan-broken"]


def test_a_slot_or_wires_of_another_form_are_told() -> None:
    text = "format: 1\nrobot: a\nbuild: b\nrevision: c\ninputs: d\nnext wire: 1\n"
    one = f"{text}circuits:\n- circuit: a\n  source: b\n"
    assert fault_codes(f"{text}circuits: none\n") == ["plan-broken"]
    assert fault_codes(f"{one}  gauge: {{value: unknown}}\n  slot: H1\n  wires: many\n") == ["plan-broken"] * 2
    assert fault_codes(one) == ["plan-broken"] * 3


def test_all_faults_are_told_at_once_in_the_order_of_the_file() -> None:
    text = (
        good()
        .replace("next wire: 9\n", "next wire: x\n")
        .replace("id: W4\n", "id: W1\n")
        .replace("robot: Tidepool\n", "")
    )
    assert fault_codes(text) == ["plan-broken", "plan-broken", "wire-id-twice"]


@settings(max_examples=60)
@given(st.data())
def test_a_file_cut_anywhere_never_breaks_the_program(data: st.DataObject) -> None:
    """It is refused, or what is left of it is taken for what it says."""
    whole = write_plan(plan())
    cut = data.draw(st.integers(0, len(whole)))
    for fault in faults_of(whole[:cut]):
        assert fault.place.file == "plan.yaml"
        assert fault.place.line
