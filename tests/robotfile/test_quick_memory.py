"""The quick reader of plan.yaml agrees with the careful one wherever it answers at all."""

from __future__ import annotations

import random

import pytest

from loomwright.findings import UnreadableInputError
from loomwright.plan.result import Plan
from loomwright.robotfile.plans.memory_reader import memory_of
from loomwright.robotfile.plans.planfile import write_plan
from loomwright.robotfile.plans.quick_memory import quick_memory
from tests.documents_plan.factories import plan
from tests.plan.decided import decided
from tests.robots import EXAMPLES, example_plan


@pytest.mark.parametrize("name", EXAMPLES)
def test_a_sound_file_is_read_the_same_both_ways(name: str) -> None:
    """What the tool wrote is read quickly, and as the careful reader would."""
    data = write_plan(example_plan(name))
    assert quick_memory(data) == memory_of(data, file="plan.yaml")


@pytest.mark.parametrize("held", [example_plan("rockpool"), decided(plan())], ids=["rockpool", "decided"])
def test_a_damaged_file_is_never_read_in_another_way(held: Plan) -> None:
    """Lines lost, doubled, swapped or cut: the quick reader stands back, or says the same as the careful one."""
    lines = write_plan(held).decode().splitlines(keepends=True)
    shaker = random.Random(1)  # noqa: S311  the same damage every time
    stood_back = 0
    for _ in range(150):
        damaged = list(lines)
        at, other = shaker.randrange(len(lines)), shaker.randrange(len(lines))
        how = shaker.randrange(4)
        if how == 0:
            del damaged[at]
        elif how == 1:
            damaged.insert(other, damaged[at])
        elif how == 2:
            damaged[at], damaged[other] = damaged[other], damaged[at]
        else:
            damaged[at] = damaged[at][: len(damaged[at]) // 2]
        data = "".join(damaged).encode()
        quick = quick_memory(data)
        if quick is None:
            stood_back += 1
            continue
        try:
            assert quick == memory_of(data, file="plan.yaml")
        except UnreadableInputError as error:
            pytest.fail(f"the quick reader took what the careful one refuses: {error}")
    assert stood_back > 25


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("format: 2", "format: 3"),
        ("next wire: 23", "next wire: 22"),
        ("id: W2\n", "id: W1\n"),
        ("circuit: beacon\n", "circuit: main\n"),
        ("id: W1\n", "id: W1\n    id: W1\n"),
    ],
)
def test_what_would_spoil_the_ids_is_left_to_the_careful_reader(old: str, new: str) -> None:
    """A newer format, a number given out already, an id or a circuit twice, a key twice."""
    text = write_plan(example_plan("rockpool")).decode()
    assert old in text
    assert quick_memory(text.replace(old, new, 1).encode()) is None
