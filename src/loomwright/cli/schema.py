"""`loomwright schema`: the JSON Schema of robot.yaml, for editors."""

from __future__ import annotations

import click

from loomwright.cli.console import print_json


@click.command(name="schema")
@click.option("--json", "as_json", is_flag=True, help="The schema is JSON with or without it.")
def command(*, as_json: bool) -> None:  # noqa: ARG001  every command takes --json
    """Write the JSON Schema of the robot file, for editors."""
    from loomwright.robotfile.forms.schema import robot_schema  # noqa: PLC0415  pydantic is loaded for it

    print_json(robot_schema())
