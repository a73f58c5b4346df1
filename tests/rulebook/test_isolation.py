"""What a rule book asks of the frame's insulation."""

from __future__ import annotations

from loomwright.robotfile.rules.rulefile import read_rules
from loomwright.rulebook import Isolation, chassis_isolation, judge
from tests.rulebook.factory import common_practice, sound_plan

OURS = """
rule book: ours
dated: 2027
based on: common-practice
rules:
  chassis-isolated: {parameters: {at least: 120 ohm}}
  frame-again:
    check: chassis isolation
    sentence: Our own inspector wants more.
    severity: should
    source: our notebook
    parameters: {at least: 200 kohm, good from: 100 kohm}
"""


def test_the_shipped_book_asks_for_ten_kilohm_and_calls_a_hundred_good() -> None:
    """Rule texts differ from 120 ohm to 10 kohm; the book that ships takes the strictest."""
    assert chassis_isolation(common_practice()) == Isolation(10e3, 100e3, "chassis-isolated")


def test_the_strictest_of_several_rules_holds_and_good_is_never_less() -> None:
    """A team's second rule wins over a laxer first one; what is good is at least what passes."""
    assert chassis_isolation(read_rules(OURS.encode())) == Isolation(200e3, 200e3, "frame-again")


def test_a_book_may_say_nothing_of_it() -> None:
    """Then there is no limit to hold a reading against."""
    assert chassis_isolation(read_rules(b"rule book: bare\ndated: 2027\nrules: {}\n")) is None


def test_on_paper_it_finds_nothing() -> None:
    """Only a meter sees it."""
    assert not [finding for finding in judge(sound_plan()) if finding.source == "chassis-isolated"]
