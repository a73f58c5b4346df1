"""A robot on which everything is known and right."""

from __future__ import annotations

from loomwright.rulebook import judge
from tests.rulebook.factory import alarms, sound_plan


def test_a_sound_robot_raises_no_alarm() -> None:
    """Every check is asked, and none cries wolf."""
    assert alarms(sound_plan()) == []


def test_a_sound_robot_hears_only_how_many_slots_are_free() -> None:
    """Even advice is rare."""
    assert [finding.code for finding in judge(sound_plan())] == ["free-slots"]
