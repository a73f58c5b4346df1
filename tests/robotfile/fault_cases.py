"""Read files of cases: what somebody wrote, and the whole text of what they are told."""

from __future__ import annotations

from pathlib import Path

import pytest
from _pytest.mark import ParameterSet

FOLDER = Path(__file__).parent
_SIGNS = {"<TAB>": "\t", "<NBSP>": "\xa0", "<ZWSP>": "\u200b"}


def fault_cases(name: str) -> list[ParameterSet]:
    """Give the cases of one file; each starts with `== title`, and `--` parts what is written from the words."""
    text = (FOLDER / name).read_text(encoding="utf-8")
    for sign, char in _SIGNS.items():
        text = text.replace(sign, char)
    cases = []
    for block in ("\n" + text).split("\n== ")[1:]:
        title, _, rest = block.partition("\n")
        written, _, told = rest.partition("\n--\n")
        cases.append(pytest.param(written + "\n", told.strip("\n"), id=title))
    return cases
