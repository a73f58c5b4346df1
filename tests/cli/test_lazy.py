"""The list of commands costs nothing, and a wrong word is answered with the right one."""

from __future__ import annotations

import pytest
from click.testing import CliRunner

from tests.cli.samples import TABLE, samples


def test_the_list_of_commands_is_written_without_importing_any_of_them() -> None:
    """One entry of the table points at a module that doesn't exist, and the list still comes."""
    shown = CliRunner().invoke(samples, ["--help"])
    assert shown.exit_code == 0
    listed = [line.split()[0] for line in shown.stdout.partition("Commands:\n")[2].splitlines()]
    assert listed == list(TABLE)
    assert "Its module must not be imported for the list." in shown.stdout


@pytest.mark.parametrize(
    ("word", "answer"),
    [
        ("interupted", "There is no command 'interupted'. Did you mean interrupted?"),
        ("qqqq", "There is no command 'qqqq'. There are: fine, unreadable, interrupted,"),
    ],
)
def test_a_wrong_word_is_answered_with_the_nearest_names(word: str, answer: str) -> None:
    """A word close to a command names it; a word close to none lists them all."""
    shown = CliRunner().invoke(samples, [word])
    assert shown.exit_code == 2
    assert answer in shown.stderr


def test_a_table_that_names_something_else_than_a_command_is_a_mistake_of_ours() -> None:
    """It is told by an exception, since no team can cause it."""
    with pytest.raises(TypeError, match=r"tests\.cli\.samples:FAULTS is no click command"):
        TABLE["odd"].load()
