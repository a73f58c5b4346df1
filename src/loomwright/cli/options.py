"""Options that every command shares: the folder in any of three ways, the build, JSON."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any, TypeVar

import click

F = TypeVar("F", bound=Callable[..., Any])


def folder_options(command: F) -> F:
    """Add DIR and -C DIR."""
    for wrap in (
        click.option("-C", "chdir", type=click.Path(path_type=Path), metavar="DIR", help="The same as DIR."),
        click.argument("folder", required=False, type=click.Path(path_type=Path), metavar="[DIR]"),
    ):
        command = wrap(command)
    return command


def build_option(command: F) -> F:
    """Add --build NAME."""
    words = "The build to work on, one of `builds:` in the file."
    return click.option("--build", default="", metavar="NAME", help=words)(command)


def json_option(command: F) -> F:
    """Add --json."""
    return click.option("--json", "as_json", is_flag=True, help="Write the result for a script.")(command)


def folder_of(folder: Path | None, chdir: Path | None, default: Path | None = None) -> Path:
    """Return the folder that was meant, the current one by default; both ways at once have to agree."""
    if folder is not None and chdir is not None and folder != chdir:
        raise click.UsageError(f"DIR says {folder} and -C says {chdir}. Name the folder once.")
    return folder or chdir or default or Path()
