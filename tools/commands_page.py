"""Write docs/commands.md from the commands' own help: `python tools/commands_page.py`."""

from __future__ import annotations

from pathlib import Path

import click

from loomwright.cli.lazy import LazyGroup
from loomwright.cli.main import COMMANDS, main

PAGE = Path(__file__).resolve().parent.parent / "docs" / "commands.md"
_WIDTH = 100

HEAD = """\
# Commands

<!-- Made from the commands' own help by `python tools/commands_page.py`; a test holds them together. -->

Every command is `loomwright COMMAND`, or `python3 loom.py COMMAND` beside `loom.py`. Exit code 0: nothing must be
fixed. 1: something must be. 2: the input or the command can't be understood; then nothing is written. Results go to
stdout, faults and progress to stderr. With `--json` stdout is one JSON document with stable keys and no clock times;
nothing ever asks a question.

"""

#: The keys of each command's JSON; a test compares them with what the command writes.
JSON_KEYS = {
    "demo": (("", "as `check`, for the design itself"),),
    "new": (("folder", "the folder that was made"), ("written", "names of the files written in it")),
    "check": (("", "all keys of `out/plan.json`, see [outputs.md](outputs.md)"),),
    "plan": (("", "as `check`"),),
    "packet": (
        ("robot", "the robot's name"),
        ("build", "the build, empty for the design itself"),
        ("revision", "name of the decisions that are printed; empty where nothing is"),
        ("files", "every file of the packet, from the robot's folder"),
        ("written", "those that did not say yet what they should"),
        ("findings", "as in `out/plan.json`"),
    ),
    "match": (("", "the keys of `out/match.json` in [outputs.md](outputs.md)"),),
    "bench": (
        ("robot", "where it is served, once it answers: the robot's name"),
        ("build", "the build, empty for the robot as it is"),
        ("revision", "name of the decisions that are shown"),
        ("url", "where this laptop's browser finds it"),
        ("phone_url", "where phones find it; empty without `--share` or without a network"),
        ("join_url", "the same with the join code in it"),
        ("join_code", "lets in as student; empty without `--share`"),
        ("mentor_code", "lets in as mentor; empty without `--share`"),
        ("file", "with `--export`, `--import` or `--backup`: the file that was written or read"),
        ("records", "with `--export` or `--backup`: how many are in it"),
        ("added", "with `--import`: how many are new"),
        ("known", "with `--import`: how many were here already"),
        ("findings", "with these three: what opening the records had to tell"),
    ),
    "rack add": (
        ("label", "the label as it was typed"),
        ("kind", "battery or charger"),
        ("again", "whether it was there already and is described anew"),
    ),
    "rack reading": (
        ("label", "the battery; not with `--import`"),
        ("added", "how many events were written down"),
        ("known", "with `--import`: how many were here already"),
        ("rejected", "why each reading that counts for nothing does so; exit code 1 where there is one"),
    ),
    "rack move": (
        ("label", "the battery"),
        ("place", "where it is now"),
        ("charger", "which charger, empty elsewhere"),
    ),
    "rack release": (("label", "the battery"), ("released", "what had been seen on it")),
    "rack fit": (
        ("robot", "the robot whose records these are"),
        ("batteries", "each with verdict, reasons, what to ask next, and estimates: middle, and low to high with 90 %"),
        ("chargers", "each with its currents, verdict and reasons"),
        ("findings", "as in `out/plan.json`"),
    ),
    "rack next": (
        ("robot", "the robot whose records these are"),
        ("next", "every battery that could go in, the best first, with `ready` and why"),
        ("risk", "with `--risk`: brown-outs of so many matches with each of the best"),
    ),
    "rack charge": (
        ("robot", "the robot whose records these are"),
        ("put", "what goes on which charger now, at which current, and whether somebody has to watch"),
        ("leave", "what goes on none, and why"),
        ("cautions", "what is said before anybody touches a charger"),
    ),
    "rack day": (("", "the keys of `out/day.json` in [outputs.md](outputs.md)"),),
    "hunt": (("", "the keys under `hunt --json` in [outputs.md](outputs.md)"),),
    "change": (("", "the keys under `change --json` in [outputs.md](outputs.md)"),),
    "size": (
        ("gauge_awg", 'the answer as text ("12", "1/0"), null where no gauge satisfies everything'),
        ("shown_for_awg", "the gauge that the numbers speak of: the answer, or what comes nearest"),
        ("area_mm2", "copper section [mm2]"),
        ("resistance_ohm", "resistance out and back [ohm]"),
        ("drop_v", "voltage lost out and back [V]"),
        ("drop_pct", "the same as a share of the supply [%]"),
        ("ampacity_a", "what the wire may carry for ever [A], corrected for air and bundle"),
        ("conductor_temperature_c", "temperature of the copper at the load [°C]"),
        ("basis", "where the drop's numbers come from"),
        ("ampacity_basis", "where the ampacity comes from"),
        ("decided_by", "the limits that the next thinner gauge would break"),
        (
            "constraints",
            "each limit: name, ok, needs, reason, margin, limit, actual, unit, source, rests_on, smallest_awg",
        ),
        ("exclusions", "each gauge that does not do, with what it breaks and why"),
        ("reach", "the longest one-way length [m] that each gauge allows"),
        ("assumptions", "what the answer rests on, in sentences"),
        ("sources", "keys of docs/sources.toml"),
    ),
    "schema": (("", "the JSON Schema of robot.yaml, draft 2020-12"),),
}


def page() -> str:
    """Return the whole page."""
    return HEAD + "\n".join(_section(name) for name in names())


def names() -> list[str]:
    """Return every command, and after one that has verbs each of these: "rack", "rack add"."""
    found: list[str] = []
    for name, entry in COMMANDS.items():
        command = entry.load()
        found.append(name)
        found += [f"{name} {verb}" for verb in command.deferred] if isinstance(command, LazyGroup) else []
    return found


def help_text(name: str) -> str:
    """Return what `loomwright NAME --help` prints, whatever the terminal's width."""
    first, _, verb = name.partition(" ")
    command = COMMANDS[first].load()
    parent = click.Context(main, info_name="loomwright", help_option_names=main.context_settings["help_option_names"])
    if verb and isinstance(command, LazyGroup):
        parent = click.Context(command, info_name=first, parent=parent)
        command, name = command.deferred[verb].load(), verb
    context = click.Context(command, info_name=name, parent=parent, terminal_width=_WIDTH, max_content_width=_WIDTH)
    # click remembers a command's help option from its first use; one that ran by itself before has no `-h`.
    command._help_option = None  # noqa: SLF001  it has no other way to forget it
    return command.get_help(context)


def _section(name: str) -> str:
    if name not in JSON_KEYS:  # a command that only has verbs
        return f"## {name}\n\n```text\n{help_text(name)}\n```\n"
    keys = [f"| `{key}` | {words} |" if key else f"| {words} | |" for key, words in JSON_KEYS[name]]
    table = "\n".join(["| `--json` gives | |", "|---|---|", *keys])
    return f"## {name}\n\n```text\n{help_text(name)}\n```\n\n{table}\n"


if __name__ == "__main__":
    PAGE.write_text(page(), encoding="utf-8")
