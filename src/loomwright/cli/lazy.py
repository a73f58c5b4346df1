"""A group of commands that imports a command's module only when that command is asked for."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import click

from loomwright.cli.endings import plain_endings


@dataclass(frozen=True, slots=True)
class Deferred:
    """Where a command lives ("package.module:attribute") and its one line in the list of commands."""

    spot: str
    help: str

    def load(self) -> click.Command:
        """Import the module and hand out its command; raise TypeError if something else lies there."""
        import importlib  # noqa: PLC0415  only needed once a command runs

        module, _, attribute = self.spot.partition(":")
        command = getattr(importlib.import_module(module), attribute)
        if not isinstance(command, click.Command):
            raise TypeError(f"{self.spot} is no click command")
        return command


class LazyGroup(click.Group):
    """A click group over a table of deferred commands, which ends every command in a plain way."""

    def __init__(self, *args: Any, deferred: Mapping[str, Deferred], **kwargs: Any) -> None:  # noqa: ANN401  click's own
        super().__init__(*args, **kwargs)
        self.deferred = deferred

    def list_commands(self, ctx: click.Context) -> list[str]:  # noqa: ARG002  click's signature
        """Give the names in the order of the table."""
        return list(self.deferred)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:  # noqa: ARG002  click's signature
        """Load one command; None if there is none of that name."""
        entry = self.deferred.get(cmd_name)
        return entry.load() if entry else None

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:  # noqa: ARG002  click's
        """Write the list of commands from the table alone."""
        if self.deferred:
            with formatter.section("Commands"):
                formatter.write_dl([(name, entry.help) for name, entry in self.deferred.items()])

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """Find the command that the first word names; an unknown word is answered with the nearest names."""
        word = args[0]
        if word not in self.deferred and not word.startswith("-"):
            ctx.fail(f"There is no command {word!r}. {self._hint(word)}")
        return super().resolve_command(ctx, args)

    def invoke(self, ctx: click.Context) -> Any:  # noqa: ANN401  click's own
        """Run the command that was asked for."""
        with plain_endings():
            return super().invoke(ctx)

    def _hint(self, word: str) -> str:
        import difflib  # noqa: PLC0415  only needed for a word that is wrong

        near = difflib.get_close_matches(word, self.deferred, n=2)
        return f"Did you mean {' or '.join(near)}?" if near else f"There are: {', '.join(self.deferred)}."
