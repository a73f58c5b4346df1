"""Run the program in the tests' own process, which has everything loaded: where its answers matter, not its start."""

from __future__ import annotations

from click.testing import CliRunner

from loomwright.cli.main import main
from tests.journeys.program import Ended


def here(*words: str) -> Ended:
    """Run `loomwright WORDS` and return its exit code and what it wrote; a mistake of ours is raised."""
    done = CliRunner().invoke(main, list(words), env={"NO_COLOR": "1"})
    if done.exception is not None and not isinstance(done.exception, SystemExit):
        raise done.exception
    return Ended(done.exit_code, done.stdout, done.stderr)
