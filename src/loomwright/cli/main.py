"""The front door of the command line: which commands there are, and how the program starts and ends."""

from __future__ import annotations

from typing import Final

import click

from loomwright.cli.endings import start
from loomwright.cli.lazy import Deferred, LazyGroup

# In the order of the job. A line here is all that `loomwright --help` needs, so that it starts in no time:
# the module is imported when its command is asked for, and not before.
COMMANDS: Final = {
    "demo": Deferred(
        "loomwright.cli.demo:command", "Make a complete robot folder, plan it, write its sheets, and show the result."
    ),
    "new": Deferred("loomwright.cli.new:command", "Make a folder with a robot.yaml of a dozen lines to start from."),
    "check": Deferred("loomwright.cli.check:command", "Read the robot file, derive its wiring, judge it."),
    "plan": Deferred(
        "loomwright.cli.plan:command", "Decide slots, routes, gauges, lengths and ends; write plan.yaml and out/."
    ),
    "packet": Deferred(
        "loomwright.cli.packet:command", "Print what people build from: pages, flags, drawings, into out/."
    ),
    "match": Deferred("loomwright.cli.match:command", "Play matches: odds of a brown-out, heat, and what helps most."),
    "bench": Deferred(
        "loomwright.cli.bench:command", "Make, sign, pull and prove: on this laptop, on phones, losing nothing."
    ),
    "rack": Deferred(
        "loomwright.cli.rack.group:command",
        "Batteries and chargers: readings, which is fit, which is next, who charges.",
    ),
    "hunt": Deferred(
        "loomwright.cli.hunt.command:command", "Find the fault: say what you see, get suspects and the next check."
    ),
    "change": Deferred("loomwright.cli.change:command", "Show what an edited robot file would undo and make."),
    "size": Deferred("loomwright.cli.size:command", "Find the gauge for one wire, and say why."),
    "schema": Deferred("loomwright.cli.schema:command", "Write the JSON Schema of the robot file, for editors."),
}


@click.group(
    cls=LazyGroup,
    deferred=COMMANDS,
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100},
    epilog="Exit code 0: nothing must be fixed. 1: something must be. 2: the input or the command can't be understood.",
)
@click.version_option(package_name="loomwright", prog_name="loomwright", message="%(prog)s %(version)s")
def main() -> None:
    """One robot file, and the 12 V wiring that follows from it."""


def run() -> None:
    """Start the program as a person does, and end it with the exit code of its command."""
    start(main, name="loomwright")
