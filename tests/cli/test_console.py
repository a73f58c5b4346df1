"""Findings look the same to a script and to a person, but for the colours."""

from __future__ import annotations

import io
import json
import re

import pytest

from loomwright.cli.console import coloured, count_line, print_findings, print_json, program
from loomwright.findings import Finding, Place, Severity

LONG = "The [bold]intake[/bold] motor has no place and no length, so its wire can't be cut to size. " * 4
FINDINGS = (
    Finding("spare", Severity.CONSIDER, Place(thing="block"), "Slot 3 is free.", "Nothing to do."),
    Finding("length-unknown", Severity.SHOULD, Place("robot.yaml", 41, 7, "intake"), LONG.strip(), "Write `85 cm`."),
    Finding("zero-limit", Severity.MUST, Place("robot.yaml", 9), "A limit of 0 A stops it.\n  Fix: no.", "Write 40 A."),
)


class Terminal(io.StringIO):
    """A stream that says it is a terminal."""

    def isatty(self) -> bool:
        """Say so."""
        return True


@pytest.fixture(autouse=True)
def _plain_surroundings(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("TERM", "xterm-256color")
    monkeypatch.setenv("COLUMNS", "60")
    for name in ("NO_COLOR", "FORCE_COLOR", "TTY_COMPATIBLE", "TTY_INTERACTIVE"):
        monkeypatch.delenv(name, raising=False)


def test_a_terminal_gets_the_same_words_broken_between_words() -> None:
    """A terminal 60 columns wide shows what a file gets; lines end between words and stay behind their indent."""
    plain, rich = io.StringIO(), Terminal()
    print_findings(FINDINGS, stream=plain)
    print_findings(FINDINGS, stream=rich)
    assert "\x1b[" in rich.getvalue()
    shown = re.sub(r"\x1b\[[0-9;]*m", "", rich.getvalue())
    assert shown.split() == plain.getvalue().split()
    lines = shown.splitlines()
    assert max(map(len, lines)) <= 60
    assert len(lines) > len(plain.getvalue().splitlines())
    assert "\n  Fix: Write `85 cm`." in shown


def test_a_pipe_gets_each_sentence_on_one_line() -> None:
    """What a script reads is never broken, however narrow the terminal is."""
    out = io.StringIO()
    print_findings(FINDINGS, stream=out)
    assert f"  {LONG.strip()}\n" in out.getvalue()


def test_the_gravest_finding_comes_first_and_the_last_line_counts() -> None:
    """A person reads from the top, or only the last line."""
    out = io.StringIO()
    print_findings(FINDINGS, stream=out)
    assert re.findall(r"\[([a-z-]+)\] (?:must|should|consider)", out.getvalue()) == [
        "zero-limit",
        "length-unknown",
        "spare",
    ]
    assert out.getvalue().splitlines()[-1] == "1 must be fixed, 1 should be looked at, 1 to consider."


def test_no_findings_are_told_as_such() -> None:
    """Silence would leave a person wondering."""
    assert count_line(()) == "Nothing to fix."


def test_gravity_has_its_own_colour_the_place_is_dim_and_the_way_out_is_green() -> None:
    """Red for what must be fixed; the place does not shout; the last "Fix:" is ours, an earlier one was quoted."""
    out = Terminal()
    print_findings(FINDINGS[2:], stream=out)
    lines = out.getvalue().splitlines()
    assert lines[0] == "\x1b[2mrobot.yaml:9\x1b[0m\x1b[1;31m  [zero-limit] must\x1b[0m"
    assert lines[2:4] == ["  Fix: no.", "  \x1b[32mFix:\x1b[0m Write 40 A."]


@pytest.mark.parametrize(("name", "value"), [("NO_COLOR", "1"), ("TERM", "dumb")])
def test_a_person_can_say_no_to_colours(monkeypatch: pytest.MonkeyPatch, name: str, value: str) -> None:
    """NO_COLOR and a terminal that can't show colours are both respected."""
    assert coloured(Terminal())
    monkeypatch.setenv(name, value)
    assert not coloured(Terminal())


def test_a_file_gets_no_colours() -> None:
    """Only a terminal does."""
    assert not coloured(io.StringIO())


def test_json_keeps_the_signs_that_people_wrote_and_refuses_what_is_no_json() -> None:
    """An ohm sign stays one; a NaN would not be readable elsewhere, so it is an error here."""
    out = io.StringIO()
    print_json({"what": "0.3 Ω"}, stream=out)
    assert out.getvalue() == '{\n  "what": "0.3 Ω"\n}\n'
    assert json.loads(out.getvalue()) == {"what": "0.3 Ω"}
    with pytest.raises(ValueError, match="Out of range float values"):
        print_json({"drop_v": float("nan")}, stream=out)


def test_hints_name_the_program_as_it_was_started(monkeypatch: pytest.MonkeyPatch) -> None:
    """Whoever typed `python3 loom.py demo` is told to type `python3 loom.py check`."""
    monkeypatch.delenv("LOOMWRIGHT_CALLED", raising=False)
    assert program() == "loomwright"
    monkeypatch.setenv("LOOMWRIGHT_CALLED", "python3 loom.py")
    assert program() == "python3 loom.py"
