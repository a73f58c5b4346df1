"""docs/rack-files.md shows files that can be read, and names every column that there is."""

from __future__ import annotations

import datetime as dt
import re
from pathlib import Path

from loomwright.robotfile.lists.match_list import read_matches, typed_matches
from loomwright.robotfile.lists.reading_list import read_readings
from loomwright.robotfile.testers.slots import SLOTS
from loomwright.robotfile.testers.tester import KnownTesters
from loomwright.robotfile.testers.tester_file import read_testers

PAGE = (Path(__file__).parents[2] / "docs" / "rack-files.md").read_text(encoding="utf-8")
READINGS, MATCHES = re.findall(r"```csv\n(.*?)```", PAGE, re.DOTALL)
[TESTERS] = re.findall(r"```yaml\n(.*?)```", PAGE, re.DOTALL)


def test_every_example_can_be_read() -> None:
    """Readings, testers and matches as they stand on the page; typed on the command line the matches are the same."""
    rows = read_readings(READINGS.encode(), file="r.csv", testers=KnownTesters(), zone=dt.UTC)
    assert [len(row.events) for row in rows] == [2, 2]
    assert read_testers(TESTERS.encode()).named("bench tester") is not None
    [typed] = re.findall(r"`(Q1 9:05, [^`]*)`", PAGE)
    assert typed_matches(typed) == read_matches(MATCHES.encode())


def test_every_column_is_named() -> None:
    """No column can be read that the page keeps to itself."""
    words = set(re.findall(r"`([^`]*)`", PAGE)) | {title.split(" [")[0] for title in READINGS.split("\n")[0].split(",")}
    assert [name for name in SLOTS if name not in words | {"time", "day"}] == []
