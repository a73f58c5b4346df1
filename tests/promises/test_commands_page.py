"""docs/commands.md tells what the commands really say and write."""

from __future__ import annotations

import json

from tests.journeys.program import loomwright
from tools.commands_page import JSON_KEYS, PAGE, page


def test_the_page_is_the_commands_own_help() -> None:
    """The page is what the tool would write now; run `python tools/commands_page.py` after a change."""
    assert PAGE.read_text(encoding="utf-8") == page()


def test_the_json_keys_of_size_are_all_listed() -> None:
    """Scripts find every key of `size --json` on the page, and no other."""
    told = json.loads(loomwright("size", "--current", "40A", "--one-way", "1.2m", "--json").out)
    assert list(told) == [key for key, _ in JSON_KEYS["size"]]
