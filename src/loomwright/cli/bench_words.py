"""What the bench says on the laptop's terminal when it is served: where it is, how phones join, what a mentor needs."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any, TextIO

from loomwright.cli.console import for_reading
from loomwright.web.address import lonely_words, no_network_words
from loomwright.web.joining import spaced
from loomwright.web.share_code import code_text, join_line, join_url

if TYPE_CHECKING:
    from loomwright.plan.result import Plan
    from loomwright.web.settings import Settings


def served(plan: Plan, settings: Settings, stream: TextIO) -> str:
    """Return what is said once the bench answers; a terminal also gets the large code."""
    return "\n".join(_lines(plan, settings, stream))


def served_data(plan: Plan, settings: Settings) -> dict[str, Any]:
    """Return the same for a script; the codes are empty where nothing is shared."""
    shared = settings.share
    return {
        "robot": plan.robot.name,
        "build": plan.robot.build,
        "revision": plan.revision,
        "url": settings.laptop_url,
        "phone_url": settings.phone_url,
        "join_url": join_url(settings),
        "join_code": settings.secrets.join_code if shared else "",
        "mentor_code": settings.secrets.mentor_code if shared else "",
    }


def lonely(settings: Settings, stream: TextIO) -> str:
    """Return what is said where no phone has come for a while."""
    return for_reading(lonely_words(settings.phone_url), stream)


def _lines(plan: Plan, settings: Settings, stream: TextIO) -> Iterator[str]:
    build = f", build {plan.robot.build}" if plan.robot.build else ""
    yield f"The bench of {plan.robot.name}{build}: {settings.laptop_url}"
    if settings.share and not settings.phone_url:
        yield for_reading(no_network_words(), stream)
    elif settings.share:
        if stream.isatty():
            yield code_text(join_url(settings))
        yield f"Phones: {join_line(settings)}"
        yield f"For mentors alone: code {spaced(settings.secrets.mentor_code)}"
    yield "Ctrl-C stops it."
