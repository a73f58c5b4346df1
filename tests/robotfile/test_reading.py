"""A whole file is read without loss, its faults are told all at once and in order, and it is never rewritten."""

from __future__ import annotations

import re
import shutil
from collections.abc import Iterator
from dataclasses import fields, is_dataclass
from enum import Enum
from importlib.resources import files
from pathlib import Path

import pytest
from click.testing import CliRunner

from loomwright.cli.main import main
from loomwright.findings import Severity
from loomwright.model.part import Part
from loomwright.robotfile.forms.leaves import Leaf, Raw, Row, leaves, plain
from loomwright.robotfile.marked.yaml_tree import read_tree
from tests.robotfile.robot_texts import told
from tests.robots import example_text, plan_of, robot_of

DOUBTFUL = (Path(__file__).parent / "doubtful.yaml").read_text(encoding="utf-8")
FILES = {
    "doubtful": DOUBTFUL,
    **{name: example_text(name) for name in ("tidepool", "breakwater", "rockpool", "starter")},
}
BUILDS = {name: robot_of(text).builds for name, text in FILES.items()}
_STATE = re.compile(r"\s*\((?:guessed|traced|fitted|planned)\)$")
# Said by what it turns into, and not in words: that nothing is decided, states, places of the plates.
_TURNED = {
    "ask",
    "guessed",
    "traced",
    "fitted",
    "planned",
    "unknown",
    "none found",
    "built in",
    "bus",
    "network",
    "none",
    "shortest",
}


def words_of(held: object) -> Iterator[str]:
    """Give every text that a robot holds, in names, notes, values and words as written."""
    if isinstance(held, Part):
        return
    if isinstance(held, str) and not isinstance(held, Enum):
        yield held
    elif is_dataclass(held):
        for field in fields(held):
            yield from words_of(getattr(held, field.name))
    elif hasattr(held, "items"):
        for key, value in held.items():
            yield str(key)
            yield from words_of(value)
    elif isinstance(held, (tuple, list)):
        for item in held:
            yield from words_of(item)


def pieces(told: str) -> Iterator[str]:
    """Give a text and, where it is a list or a mapping on one line, what stands in it."""
    yield " ".join(told.split())
    if told.startswith(("[", "{")):
        yield from (piece.strip() for piece in re.split(r"[\[\]{},]|: ", told))


def said(raw: Raw) -> Iterator[Leaf]:
    """Give every value of a file; the plates' lines and the trunks' flags are drawn, not kept as words."""
    for leaf in leaves(raw):
        if not leaf.path.startswith(("plate.", "plates.")) or leaf.path.endswith("note"):
            yield leaf


@pytest.mark.parametrize("name", FILES)
def test_nothing_that_a_file_says_is_lost(name: str) -> None:
    """Every value of the file stands in the robot of one of its builds, in the words that somebody wrote."""
    text = FILES[name]
    held = {word for build in ("", *BUILDS[name]) for told in words_of(robot_of(text, build)) for word in pieces(told)}
    lost = []
    for leaf in said(plain(read_tree(text.encode(), file="robot.yaml"))):
        word = leaf.text if leaf.quoted else _STATE.sub("", leaf.text)
        if " ".join(word.split()) not in held and word not in _TURNED and ".without" not in leaf.path:
            lost.append(f"{leaf.path}: {word}")
    assert lost == []


def test_losing_a_note_would_be_seen() -> None:
    """The test above has eyes: a word that no robot holds is found missing."""
    held = set(words_of(robot_of(DOUBTFUL)))
    assert "the file was never found" in held
    assert "the file was never" not in held


@pytest.mark.parametrize("build", ["", "practice", "parade"])
def test_a_file_full_of_doubt_raises_questions_and_no_alarm(build: str) -> None:
    """Partial, doubtful and contradictory facts of a real robot: nothing must be fixed, everything is asked."""
    findings = plan_of(DOUBTFUL, build).findings
    assert [f.as_text() for f in findings if f.severity is Severity.MUST] == []
    assert len(findings) > 25


def test_what_is_asked_about_a_file_full_of_doubt() -> None:
    """Each kind of doubt is asked about by its own code, and known things are not."""
    findings = plan_of(DOUBTFUL).findings
    assert {f.code for f in findings} >= {
        "battery-lock-nuts", "breaker-guarded", "chain-order", "claims-disagree", "convention-broken", "guessed",
        "half-known", "label-on-two-slots", "left-out", "length-unknown", "light-jumper", "limit-above-rating",
        "load-on-two-slots", "maybe-swapped", "none-found", "stale-remark", "unknown",
    }  # fmt: skip
    clash = [f for f in findings if "bus-id" in f.code]
    assert clash == [], "the heading sensor and the first motor may both be number 1"


def test_a_robot_full_of_doubt_has_twelve_motors_and_two_buses() -> None:
    """The file is as large as it says: twelve motor circuits, two buses, one of unknown order, and a network."""
    robot = robot_of(DOUBTFUL)
    assert len(robot.of_kind("motor")) == 12
    assert [(bus.kind, str(bus.order.saying)) for bus in robot.buses] == [
        ("bus", "value"), ("bus", "unknown"), ("network", "absent"),
    ]  # fmt: skip


def test_check_of_a_file_full_of_doubt_ends_well(tmp_path: Path) -> None:
    """Through the command line: exit 0, whatever the build."""
    (tmp_path / "robot.yaml").write_text(DOUBTFUL, encoding="utf-8")
    for words in ([], ["--build", "practice"], ["--build", "parade"]):
        done = CliRunner().invoke(main, ["check", str(tmp_path), *words])
        assert done.exit_code == 0, done.output


def test_all_faults_are_told_at_once_in_the_order_of_the_file() -> None:
    """Facts, keys, parts, references and builds: one reading finds them all."""
    text = (
        "robot: T\nbattery: {part: battery/no-such, slot: H1}\n"
        "mechanisms:\n"
        "  lift: {motor: motor/brushed-340w, controller: controller/inline-40a, length: 85, follows: lft}\n"
        "sensors: {eye: {lenght: 3 cm}, lift: {part: sensor/any}}\n"
        "data: {chain: [lift, nobody]}\n"
        "builds: {practice: {without: [noone]}, other/one: {}}\n"
    )
    expected = [
        ("unknown-part", "battery/no-such"),
        ("unknown-key", "slot"),
        ("bad-value", "85"),
        ("unknown-id", "lft"),
        ("unknown-key", "lenght"),
        ("id-used-twice", "lift"),
        ("unknown-id", "nobody"),
        ("unknown-id", "noone"),
        ("bad-build-name", "other/one"),
    ]
    heads = [line for line in told(text).splitlines() if not line.startswith(" ")]
    assert [re.findall(r"\[([a-z-]+)\] must$", head) for head in heads] == [[code] for code, _ in expected]
    for head, (_, written) in zip(heads, expected, strict=True):
        _, line, column = head.split("  ")[0].split(":")
        assert text.splitlines()[int(line) - 1][int(column) - 1 :].startswith(written)


def test_comments_and_order_survive_everything(tmp_path: Path) -> None:
    """The robot file is people's own: check, plan and plan again leave every byte of it alone."""
    shutil.copytree(Path(str(files("loomwright") / "data" / "examples" / "tidepool")), tmp_path, dirs_exist_ok=True)
    robot = tmp_path / "robot.yaml"
    before = robot.read_bytes()
    for words in (["check"], ["plan"], ["plan", "--build", "practice"], ["plan"], ["check", "--json"]):
        assert CliRunner().invoke(main, [*words[:1], str(tmp_path), *words[1:]]).exit_code == 0
    assert robot.read_bytes() == before


def test_ten_lines_already_give_something() -> None:
    """A battery, a block and three motors plan, with honest gaps and the line that would help most."""
    text = (
        "robot: Ten\nbattery: {part: battery/agm-12v-18ah}\nblocks:\n  block: {part: block/6-heavy-10-light-2-fused}\n"
        "mechanisms:\n  a: {motor: motor/brushless-500w, controller: controller/inline-40a}\n"
        "  b: {motor: motor/brushless-500w, controller: controller/inline-40a}\n"
        "  c: {motor: motor/brushed-340w, controller: controller/inline-40a}\n"
    )
    plan = plan_of(text)
    slots = {circuit.slot.value for circuit in plan.circuits if circuit.circuit.load.endswith(" controller")}
    assert slots == {"H1", "H2", "H3"}
    [asked] = [f for f in plan.findings if f.code == "length-unknown" and "a, b and c" in f.what]
    assert "12 AWG holds up to" in asked.what


def test_rows_and_leaves_know_their_way() -> None:
    """Items of a list are counted from one in what is told."""
    [row] = plain(read_tree(b"a: [x, [y]]\n", file="f")).values()  # type: ignore[union-attr]
    assert isinstance(row, Row)
    assert [leaf.path for leaf in leaves(row)] == ["a[1]", "a[2][1]"]
