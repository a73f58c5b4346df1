"""What is typed after `loomwright hunt`: names, numbers and answers that are taken or refused, and what is printed."""

from __future__ import annotations

import re
import shlex
import subprocess
import sys
from functools import lru_cache
from io import StringIO
from pathlib import Path

import click
import pytest
from click.testing import CliRunner

from loomwright.cli.hunt.answers import DANGERS, SAID
from loomwright.cli.hunt.asked import Asked
from loomwright.cli.hunt.command import asked_of, command
from loomwright.cli.hunt.keeping import Batch
from loomwright.cli.hunt.lines import Line, print_lines
from loomwright.cli.hunt.telling import Answer, answers, fill
from loomwright.cli.hunt.typed import Typed, quote
from loomwright.cli.main import main
from loomwright.hunting.robot.practice import check_kinds
from loomwright.hunting.robot.robot_hunt import RobotHunt, robot_hunt
from tests.robots import example_text, plan_of

PAGE = Path(__file__).resolve().parents[2] / "docs" / "hunt.md"


@lru_cache(maxsize=2)
def robot(name: str) -> RobotHunt:
    """Return the hunt on an example's first plan."""
    return robot_hunt(plan_of(example_text(name)))


def asked(*words: str) -> Asked:
    """Return what somebody typed, as the command reads it."""
    with command.make_context("hunt", list(words)) as context:
        read = dict(context.params)
    for name in ("folder", "build", "as_json", "log"):
        read.pop(name)
    return asked_of(Path(), "", read)


def refused(name: str, *words: str) -> str:
    """Return with which words something is refused for an example."""
    try:
        made = asked(*words)
        made.refuse_odd()
        fill(Batch(build="", who="x", now="2026-02-07T09:00:00Z", told=[]), made, robot(name), None, {})
    except click.UsageError as error:
        return error.message
    return ""


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("--dark", "radoi"), "Did you mean `radio`"),
        (("--dark", "left", "front"), "stands in quotes"),
        (("--dark", "compressor"), "no light of its own"),
        (("--dead", "left drive"), "left front and left rear"),
        (("--warm", "regulator"), "say --fuse where it is blown"),
        (("--read", "volts arm B=12.4"), "`12.4` has no unit"),
        (("--read", "volts arm B=12.4"), '--read "volts arm B=12.4V"'),
        (("--read", "volts arm B=12,4V"), "decimal sign is a point"),
        (("--read", "volts arm B=3ohm"), "is a resistance"),
        (("--read", "rest=open"), "only ohms can be open"),
        (("--read", "look radio=12V"), "no reading of a meter"),
        (("--read", "volts arm B"), "can't be read"),
        (("--saw", "tug W12 A=hold"), "Say one of `holds`, `moves` or `comes off`"),
        (("--saw", "tugg W12 A=holds"), "Did you mean `tug W12 A`"),
        (("--saw", "volts rodio B=low"), "There is no check `volts rodio B`"),
        (("--halt", "45"), "--halt 45s"),
        (("--since", "rain"), "hit, battery, work"),
        (("--mended", "W12 B"), "No hunt is open"),
        (("--found",), "No hunt is open"),
        (("--found", "--give-up"), "in one way"),
        (("--new", "again", "--mended", "W12 B"), "--new begins another hunt"),
        (("--wrong", "look radio"), "Give the right answer together with --wrong"),
        (("--wrong", "look radio", "--lit", "radio"), "Nobody has answered `look radio`"),
        (("--cleared", "--smoke"), "--cleared stands by itself"),
        (("--who", "somebody with a very long name"), "up to 24 characters"),
    ],
)
def test_what_does_not_fit_is_refused_with_how_to_say_it(words: tuple[str, ...], says: str) -> None:
    """Each in a sentence that a student can act on."""
    assert says in refused("tidepool", *words)


def test_names_mean_what_people_mean_by_them() -> None:
    """A mechanism of one motor, a name on a chain, another case, the circuit of a device, a fuse that "opened"."""
    held = robot("tidepool")
    for words, key, outcome in (
        (("--missing", "Intake"), "seen intake controller", "missing"),
        (("--dark", "lift"), "look lift motor controller", "dark"),
        (("--weak", "lift"), "drove lift motor", "weak"),
        (("--warm", "arm controller"), "breaker arm", "warm"),
        (("--open-breaker", "main breaker"), "breaker main", "open"),
        (("--warm", "main"), "breaker main", "warm"),
        (("--open-breaker", "regulator"), "fuse regulator", "blown"),
        (("--saw", "VOLTS arm controller b = None"), "volts arm B", "none"),
        (("--saw", "ohms W12=open"), "ohms W12", "open"),
        (("--read", "ohms W12=OL"), "ohms W12", "open"),
        (("--ran", "arm"), "drove arm", "as ever"),
        (("--no-brown-out",), "brown-out", "no"),
        (("--since", "Hit"), "since hit", "yes"),
    ):
        assert answers(asked(*words), held) == [Answer(key, outcome)], words


def test_how_long_the_robot_stood_still_tells_who_restarted() -> None:
    """Under 10 s, up to 40 s, a minute and more are four answers, in any unit of time."""
    lengths = {"none": "none", "9s": "short", "10s": "computer", "39 s": "computer", "45s": "long", "1min": "long"}
    for typed, outcome in {**lengths, "61s": "rest", "3 min": "rest"}.items():
        assert answers(asked("--halt", typed), robot("rockpool")) == [Answer("halt", outcome)], typed


def test_numbers_are_kept_with_their_unit() -> None:
    """In volts, ohms and amperes, whatever prefix was typed; below zero only where probes can be swapped."""
    held = robot("tidepool")
    for check, typed, value, unit in (
        ("volts arm B", "-12.1 V", -12.1, "V"),
        ("across arm", "2.2kohm", 2200.0, "ohm"),
        ("amps arm", "950mA", 0.95, "A"),
    ):
        assert answers(asked("--read", f"{check}={typed}"), held) == [Answer(check, "", value, unit)]


@pytest.mark.parametrize("name", ["tidepool", "rockpool"])
def test_what_is_told_to_be_typed_can_be_typed(name: str) -> None:
    """Every answer to every check of a robot, as it is printed, is read as that answer and no other."""
    held, typed = robot(name), Typed(Path("our bot"), "practice")
    for key, shown in held.checks.items():
        for outcome in check_kinds()[shown.kind].outcomes:
            words = shlex.split(typed.answer(shown, outcome))
            start = words.index("hunt") + 1
            assert words[-4:] == ["-C", "our bot", "--build", "practice"]
            made = asked(*words[start:-4])
            if made.dangers:
                assert made.dangers == (("burnt smell", shown.about),)
            else:
                assert answers(made, held) == [Answer(key, outcome)], words
        if shown.scale is not None:
            words = shlex.split(typed.reading(shown, shown.scale))
            (one,) = answers(asked(*words[words.index("hunt") + 1 : -4]), held)
            best = check_kinds()[shown.kind].outcomes[0]
            assert one.words == best or (one.value is not None and shown.scale.outcomes(one.value)[0][0] == best), words


class Terminal(StringIO):
    """A terminal that shows no colours."""

    def isatty(self) -> bool:
        """Say that a person reads here."""
        return True


def test_lines_fit_a_terminal_and_commands_stay_whole(monkeypatch: pytest.MonkeyPatch) -> None:
    """Words are broken at 80 columns under their own column; what is copied is never broken."""
    monkeypatch.setenv("COLUMNS", "80")
    monkeypatch.setenv("NO_COLOR", "1")
    out = Terminal()
    long = "  Do      " + "probe the plus of the block " * 6
    print_lines([Line(long, hang=10), Line(f"  {'x y ' * 30}", whole=True)], out)
    *broken, whole = out.getvalue().splitlines()
    assert max(map(len, broken)) <= 80
    assert all(line.startswith(" " * 10) for line in broken[1:])
    assert len(whole) > 80


def test_every_option_stands_under_a_heading_of_the_help() -> None:
    """Students find what they see, danger and the repair apart; nothing is listed twice."""
    help_text = CliRunner().invoke(main, ["hunt", "--help"]).stdout
    for option in [*(one.option for one in SAID), *DANGERS, "saw", "read", "wrong", "mended", "found", "new", "who"]:
        assert len(re.findall(rf"^  --{option}(?: [A-Z\[=\]]+)?(?:  |$)", help_text, re.MULTILINE)) == 1, option
    rest = set(re.findall(r"^  (?:-\w, )?--?([\w-]+)", help_text.partition("\nOptions:")[2], re.MULTILINE))
    assert rest == {"who", "log", "weak-points", "C", "build", "json", "help"}


def test_the_help_is_there_before_anything_heavy() -> None:
    """It must answer at once; a stopwatch would only measure the machine."""
    ask = "import sys, loomwright.cli.hunt.command; print(*sys.modules)"
    ended = subprocess.run([sys.executable, "-c", ask], capture_output=True, text=True, check=True, timeout=60)
    assert {"numpy", "yaml", "sqlite3", "rich", "pydantic"}.isdisjoint(ended.stdout.split())


def test_names_with_signs_of_a_shell_are_quoted() -> None:
    """A copied command means the same in the shell as on the screen."""
    for name in ("lift left", "a$b", 'the "old" one', "W12 B", "x`y`"):
        assert shlex.split(quote(name)) == [name]


def test_what_the_page_says_can_be_typed() -> None:
    """Every line of docs/hunt.md that begins with the command is read, up to the words beside it."""
    lines = re.findall(r"^    loomwright hunt (.+)$", PAGE.read_text(encoding="utf-8"), re.MULTILINE)
    for line in lines:
        asked(*shlex.split(re.split(r"  +", line)[0])).refuse_odd()
    assert len(lines) >= 12
