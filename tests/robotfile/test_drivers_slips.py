"""Slips in drivers.yaml: where, what, and how to write it; all of one file together."""

from __future__ import annotations

import pytest

from loomwright.findings import UnreadableInputError
from loomwright.robotfile.drivers.driver_file import read_drivers

STEP = "cycles: {c: [{s: {%s}}]}\ndrivers: {a: {phases: {p: {from: 0, to: 60 s, does: c}}}}\n"
PHASES = "drivers: {a: {phases: {%s}}}\ncycles: {c: [{s: {lasts: 1 s}}], d: [{s: {lasts: 1 s}}]}\n"
_PHASES = "Write `phases: {driven: {from: 0 s, to: 150 s, does: [score]}}`."
_CYCLES = "Write `cycles: {score: [{sprint: {lasts: 2 s, drive: 100 %}}]}`."
_STEP = "Write `- sprint: {lasts: [1 s, 2 s], drive: 100 %}`."
_NO_STEPS = "A cycle is a list of steps, one after the other."
_LONG = "Write 600 s at most, and look at the unit: `s` or `min`."
_TEXT = "This text has 500 characters."


def told(text: str) -> str:
    """Return everything that is said of a file that can't be read."""
    with pytest.raises(UnreadableInputError) as caught:
        read_drivers(text.encode())
    return str(caught.value)


@pytest.mark.parametrize(
    ("written", "head", "what", "fix"),
    [
        ("lasts: 2", "26  cycles.c[1].s.lasts  [bad-value]", "`2` has no unit.", "Write `2 s`, `2 ms` or `2 min`."),
        ("lasts: 0 s", "26  cycles.c[1].s.lasts  [step-too-short]", "This step may take no time.",
         "Write 20 ms or more, or take the step out."),
        ("lasts: [0, 2 s]", "26  cycles.c[1].s.lasts  [step-too-short]", "This step may take no time.",
         "Write 20 ms or more, or take the step out."),
        ("lasts: 19 ms", "26  cycles.c[1].s.lasts  [step-too-short]", "This step may take 19 ms only.",
         "Write 20 ms or more, or take the step out."),
        ("lasts: -2 s", "26  cycles.c[1].s.lasts  [bad-value]", "`-2 s` is below zero, and a time can't be.",
         "Write `2 s`."),
        ("lasts: [3 s, 2 s]", "26  cycles.c[1].s.lasts  [bad-value]",
         "This range runs backwards: its first end is the larger one.", "Write `[2 s, 3 s]`."),
        ("lasts: [1 s]", "26  cycles.c[1].s.lasts  [bad-range]", "A range has two ends: the least and the most.",
         "Write `[1.5 s, 3 s]`."),
        ("lasts: [1 s, [2 s]]", "26  cycles.c[1].s.lasts  [bad-range]", "A range has two ends: the least and the most.",
         "Write `[1.5 s, 3 s]`."),
        ("lasts: 1-2 s", "26  cycles.c[1].s.lasts  [bad-value]",
         "`1-2 s` looks like a range; a dash could also be a minus sign.", "Write `1 s to 2 s`."),
        ("lasts: 11 min", "26  cycles.c[1].s.lasts  [match-too-long]", "No match takes 660 s.", _LONG),
        ("drive: 10 %", "18  cycles.c[1].s  [missing-key]", "The step `s` does not say how long it lasts.",
         "Write `lasts: 2 s`, or `lasts: [1.5 s, 3 s]`."),
        ("lasts: 2 s, drive: 0.8", "38  cycles.c[1].s.drive  [bad-value]", "`0.8` has no unit.", "Write `80 %`."),
        ("lasts: 2 s, drive: 101 %", "38  cycles.c[1].s.drive  [bad-value]",
         "A goal is a share of all there is, from -100 % to 100 %.", "Write `100 %` instead of `101 %`."),
        ("lasts: 2 s, drive: [-101 %, 0]", "38  cycles.c[1].s.drive  [bad-value]",
         "A goal is a share of all there is, from -100 % to 100 %.", "Write `-100 %` instead of `-101 %`."),
        ("lasts: 2 s, turn: 101 %", "37  cycles.c[1].s.turn  [bad-value]",
         "A turn is a share of full voltage, from -100 % to 100 %.", "Write `100 %` instead of `101 %`."),
        ("lasts: 2 s, lift: -1 %", "37  cycles.c[1].s.lift  [bad-value]",
         "The lift is told a share of its way, from 0 % to 100 %.", "Write `0 %` instead of `-1 %`."),
        ("lasts: 2 s, flywheel: -1 %", "41  cycles.c[1].s.flywheel  [bad-value]",
         "The flywheel is told a share of its full speed, from 0 % to 100 %.", "Write `0 %` instead of `-1 %`."),
        ("lasts: 2 s, arm: off", "36  cycles.c[1].s.arm  [off-is-no-place]",
         "`off` is no place that the arm could go to.",
         "Write `0 %` to send it back to where it began, or leave it out: then it stays where it is."),
        ("lasts: 2 s, climber: -1 %", "40  cycles.c[1].s.climber  [bad-value]",
         "The climber is told a share of its way, from 0 % to 100 %.", "Write `0 %` instead of `-1 %`."),
        ("lasts: 2 s, drive: 2 %, drive side: 2 %", "43  cycles.c[1].s.drive side  [asked-twice]",
         "This step asks twice of the drive: `drive side` is played as `drive`, too.",
         "Write one of them, as `drive: ...`."),
        ("lasts: 2 s, drive: 2 m", "38  cycles.c[1].s.drive  [bad-value]",
         "`2 m` is a length, and a percentage belongs here.", "Write `2 %`."),
        ("lasts: 2 s, roller: {load: 10 %}", "39  cycles.c[1].s.roller  [missing-key]",
         "`roller` is not told what to do.", "Write `goal: 80 %`."),
        ("lasts: 2 s, roller: {goal: 10 %, lod: 10 %}", "52  cycles.c[1].s.roller.lod  [unknown-key]",
         "`lod` is no key of a wish.", "Did you mean `load`? There are goal and load."),
        ("lasts: 2 s, roller: {goal: 10 %, load: -1 %}", "58  cycles.c[1].s.roller.load  [bad-value]",
         "This is a share of what there is to do, from 0 % to 100 %.", "Write `0 %` instead of `-1 %`."),
        ("lasts: 2 s, shot: 2", "31  cycles.c[1].s.shot  [unknown-key]",
         "`shot` is no key of a step, and what stands here is no percentage to ask of a mechanism.",
         "Did you mean `shots`?"),
        ("lasts: 2 s, shots: [2]", "38  cycles.c[1].s.shots  [bad-form]",
         "One value belongs here, and here stand a list.", "Write one value."),
        ("lasts: 2 s, shots: 101", "38  cycles.c[1].s.shots  [bad-value]",
         "101 in one step is more than any robot does.", "Write 100 or less."),
        ("lasts: 2 s, air: 1.5 strokes", "36  cycles.c[1].s.air  [bad-value]", "`1.5` is not a whole number.",
         "Write a whole number, such as `4`."),
        (f"lasts: 2 s, {'x' * 200}: 1 %", f"31  cycles.c[1].s.{'x' * 46}  [bad-name]",
         "This name has 200 characters, and a drawing has room for 60.", "Write it short, with single spaces."),
    ],
)  # fmt: skip
def test_each_slip_of_a_step(written: str, head: str, what: str, fix: str) -> None:
    """One slip, one fault, at its character."""
    assert told(STEP % written) == f"drivers.yaml:1:{head} must\n  {what}\n  Fix: {fix}"


@pytest.mark.parametrize(
    ("written", "head", "what", "fix"),
    [
        ("p: {from: 0 s, to: 9 s, does: e}", "54  drivers.a.phases.p.does  [unknown-cycle]", "There is no cycle `e`.",
         "There are c and d."),
        ("p: {from: 0 s, to: 9 s, does: {cc: 1}}", "55  drivers.a.phases.p.does.cc  [unknown-cycle]",
         "There is no cycle `cc`.", "Did you mean `c`? There are c and d."),
        ("p: {from: 0 s, to: 9 s, does: [c, d, c]}", "61  drivers.a.phases.p.does[3]  [cycle-twice]",
         "`c` stands twice in this list.", "Give it a weight: `does: {c: 2}`."),
        ("p: {from: 0 s, to: 9 s, does: [[c]]}", "55  drivers.a.phases.p.does[1]  [bad-form]",
         "The name of a cycle belongs here.", "Write `does: [score, defend]`."),
        ("p: {from: 0 s, to: 9 s, does: {c: 0, d: 0}}", "54  drivers.a.phases.p.does  [no-weight]",
         "Every cycle of this phase has the weight 0, so there is nothing to do in it.",
         "Give one a weight, or leave `does` out."),
        ("p: {from: 0 s, to: 9 s, does: {c: -1}}", "58  drivers.a.phases.p.does.c  [bad-value]",
         "`-1` is below zero, and a plain number can't be.", "Write `1`."),
        ("p: {from: 9 s, to: 8 s}", "43  drivers.a.phases.p.to  [phase-backward]",
         "The phase `p` runs backward: it goes from 9 s to 8 s.", "Let it end later than it begins."),
        ("p: {from: 9 s, to: 9 s}", "43  drivers.a.phases.p.to  [phase-backward]",
         "The phase `p` takes no time: it goes from 9 s to 9 s.", "Let it end later than it begins."),
        ("p: {from: 9 s}", "27  drivers.a.phases.p  [missing-key]", "The phase `p` does not say when it ends.",
         "Write `to: ...`, counted from the start of the match."),
        ("p: {to: 9 s}", "27  drivers.a.phases.p  [missing-key]", "The phase `p` does not say when it begins.",
         "Write `from: ...`, counted from the start of the match."),
        ("p: {from: -1 s, to: 9 s}", "34  drivers.a.phases.p.from  [bad-value]",
         "`-1 s` is below zero, and a time can't be.", "Write `1 s`."),
        ("p: {from: 0, to: 601 s}", "41  drivers.a.phases.p.to  [match-too-long]", "No match takes 601 s.", _LONG),
        ("p: {from: 0, to: 9 s, dose: c}", "46  drivers.a.phases.p.dose  [unknown-key]",
         "`dose` is no key of the phase `p`.", "Did you mean `does`? There are from, to and does."),
        ("q: {from: 8 s, to: 9 s}, p: {from: 0, to: 8.5 s}", "34  drivers.a.phases.q.from  [phases-overlap]",
         "`q` begins at 8 s, before `p` ends at 8.5 s.", "Write `from: 8.5 s` here, or `to: 8 s` there."),
        ("a: {from: 0, to: 9 s}, b: {from: 1 s, to: 1 s}", "66  drivers.a.phases.b.to  [phase-backward]",
         "The phase `b` takes no time: it goes from 1 s to 1 s.", "Let it end later than it begins."),
        ("", "23  drivers.a.phases  [bad-form]", "Phases are written by name.", _PHASES),
        ("p: 3 s", "27  drivers.a.phases.p  [bad-form]", "The phase `p` has keys and values.", "Write `{from: ...}`."),
    ],
)  # fmt: skip
def test_each_slip_of_a_phase(written: str, head: str, what: str, fix: str) -> None:
    """One slip, one fault, at its character."""
    assert told(PHASES % written) == f"drivers.yaml:1:{head} must\n  {what}\n  Fix: {fix}"


def test_a_long_phase_overlaps_every_one_in_it() -> None:
    """Not only the next one."""
    said = told(PHASES % "a: {from: 0, to: 9 s}, b: {from: 1 s, to: 2 s}, c: {from: 3 s, to: 4 s}")
    assert said.count("[phases-overlap]") == 2
    assert "`c` begins at 3 s, before `a` ends at 9 s." in said


@pytest.mark.parametrize(
    ("text", "head", "what", "fix"),
    [
        ("drivers: {calm: {weight: 0}, hard: {weight: 0}}", "1:1  drivers  [no-weight]",
         "Every driver has the weight 0, so nobody drives.", "Give one of them a weight, such as `weight: 1`."),
        ("drivers: {hrd: {weight: 1}}", "1:16  drivers.hrd  [missing-key]", "The driver `hrd` has no phases.",
         f"Did you mean `hard`? Only calm, hard and usual come with the tool. {_PHASES}"),
        ("drivers: {calm: {note: " + "n" * 500 + "}}", "1:24  drivers.calm.note  [too-long]", _TEXT,
         "Use at most 400."),
        ("drivers: {calm: {wieght: 1}}", "1:18  drivers.calm.wieght  [unknown-key]",
         "`wieght` is no key of the driver `calm`.",
         "Did you mean `weight`? There are weight, note, source and phases."),
        ("drivers: {calm: {weight: 1}}\ncycels: {c: 1}", "2:1  cycels  [unknown-key]",
         "`cycels` is no key of a file of drivers.", "Did you mean `cycles`? There are drivers and cycles."),
        ("drivers: {a: {phases: {p: {from: 0, to: 1 s}}}}", "1:1  [missing-key]",
         "This file has no cycles, so there is nothing to drive.", _CYCLES),
        ("drivers: {calm: {weight: 1}}\ncycles: {}", "2:1  cycles  [missing-key]",
         "This file has no cycles, so there is nothing to drive.", _CYCLES),
        ("cycles: {c: [{s: {lasts: 1 s}}]}", "1:1  [missing-key]", "This file has no drivers.",
         "Write `drivers: {ours: {phases: ...}}`; docs/drivers.md shows a whole file."),
        ("drivers: {calm: {weight: 1}}\ncycles: {c: []}", "2:13  cycles.c  [bad-form]", _NO_STEPS, _STEP),
        ("drivers: {calm: {weight: 1}}\ncycles: {c: {s: {lasts: 1 s}}}", "2:13  cycles.c  [bad-form]",
         _NO_STEPS, _STEP),
        ("drivers: {calm: {weight: 1}}\ncycles: {c: [s]}", "2:14  cycles.c[1]  [bad-form]",
         "A step is one name with what is done.", _STEP),
        ("drivers: {calm: {weight: 1}}\ncycles: {c: [{s: 2 s}]}", "2:18  cycles.c[1].s  [bad-form]",
         "The step `s` has keys and values.", _STEP),
        ("drivers: {calm: {weight: 1}}\ncycles:\n  c:\n    - s: {lasts: 1 s}\n      t: {lasts: 1 s}",
         "4:7  cycles.c[1]  [bad-form]", "A step is one name with what is done, and here stand several.", _STEP),
        ("drivers: {" + "d" * 200 + ": {phases: {p: {from: 0, to: 1 s, does: c}}}}\ncycles: {c: [{s: {lasts: 1 s}}]}",
         f"1:11  drivers.{'d' * 52}  [bad-name]", "This name has 200 characters, and a drawing has room for 60.",
         "Write it short, with single spaces."),
    ],
)  # fmt: skip
def test_each_slip_of_the_file(text: str, head: str, what: str, fix: str) -> None:
    """One slip, one fault, at its character."""
    assert told(text + "\n") == f"drivers.yaml:{head} must\n  {what}\n  Fix: {fix}"


@pytest.mark.parametrize(
    ("written", "head"),
    [
        ("lasts: 2 s, lasts: 3 s", "31  cycles.c[1].s.lasts  [duplicate-key]"),
        ("lasts: 2 s, drive: {goal: 1 %, goal: 1 %}", "50  cycles.c[1].s.drive.goal  [duplicate-key]"),
    ],
)
def test_keys_that_stand_twice(written: str, head: str) -> None:
    """Nobody could tell which of the two drives."""
    assert told(STEP % written).startswith(f"drivers.yaml:1:{head} must")


@pytest.mark.parametrize("text", ["", "# nothing\n", "drivers:\n"])
def test_a_file_with_nothing_in_it(text: str) -> None:
    """Told, not taken for the shipped drivers."""
    assert told(text).startswith(
        ("drivers.yaml:1:1  [empty-file] must", "drivers.yaml:1:1  drivers  [empty-value] must")
    )


def test_all_slips_of_a_file_are_told_together_in_its_order() -> None:
    """Driver, phase, cycle and step: a slip in one hides none in another."""
    said = told(
        "cycles:\n"
        "  c: [{s: {lasts: 0 s, drive: 200 %, air: x, turn: 3}}, {t: {lift: off}}]\n"
        "  d: 3\n"
        "drivers:\n"
        "  b: {weight: x, phases: {p: {from: 5 s, to: 3 s, does: e}, q: {from: x, to: y}}}\n"
        "  a: {phases: {p: {from: 0, to: 9 s, does: d}, q: {from: 5 s, to: 10 s}}, colour: red}\n"
        "more: 1\n"
    )
    heads = [line.split() for line in said.splitlines() if not line.startswith(" ")]
    assert [(head[0].removeprefix("drivers.yaml:"), head[2]) for head in heads] == [
        ("2:19", "[step-too-short]"),
        ("2:31", "[bad-value]"),
        ("2:43", "[bad-value]"),
        ("2:52", "[bad-value]"),
        ("2:61", "[missing-key]"),
        ("2:68", "[off-is-no-place]"),
        ("3:6", "[bad-form]"),
        ("5:15", "[bad-value]"),
        ("5:46", "[phase-backward]"),
        ("5:57", "[unknown-cycle]"),
        ("5:71", "[bad-value]"),
        ("5:78", "[bad-value]"),
        ("6:58", "[phases-overlap]"),
        ("6:75", "[unknown-key]"),
        ("7:1", "[unknown-key]"),
    ]
