"""What can be told in a word: each option with the check that it answers and the outcome that it tells."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any, Final, TypeVar

import click

F = TypeVar("F", bound=Callable[..., Any])


@dataclass(frozen=True, slots=True)
class Said:
    """One option: the kind of check that it answers, the outcome that it tells, what it names, its help."""

    option: str
    kind: str
    outcome: str
    names: str
    help: str

    @property
    def parameter(self) -> str:
        """The name under which click hands it over."""
        return f"said_{self.option.replace('-', '_')}"


#: Everything that somebody may have seen and that takes a name, in the order of the help.
SAID: Final = (
    Said("dark", "look", "dark", "DEVICE", "No light where one should be."),
    Said("lit", "look", "lit", "DEVICE", "Its light is as always."),
    Said("odd", "look", "odd", "DEVICE", "Another colour, or it blinks as it never did."),
    Said("flickers", "look", "flickers", "DEVICE", "Its light comes and goes."),
    Said("missing", "seen", "missing", "DEVICE", "The program's list of devices has not got it."),
    Said("seen", "seen", "seen", "DEVICE", "The program's list of devices has it."),
    Said("comes-and-goes", "seen", "comes and goes", "DEVICE", "It drops off that list and comes back."),
    Said("warm", "breaker", "warm", "CIRCUIT", "Its breaker is warm."),
    Said("open-breaker", "breaker", "open", "CIRCUIT", "Its breaker has opened."),
    Said("fuse", "fuse", "blown", "CIRCUIT", "Its fuse is blown."),
    Said("dead", "drove", "dead", "MOTOR", "In the match: it did not move."),
    Said("weak", "drove", "weak", "MOTOR", "In the match: it was weak or slow."),
    Said("backward", "drove", "backward", "MOTOR", "In the match: it ran backward."),
    Said("always", "drove", "always", "MOTOR", "In the match: it ran though nobody asked it to."),
    Said("ran", "drove", "as ever", "MOTOR", "In the match: it ran as ever."),
)
#: What stops a hunt: options and the words of records. Their place may be left out.
DANGERS: Final = MappingProxyType(
    {"smoke": "smoke", "hiss": "hiss", "swelling": "swelling", "heat": "heat", "burnt": "burnt smell"}
)
_STOP_UNREAD: Final = """\
STOP. Main breaker off. Unplug the battery, if that is safe. Stand clear, everybody. Fetch the mentor.
What you typed can't be read, so the danger is NOT written down. Type it alone: loomwright hunt --smoke PLACE"""
_SECTIONS: Final = (
    ("What you see", ("dark", "lit", "odd", "flickers", "missing", "seen", "comes-and-goes")),
    ("Of the match", ("dead", "weak", "backward", "always", "ran", "halt", "brown-out", "since")),
    ("Breakers and fuses", ("warm", "open-breaker", "fuse")),
    ("Danger, and after it", (*DANGERS, "cleared")),
    ("Answers to a check, as `hunt` asks for them", ("saw", "read", "wrong")),
    ("The repair, and the end", ("mended", "found", "no-fault", "give-up", "new")),
)


def said_options(command: F) -> F:
    """Add an option for everything that is told in a word."""
    for one in reversed(SAID):
        command = click.option(f"--{one.option}", one.parameter, multiple=True, metavar=one.names, help=one.help)(
            command
        )
    return command


def danger_options(command: F) -> F:
    """Add an option for each danger, with or without its place."""
    for option, words in reversed(tuple(DANGERS.items())):
        told = f"STOP: {words}. Where, if you know."
        command = click.option(
            f"--{option}", option, multiple=True, is_flag=False, flag_value="", metavar="[PLACE]", help=told
        )(command)
    return command


def said(told: Mapping[str, tuple[str, ...]]) -> tuple[tuple[Said, str], ...]:
    """Return what was told in a word, a name each; several names may stand in one option with commas between."""
    return tuple((one, name) for one in SAID for text in told[one.parameter] for name in parts(text))


def parts(text: str) -> tuple[str, ...]:
    """Return the names of a list with commas."""
    return tuple(name.strip() for name in text.split(",") if name.strip())


class Sections(click.Command):
    """A command whose help has its options under headings, and that knows names of several words."""

    def parse_args(self, ctx: click.Context, args: list[str]) -> list[str]:
        """Read what was typed; a word that belongs to no option is told as what it mostly is: a name without quotes."""
        ctx.allow_extra_args = True
        try:
            rest = super().parse_args(ctx, list(args))
        except click.UsageError:
            if any(one.partition("=")[0].lstrip("-") in DANGERS for one in args if one.startswith("--")):
                click.echo(_STOP_UNREAD, err=True)
            raise
        if ctx.args and not ctx.resilient_parsing:
            hint = 'A name of several words stands in quotes: --dark "lift left". Several names have commas between.'
            raise click.UsageError(f"Nobody knows what `{' '.join(ctx.args)}` belongs to. {hint}", ctx)
        return rest

    def format_options(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """Write the options, each under its heading; those that stand under none come last."""
        records = {
            str(one.opts[0]).lstrip("-"): record
            for one in self.get_params(ctx)
            if (record := one.get_help_record(ctx)) is not None
        }
        for title, names in _SECTIONS:
            with formatter.section(title):
                formatter.write_dl([records.pop(name) for name in names])
        with formatter.section("Options"):
            formatter.write_dl(list(records.values()))
