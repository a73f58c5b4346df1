"""What a planned day leaves in out/: day.json for scripts and the next plan, day.svg and day.pdf for the wall."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING, Any, Final

from loomwright.documents.json.rack_day import batteries_of_day, day_json, steps_of_day
from loomwright.documents.timeline.drawing import timeline_svg
from loomwright.documents.timeline.pdf import timeline_pdf
from loomwright.documents.timeline.sheet import TimelineSheet
from loomwright.rack.cautions import cautions
from loomwright.robotfile.folder import OUT
from loomwright.robotfile.plans.safe_write import make_folder, write_changed

if TYPE_CHECKING:
    from pathlib import Path

    from loomwright.jobs.rack.day import PlannedDay

JSON, SVG, PDF = "day.json", "day.svg", "day.pdf"
_DAY_MIN: Final = 1440


def plan_before(folder: Path, date: str) -> dict[str, str]:
    """Return the battery of each match of the plan of this date that hangs on the wall; nothing where there is none."""
    path = folder / OUT / JSON
    return batteries_of_day(path.read_bytes(), date) if path.is_file() else {}


def steps_today(folder: Path, today: dt.date) -> tuple[tuple[int, str], ...]:
    """Return what the cart does today by the plan of the day, minute by minute; nothing where it is of another day."""
    path = folder / OUT / JSON
    date, steps = steps_of_day(path.read_bytes()) if path.is_file() else ("", ())
    try:
        begins = (today - dt.date.fromisoformat(date)).days * _DAY_MIN
    except ValueError:
        return ()
    return tuple((at_min - begins, words) for at_min, words in steps if 0 <= at_min - begins < _DAY_MIN)


def write_day(
    folder: Path, robot: str, done: PlannedDay, told: dict[str, Any], *, of: str, headline: str, now_min: int
) -> tuple[Path, ...]:
    """Write a planned day into out/ and return its files; `of` says in words which day it is.

    Raises
    ------
    NotWrittenError
        Where the system refuses to write.
    """
    sheet = TimelineSheet(
        robot=robot,
        of=of,
        headline=headline,
        day=done.day,
        plan=done.plan,
        cautions=cautions("charging"),
        now_min=now_min,
    )
    out = folder / OUT
    papers: dict[Path, bytes | None] = {
        out / JSON: day_json(told),
        out / SVG: timeline_svg(sheet),
        out / PDF: timeline_pdf(sheet),
    }
    make_folder(out)
    write_changed(papers)
    return tuple(papers)
