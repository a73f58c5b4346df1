"""Whatever stands in robot.yaml: exit 2, plain words, nothing written, and an answer within a second or two."""

from __future__ import annotations

import time
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from loomwright.cli.main import main
from tests.journeys.program import content, loomwright
from tests.robotfile.robot_texts import WIRED

BOMB = "a: &a [x, x, x, x, x, x, x, x, x, x]\n" + "".join(
    f"{name}: &{name} [{', '.join([f'*{before}'] * 10)}]\n"
    for before, name in zip("abcdefghi", "bcdefghij", strict=True)
)
DEEP_BLOCK = "robot: T\nsensors:\n" + "".join(f"{' ' * (n + 1)}a:\n" for n in range(80)) + " " * 90 + "b\n"
BAD: dict[str, tuple[bytes, str]] = {
    "empty file": (b"", "robot.yaml:1:1  [empty-file] must"),
    "only comments": (b"# nothing\n\n  # here\n", "robot.yaml:1:1  [empty-file] must"),
    "only a byte order mark": (b"\xef\xbb\xbf", "robot.yaml:1:1  [empty-file] must"),
    "broken YAML": (b"robot: [T\nbattery: 3\n", "robot.yaml:1:8  [yaml-open-bracket] must"),
    "broken quote": (b'robot: "T\nbattery: 3\n', "robot.yaml:1:8  [yaml-open-quote] must"),
    "tab": (b"robot: T\nsensors:\n\ta: {}\n", "robot.yaml:3:1  [yaml-tab] must"),
    "duplicate key": (b"robot: T\nrobot: S\n", "robot.yaml:2:1  robot  [duplicate-key] must"),
    "duplicate id": (b"robot: T\nsensors:\n  a: {}\n  a: {}\n", "robot.yaml:4:3  sensors.a  [duplicate-key] must"),
    "a list": (b"- robot\n- T\n", "robot.yaml:1:1  [not-a-mapping] must"),
    "a word": (b"Tidepool\n", "robot.yaml:1:1  [not-a-mapping] must"),
    "two documents": (b"robot: T\n---\nrobot: S\n", "robot.yaml:2:1  [several-documents] must"),
    "not UTF-8": ("robot: Tümpel\n".encode("latin-1"), "robot.yaml:1:9  [not-utf-8] must"),
    "UTF-16": ("robot: T\n".encode("utf-16"), "robot.yaml:1:1  [not-utf-8] must"),
    "NUL": (b"robot: T\0\n", "robot.yaml:1:9  [nul-byte] must"),
    "control character": (b"robot: T\x07\n", "robot.yaml:1:9  [control-character] must"),
    "random bytes": (bytes(range(256)) * 8, "robot.yaml:"),
    "a picture": (b"\x89PNG\r\n\x1a\n" + bytes(500), "robot.yaml:1:1  [not-utf-8] must"),
    "over 1 MB": (b"robot: T\n" + b"# x\n" * 250_000, "robot.yaml:1:1  [file-too-large] must"),
    "one endless line": (b"robot: " + b"T" * 900_000 + b"\n", "robot.yaml:1:1  [line-too-long] must"),
    "too many values": (b"robot: T\nnotes:\n" + b"- a\n" * 60_000, "robot.yaml:"),
    "nested too deep": (b"robot: " + b"[" * 200 + b"]" * 200 + b"\n", "robot.yaml:1:71  [nesting-too-deep] must"),
    "mappings too deep": (
        b"robot: " + b"{a: " * 70 + b"1" + b"}" * 70 + b"\n",
        "robot.yaml:1:260  [nesting-too-deep] must",
    ),
    "blocks too deep": (DEEP_BLOCK.encode(), "robot.yaml:"),
    "alias bomb": (BOMB.encode(), "robot.yaml:"),
    "alias inside itself": (b"robot: T\nnotes: &a [*a]\n", "robot.yaml:2:12  notes[1]  [alias-loop] must"),
    "alias of nothing": (b"robot: *name\n", "robot.yaml:1:8  robot  [unknown-alias] must"),
    "tag": (b"robot: !!python/object/apply:os.system [ls]\n", "robot.yaml:1:8  robot  [tag] must"),
    "local tag": (b"robot: !name T\n", "robot.yaml:1:8  robot  [tag] must"),
    "merge key": (b"robot: T\nnotes: &a {b: c}\nremoved: {<<: *a}\n", "robot.yaml:3:11  removed.<<  [merge-key] must"),
    "unknown part": (b"robot: T\nbattery: {part: x/y}\n", "robot.yaml:2:17  battery.part  [unknown-part] must"),
    "part that is a path": (
        b"robot: T\nbattery: {part: ../../../etc/passwd}\n", "robot.yaml:2:17  battery.part  [unknown-part] must",
    ),
    "unknown key": (b"robot: T\ncolour: red\n", "robot.yaml:2:1  colour  [unknown-key] must"),
    "no unit": (b"robot: T\nsensors: {a: {length: 85}}\n", "robot.yaml:2:23  sensors.a.length  [bad-value] must"),
    "no number at all": (
        b"robot: T\nsensors: {a: {length: .inf}}\n",
        "robot.yaml:2:23  sensors.a.length  [bad-value] must",
    ),
    "huge exponent": (
        b"robot: T\nsensors: {a: {length: 1e999999999 m}}\n",
        "robot.yaml:2:23  sensors.a.length  [bad-value]",
    ),
    "huge number": (
        b"robot: T\nsensors: {a: {id: " + b"9" * 5000 + b"}}\n",
        "robot.yaml:2:19  sensors.a.id  [bad-value]",
    ),
    "dangling reference": (
        b"robot: T\nsensors: {a: {from: b}}\n",
        "robot.yaml:2:21  sensors.a.from  [unknown-id] must",
    ),
    "block fed from itself": (
        b"robot: T\nblocks: {a: {from: a}}\n", "robot.yaml:2:20  blocks.a.from  [fed-in-a-circle] must",
    ),
    "build that leaves the folder": (
        b"robot: T\nbuilds: {../../b: {note: x}}\n", "robot.yaml:2:10  builds  [bad-build-name] must",
    ),
    "slot out of range": (
        WIRED.encode() + b"sensors: {a: {slot: H99}}\n", "robot.yaml:11:21  sensors.a.slot  [no-such-slot] must",
    ),
}  # fmt: skip


@pytest.fixture(scope="module")
def planned(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Make a folder with a robot that was planned, whose papers must not be touched."""
    folder = tmp_path_factory.mktemp("planned")
    (folder / "robot.yaml").write_text(WIRED, encoding="utf-8")
    assert CliRunner().invoke(main, ["plan", str(folder)]).exit_code == 0
    assert (folder / "plan.yaml").is_file()
    return folder


def run(folder: Path, *words: str) -> Result:
    """Run a command as people do, and let no mistake of ours hide behind an exit code."""
    done = CliRunner().invoke(main, [words[0], str(folder), *words[1:]])
    assert done.exception is None or isinstance(done.exception, SystemExit), done.exc_info
    return done


@pytest.mark.parametrize("command", ["check", "plan"])
@pytest.mark.parametrize(("data", "told"), BAD.values(), ids=BAD.keys())
def test_bad_input_ends_in_plain_words_and_writes_nothing(planned: Path, data: bytes, told: str, command: str) -> None:
    """Exit 2, the fault at its character, not a byte of the old plan changed, and no long wait."""
    (planned / "robot.yaml").write_bytes(data)
    before = content(planned)
    started = time.monotonic()
    done = run(planned, command)
    assert time.monotonic() - started < 5
    assert content(planned) == before
    assert done.exit_code == 2, done.output
    assert done.stdout == ""
    assert done.stderr.startswith(told), done.stderr[:300]
    assert "Fix: " in done.stderr


def test_bad_input_in_a_process_of_its_own(planned: Path) -> None:
    """The same through a real process: nothing on stdout, no traceback, exit 2."""
    (planned / "robot.yaml").write_bytes(BAD["alias bomb"][0])
    before = content(planned)
    ended = loomwright("plan", str(planned))
    assert (ended.code, ended.out) == (2, "")
    assert content(planned) == before


def test_an_alias_bomb_is_refused_at_the_alias_that_goes_too_far(planned: Path) -> None:
    """Aliases are counted out in full and refused before they are, at the first that is too much."""
    (planned / "robot.yaml").write_bytes(BOMB.encode())
    assert run(planned, "check").stderr == (
        "robot.yaml:5:20  [too-many-values] must\n"
        "  Up to here this file holds more than 50000 values, each `*alias` counted in full.\n"
        "  Fix: Take repeated parts out; a description of one robot has a few thousand.\n"
    )


def test_an_alias_may_be_used_in_measure(planned: Path) -> None:
    """What is written once may stand twice; a fault in it is told once, where it stands."""
    text = "robot: T\nsensors:\n  a: &eye {part: sensor/limit-switch, length: 85}\n  b: *eye\n"
    (planned / "robot.yaml").write_text(text, encoding="utf-8")
    assert run(planned, "check").stderr == (
        "robot.yaml:3:47  sensors.a.length  [bad-value] must\n"
        "  `85` has no unit.\n"
        "  Fix: Write `85 cm`, `85 mm` or `85 in`.\n"
    )


@pytest.mark.parametrize("name", ["../../x", "a/b", "..", "practice"])
def test_a_build_that_is_not_there_writes_nothing(planned: Path, name: str) -> None:
    """Whatever stands behind --build, no path is made of it."""
    (planned / "robot.yaml").write_text(WIRED, encoding="utf-8")
    before = content(planned)
    done = run(planned, "plan", "--build", name)
    assert done.exit_code == 2
    assert "[unknown-build] must" in done.stderr
    assert content(planned) == before


def test_a_file_at_its_limits_is_still_answered(planned: Path) -> None:
    """A robot of a thousand sensors is answered in seconds, however little sense it makes."""
    things = "".join(f"  s{n}: {{part: sensor/limit-switch, port: digital 0, length: 30 cm}}\n" for n in range(1000))
    (planned / "robot.yaml").write_text(f"{WIRED}sensors:\n{things}", encoding="utf-8")
    started = time.monotonic()
    assert run(planned, "check").exit_code in (0, 1)
    assert time.monotonic() - started < 30


def test_thousands_of_faults_are_told_in_time(planned: Path) -> None:
    """A file in which everything is wrong is told line by line, once each."""
    things = "".join(f"  s{n}: {{lenght: 30, part: sensr/x}}\n" for n in range(2000))
    (planned / "robot.yaml").write_text(f"robot: T\nsensors:\n{things}", encoding="utf-8")
    started = time.monotonic()
    done = run(planned, "check")
    assert time.monotonic() - started < 30
    assert (done.exit_code, done.stderr.count("] must\n")) == (2, 4000)
