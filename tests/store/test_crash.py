"""What was said to be written down survives a program that is killed in the middle of its work."""

from __future__ import annotations

import signal
import subprocess
import sys
from collections import Counter
from pathlib import Path

import pytest

from tests.store.laptops import laptop, numbers_of

ROOT = Path(__file__).resolve().parents[2]


@pytest.mark.parametrize("batches", [1, 300])
def test_every_event_that_was_acknowledged_is_there_once(tmp_path: Path, batches: int) -> None:
    """Killed without warning after some answers: all of those are there, batches are whole, the chain verifies."""
    command = [sys.executable, "-m", "tests.store.storm", str(tmp_path)]
    with subprocess.Popen(command, cwd=ROOT, stdout=subprocess.PIPE, text=True) as child:
        assert child.stdout is not None
        lines = [child.stdout.readline() for _ in range(batches)]
        child.send_signal(signal.SIGKILL)
        lines += child.stdout.readlines()
    assert child.returncode == -signal.SIGKILL
    acknowledged = [int(word) for line in lines if line.endswith("\n") for word in line.split()]
    assert len(acknowledged) >= batches
    with laptop(tmp_path) as store:
        kept = Counter(numbers_of(store.records()))
        assert store.origin == "laptop-000000000001"
        assert store.verify() == []
    assert set(kept.values()) == {1}
    assert set(acknowledged) <= set(kept)
    # A batch is there whole or not at all: the turn in a number says how long its batch was.
    turns = Counter(number // 10 for number in kept)
    assert all(held == 1 + turn % 1_000_000 % 5 for turn, held in turns.items())
