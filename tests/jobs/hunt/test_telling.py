"""What is told of a hunt is written down, all or none: what fits no check of this robot is refused with its help."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache
from pathlib import Path
from typing import Any

import pytest

from loomwright.findings import UnreadableInputError
from loomwright.hunting.robot.robot_hunt import RobotHunt, robot_hunt
from loomwright.jobs.hunt.telling import tell_hunt
from loomwright.records.event import Role
from loomwright.store import Store
from tests.records.events import NOON, key
from tests.robots import example_plan
from tests.store.laptops import laptop


@lru_cache(maxsize=1)
def robot() -> RobotHunt:
    """Return the hunt on Rockpool."""
    return robot_hunt(example_plan("rockpool"))


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    """Open empty records."""
    with laptop(tmp_path) as held:
        yield held


def told(number: int, kind: str = "observed", **fields: Any) -> dict[str, Any]:  # noqa: ANN401  fields of an event
    """Return an event of the first hunt as it is sent."""
    of = {} if kind == "hunt" else {"of": [key(1)]}
    return {"key": key(number), "kind": kind, "who": "AB", "measured_at": NOON} | of | fields


HUNT = told(1, "hunt", words="beacon is dark")
DARK = told(2, about="look beacon", words="dark")


def refused(store: Store, *events: object) -> UnreadableInputError:
    """Return why something is refused; nothing of it is written."""
    before = store.records()
    with pytest.raises(UnreadableInputError) as held:
        tell_hunt(store, events, robot(), Role.STUDENT, now=NOON)
    assert store.records() == before
    return held.value


def test_what_fits_is_written_once(store: Store) -> None:
    """A hunt, an answer, a reading; told again they are not new."""
    volts = told(3, about="volts beacon A", value=12.6, unit="V")
    assert tell_hunt(store, [HUNT, DARK, volts], robot(), Role.STUDENT, now=NOON) == 3
    assert tell_hunt(store, [HUNT, DARK], robot(), Role.STUDENT, now=NOON) == 0
    assert tell_hunt(store, [], robot(), Role.STUDENT, now=NOON) == 0
    assert [record.event.about for record in store.records()] == ["", "look beacon", "volts beacon A"]
    assert {record.role for record in store.records()} == {Role.STUDENT}


@pytest.mark.parametrize(
    ("event", "fix"),
    [
        (told(4, about="look becon", words="dark"), "look beacon"),
        (told(4, about="look beacon", words="purple"), "flickers"),
        (told(4, about="volts beacon A", value=12.6, unit="ohm"), "1.2V"),
        (told(4, about="look beacon", value=12.6, unit="V"), "lit"),
    ],
)
def test_what_fits_no_check_is_refused(store: Store, event: dict[str, Any], fix: str) -> None:
    """With the check that it is about and what to say instead; the good answers told with it are not written either."""
    error = refused(store, HUNT, DARK, event)
    [finding] = error.faults
    assert (finding.code, finding.place.thing) == ("no-such-check", event["about"])
    assert fix in finding.fix


def test_all_that_is_wrong_is_told_at_once(store: Store) -> None:
    """Two answers that fit nothing are two findings."""
    error = refused(store, HUNT, told(4, about="look becon", words="dark"), told(5, about="look beacon", words="blue"))
    assert [finding.code for finding in error.faults] == ["no-such-check", "no-such-check"]


def test_what_is_none_of_a_hunt_is_refused(store: Store) -> None:
    """A signature has its own way in; what is no event at all is refused as such."""
    made = {"key": key(6), "kind": "made", "who": "AB", "measured_at": NOON, "wire": "W1", "end": "A"}
    [finding] = refused(store, HUNT, made).faults
    assert finding.code == "not-of-a-hunt"
    assert "`made`" in finding.what
    assert {one.code for one in refused(store, {"kind": "observed"}, DARK).faults} == {"not-an-event"}


def test_only_answers_are_held_against_the_checks(store: Store) -> None:
    """What was mended or smelt need be no check of this robot."""
    events = [HUNT, told(7, "mended", about="W999 A"), told(8, "danger", about="somewhere", words="smoke")]
    assert tell_hunt(store, events, robot(), Role.STUDENT, now=NOON) == 3
