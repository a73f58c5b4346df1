"""What tests share is made once, whole, whoever asks at the same time."""

from __future__ import annotations

from concurrent.futures import Future, ThreadPoolExecutor, wait
from pathlib import Path

import pytest

from tests.made_once import made_once


def test_who_asks_while_it_is_made_waits_until_it_is_whole(tmp_path_factory: pytest.TempPathFactory) -> None:
    """The second asks while the first still makes it, makes none of its own, and finds all of it."""
    makers: list[Path] = []
    pool = ThreadPoolExecutor(1)
    second: list[Future[str]] = []

    def make(folder: Path) -> None:
        makers.append(folder)
        folder.mkdir()
        if len(makers) == 1:
            second.append(pool.submit(ask))
            wait(second, timeout=0.3)  # who does not wait is through by then
        (folder / "file").write_text("whole", encoding="utf-8")

    def ask() -> str:
        return (made_once(tmp_path_factory, "asked twice", make) / "file").read_text(encoding="utf-8")

    with pool:
        assert ask() == second[0].result() == "whole"
    assert len(makers) == 1


def test_what_could_not_be_made_is_made_by_the_next(tmp_path_factory: pytest.TempPathFactory) -> None:
    """A maker that breaks down leaves no half folder behind, and keeps nobody out."""
    broken = True

    def make(folder: Path) -> None:
        folder.mkdir()
        if broken:
            raise ValueError("broken down")

    with pytest.raises(ValueError, match="broken down"):
        made_once(tmp_path_factory, "broken", make)
    broken = False
    assert made_once(tmp_path_factory, "broken", make).is_dir()
