"""`loomwright size` as a person and a script call it."""

from __future__ import annotations

import json
from typing import Any

import pytest
from click.testing import CliRunner, Result

from loomwright.cli.size import command
from loomwright.sizing import Request, ampacity_bases, drop_bases, size
from loomwright.units.gauge import Gauge

BRANCH = ("--current", "40 A", "--one-way", "1.2 m")


def run(*words: str) -> Result:
    """Run the command."""
    return CliRunner().invoke(command, words)


def answer(*words: str) -> dict[str, Any]:
    """Run it for a script and read what came."""
    done = run(*words, "--json")
    assert done.exit_code in {0, 1}, done.output
    found = json.loads(done.stdout)
    assert isinstance(found, dict)
    return found


def test_the_answer_comes_first_and_the_caution_last() -> None:
    """The gauge, what it does, what the next thinner one breaks, the margins, and what comes before them all."""
    done = run(*BRANCH, "--protection", "40 A", "--bundle", "4")
    lines = done.stdout.splitlines()
    assert done.exit_code == 0
    assert lines[0] == "8 AWG (8.37 mm2)"
    assert lines[1] == "For 40 A over 2 x 1.2 m: drops 0.205 V (1.71 %), may carry 48 A for long, runs at 82 C."
    assert lines[2] == "10 AWG would break: ampacity."
    assert "drop        at most 0.36 V  0.205 V  1.76 x  10 AWG" in lines
    assert (
        "  cfr-183.425-table-5: 33 CFR 183.425, conductors: general; Table 5, allowable amperage of conductors" in lines
    )
    assert lines[-1].startswith("The season's rule book, local codes and licensed practice come first.")


def test_a_script_gets_what_the_engine_says() -> None:
    """The JSON is the engine's own answer, with the defaults that the help names."""
    expected = size(Request(current_a=40, one_way_m=1.2, allowed_drop_v=0.03 * 12))
    assert answer(*BRANCH) == expected.as_dict()
    given = answer(*BRANCH)
    promised = {"gauge_awg", "area_mm2", "resistance_ohm", "drop_v", "drop_pct", "ampacity_a", "basis", "decided_by"}
    assert promised | {"constraints"} <= set(given)
    assert given["gauge_awg"] == "10"
    assert given["basis"] == "cm-10.75"


def test_every_option_reaches_the_engine() -> None:
    """Each option changes the request in its own field."""
    words = (
        "--current 9A --circuit 24ft --supply 24V --drop 0.5V --ambient 122F --insulation 90C --bundle 6 --loading 60"
    )
    words += (
        " --protection 20A --hold 19A --curve blade-regular --fault 120A --basis copper --conductor-temperature 75C"
    )
    words += " --ampacity-basis nec-310.16 --thin-basis mil-w-5088 --stock 14,12,1/0"
    given = answer(*words.split())
    circuit_m, ohm_per_m = 24 * 0.3048, 1 / 58 / given["area_mm2"] * (1 + 0.00393 * 55)
    assert given["resistance_ohm"] == pytest.approx(circuit_m * ohm_per_m, rel=1e-4)
    assert given["drop_pct"] == pytest.approx(9 * circuit_m * ohm_per_m / 24 * 100, rel=1e-4)
    assert given["ampacity_a"] == pytest.approx(30 * (40 / 60) ** 0.5 * 0.8, rel=1e-4)
    assert {e["gauge_awg"] for e in given["exclusions"]} == {"14", "1/0"}
    names = [constraint["name"] for constraint in given["constraints"]]
    assert names == ["ampacity", "drop", "hold heat", "short circuit", "protection"]


@pytest.mark.parametrize(
    ("one_way", "circuit"), [("1.2 m", "2.4 m"), ("4 ft", "96 in"), ("120 cm", "2400 mm"), ("1.2m", "2.4m")]
)
def test_the_two_lengths_are_one_length(one_way: str, circuit: str) -> None:
    """A circuit is twice its one-way length."""
    assert answer("--current", "40 A", "--one-way", one_way) == answer("--current", "40 A", "--circuit", circuit)


def test_a_large_wire_is_named_as_people_name_it() -> None:
    """1/0, not 0."""
    given = answer("--current", "100 A", "--one-way", "10 ft", "--drop", "0.25 V")
    assert given["gauge_awg"] == "1/0"
    assert run("--current", "100 A", "--one-way", "10 ft", "--drop", "0.25 V").stdout.startswith("1/0 AWG (53.5 mm2)")


def test_no_gauge_ends_with_1() -> None:
    """Gauges that break the same are one line; a script gets null."""
    done = run("--current", "400 A", "--one-way", "30 m")
    assert done.exit_code == 1
    assert done.stdout.startswith("No stocked gauge fits 400 A over 2 x 30 m.\n4/0 AWG comes closest:\n")
    assert "  22 to 3/0 AWG break: ampacity, drop\n  4/0 AWG breaks: drop\n" in done.stdout
    assert answer("--current", "400 A", "--one-way", "30 m")["gauge_awg"] is None
    assert run("--current", "400 A", "--one-way", "30 m", "--json").exit_code == 1


def test_a_broken_constraint_is_marked_with_its_reason() -> None:
    """With and without a margin to show."""
    far = run("--current", "400 A", "--one-way", "30 m").stdout
    assert "drop        at most 0.36 V  4 V    0.09 x  broken  none\n" in far
    hot = run(*BRANCH, "--ambient", "110 C").stdout
    assert "ampacity    40 A                     broken   none\n" in hot
    assert "ampacity: the air is as hot as the insulation stands.\n" in hot


@pytest.mark.parametrize("words", [("--basis", "list"), ("--ampacity-basis", "list")])
def test_the_bases_are_listed_without_a_wire(words: tuple[str, str]) -> None:
    """Every basis with its title and source, for people and for scripts."""
    shown = run(*words)
    assert shown.exit_code == 0
    titles = {b.name: b.title for b in drop_bases().values()} | {b.name: b.title for b in ampacity_bases().values()}
    for name, title in titles.items():
        assert f"\n  {name}\n" in shown.stdout
        assert title in shown.stdout
    listed = answer(*words)
    assert [entry["basis"] for entry in listed["drop"]] == list(drop_bases())
    assert [entry["basis"] for entry in listed["ampacity"]] == list(ampacity_bases())


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ([], 'Say the current: --current "40 A".'),
        (["--current", "40 A"], "Say one of --one-way LENGTH (supply to load) and --circuit LENGTH"),
        ([*BRANCH, "--circuit", "2.4 m"], "Some published tables mean the one and some the other"),
        (["--current", "40", "--one-way", "1 m"], "`40` has no unit. Write `40 A` or `40 mA`."),
        (
            ["--current", "40", "A", "--one-way", "1m"],
            "`A` stands alone. Put an amount with a space in it between quotes",
        ),
        (["--current", "40 A", "--one-way", "3 kg"], "`3 kg` is a mass, and a length belongs here."),
        (["--current=-40A", "--one-way", "1m"], "`-40A` is below zero, and a current can't be."),
        (["--current", "0 A", "--one-way", "1m"], "`0 A` must be above zero."),
        (["--current", "1 MA", "--one-way", "1m"], "Invalid value for '--current'"),
        ([*BRANCH, "--drop", "3"], "`3` has no unit. Write `3 %`, or volts such as `0.6 V`."),
        ([*BRANCH, "--drop", "100 %"], "`100 %` would leave nothing of the 12 V supply."),
        ([*BRANCH, "--drop", "0 %"], "`0 %` must be above zero."),
        ([*BRANCH, "--bundle", "0"], "Invalid value for '--bundle'"),
        ([*BRANCH, "--bundle", "many"], "Invalid value for '--bundle'"),
        ([*BRANCH, "--loading", "120"], "`120` is more than all of the bundle's capacity"),
        ([*BRANCH, "--loading", "lots"], "Invalid value for '--loading'"),
        ([*BRANCH, "--stock", "12, 77"], "Write gauges such as `16, 14, 12` or `2, 1/0`."),
        ([*BRANCH, "--insulation", "100 C"], "it has 60 C, 75 C, 80 C, 90 C, 105 C, 125 C, 200 C."),
        ([*BRANCH, "--ampacity-basis", "mil-w-5088", "--bundle", "20"], "end at 19 wires, and this bundle has 20."),
        ([*BRANCH, "--basis", "guess"], "There is no drop basis `guess`. Take one of: cm-10.75, "),
        ([*BRANCH, "--conductor-temperature", "75 C"], "counts for --basis copper only"),
        (
            [*BRANCH, "--curve", "strip", "--fault", "400 A"],
            "judged from all three: --curve, --fault and --protection.",
        ),
        ([*BRANCH, "--gauge", "12"], "No such option"),
    ],
)
def test_what_is_not_understood_ends_with_2_and_says_why(words: list[str], said: str) -> None:
    """Nothing on stdout, a plain sentence on stderr."""
    done = run(*words)
    told = " ".join(done.stderr.split())
    assert done.exit_code == 2
    assert done.stdout == ""
    assert said in told


def test_the_help_names_the_default_stock() -> None:
    """Even gauges from 22 to 2, then 1/0 to 4/0; an odd one only where it is on hand."""
    shown = " ".join(run("--help").stdout.split())
    assert "22, 20, 18, 16, 14, 12, 10, 8, 6, 4, 2, 1/0, 2/0, 3/0, 4/0" in shown
    given = answer("--current", "130 A", "--one-way", "0.3 m", "--stock", "2, 1, 1/0", "--insulation", "60 C")
    assert given["gauge_awg"] == Gauge(2).label
