"""The inspection list: which rules somebody can look at, where, and what the tool can say before anybody looked."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache
from typing import Any

import pytest
import yaml
from hypothesis import given, settings

from loomwright.findings import Severity
from loomwright.model.rules import RuleOff
from loomwright.plan.result import Plan
from loomwright.proof.inspection import Inspection, Item, Verdict, inspection, looked_at, rows
from loomwright.proof.whereabouts import whereabouts
from loomwright.rulebook import CHECKS
from loomwright.search import Effort
from tests.proof.small_robots import TWO_PLATES
from tests.robots import EXAMPLES, as_text, example_plan, plan_of, robots


@lru_cache(maxsize=1)
def two_plates() -> Plan:
    return plan_of(TWO_PLATES, effort=Effort.USUAL)


def _item(told: Inspection, rule: str) -> Item:
    (item,) = (item for item in told.items if item.rule == rule)
    return item


def test_every_check_says_whether_and_how_somebody_looks_at_it() -> None:
    """A new check has to say so too; what is looked at says at what, unless the rule's own question does."""
    assert set(rows()) == set(CHECKS)
    for name, row in rows().items():
        assert bool(row.judged_by) == bool(row.things), name
        assert row.judged_by in ("", "tool", "people", "meter"), name
        assert row.look or not row.things or name == "answered yes", name


def test_a_rule_that_people_answer_is_never_said_to_be_so() -> None:
    """Silence is a question, `no` is broken, and `yes` in the file asks to look again all the same."""
    silent = _item(inspection(two_plates()), "battery-strapped")
    assert (silent.verdict, silent.look) == (
        Verdict.WAITS,
        "Is the battery strapped down, so that it stays even if the robot tips over?",
    )
    for answer, verdict in (("no", Verdict.BROKEN), ("yes", Verdict.LOOK)):
        data = yaml.safe_load(TWO_PLATES)
        data["battery"]["strapped"] = answer
        item = _item(inspection(plan_of(as_text(data))), "battery-strapped")
        assert item.verdict is verdict
        assert item.told.startswith("The file says `strapped:")


def test_what_the_plan_breaks_is_told_with_its_finding() -> None:
    """A thin battery lead breaks battery-path-gauge: the item carries the finding's own words."""
    plan = plan_of(TWO_PLATES.replace("leads: 6 AWG", "leads: 10 AWG"))
    item = _item(inspection(plan), "battery-path-gauge")
    assert item.verdict is Verdict.BROKEN
    assert [finding.severity for finding in item.findings] == [Severity.MUST] * len(item.findings)
    assert item.told == " ".join(finding.what for finding in item.findings)
    assert _item(inspection(two_plates()), "battery-path-gauge").verdict is Verdict.MET


def test_an_item_leads_to_its_devices_by_plate_and_millimetres_or_by_slot() -> None:
    """The radio sits on the deck, the arm's controller 30 cm above the base plate on slot H4."""
    (beacon,) = _item(inspection(two_plates()), "signal-light-present").places
    assert beacon.words == "deck, 400 mm right, 450 mm forward, 50 mm up; output signal light of robot controller"
    arm = two_plates().robot.device("arm controller")
    motor = two_plates().robot.device("arm")
    sensor = two_plates().robot.device("reach")
    assert arm is not None
    assert motor is not None
    assert sensor is not None
    assert whereabouts(two_plates(), arm).words == (
        "base plate, 300 mm right, 500 mm forward, 300 mm up; slot H4 of block"
    )
    assert whereabouts(two_plates(), motor).words == "at arm controller"
    assert whereabouts(two_plates(), sensor).words == "place not known"
    assert whereabouts(two_plates(), sensor).told == sensor.id


def test_rules_about_things_that_are_not_there_are_left_out() -> None:
    """No compressor: no pressure switch to look for. What must be there and is not stays on the list, broken."""
    told = inspection(two_plates())
    assert "pressure-switch-present" not in {item.rule for item in told.items}
    assert "slots-kept-free" not in {item.rule for item in told.items}
    data = yaml.safe_load(TWO_PLATES)
    del data["lights"]
    light = _item(inspection(plan_of(as_text(data))), "signal-light-present")
    assert (light.verdict, light.places) == (Verdict.BROKEN, ())


def test_a_meter_decides_on_the_frame_and_code_is_nobodys_to_look_at() -> None:
    told = inspection(two_plates())
    assert _item(told, "chassis-isolated").verdict is Verdict.LOOK
    assert _item(told, "chassis-isolated").everywhere
    rules = {item.rule for item in told.items}
    assert rules.isdisjoint({"limit-present", "ramp-in-reason", "unknown-facts", "free-slots", "caution-eyes"})


def test_the_book_in_force_with_its_edition_and_what_it_switches_off_stand_on_the_list() -> None:
    """The trainer's book is based on common practice and switches three rules off, each with its reason."""
    told = inspection(example_plan("rockpool"))
    assert (told.book, told.based_on, len(told.off)) == ("bench-trainer", "common-practice", 3)
    assert ("battery-strapped", "A bench trainer stands still.") in {(off.rule, off.reason) for off in told.off}
    assert {item.edition for item in told.items} == {told.edition}
    gauge = _item(told, "battery-path-gauge")
    assert gauge.sentence == "Every wire between battery and block is 12 AWG or thicker."


def test_a_rule_tells_the_edition_it_is_taken_from() -> None:
    """A book may hold rules of another date; one that is switched off is told with its reason."""
    plan = two_plates()
    first, second, *others = plan.rules.rules
    dated = replace(first, dated="last year's manual")
    book = replace(plan.rules, rules=(dated, *others), off=(RuleOff(second, "we have none"),))
    told = inspection(replace(plan, rules=book))
    assert _item(told, first.id).edition == "last year's manual"
    assert [(off.rule, off.reason) for off in told.off] == [(second.id, "we have none")]


def test_the_examples_have_so_many_items() -> None:
    """Main numbers: items, met on paper, to be looked at; nothing of the examples is broken or waits."""
    told = {}
    for name in EXAMPLES:
        verdicts = [item.verdict for item in inspection(example_plan(name)).items]
        told[name] = (len(verdicts), verdicts.count(Verdict.MET), verdicts.count(Verdict.LOOK))
        assert sum(told[name][1:]) == told[name][0]
    assert told["rockpool"] == (33, 21, 12)


@settings(max_examples=20, deadline=None)
@given(robots(most_motors=5))
def test_laws_of_the_list(robot: dict[str, Any]) -> None:
    """Each rule at most once, in the book's order; every fault or question of a listed rule is told."""
    plan = plan_of(as_text(robot))
    told = inspection(plan)
    order = [rule.id for rule in plan.rules.rules]
    listed = [item.rule for item in told.items]
    assert listed == [rule for rule in order if rule in set(listed)]
    for item in told.items:
        rule = plan.rules.rule(item.rule)
        assert rule is not None
        row = looked_at(rule)
        assert row is not None
        assert item.look
        assert item.told
        assert set(item.findings) == {finding for finding in plan.findings if finding.source == item.rule}
        if row.judged_by != "tool":
            assert item.verdict is not Verdict.MET
        assert (item.verdict in (Verdict.BROKEN, Verdict.WAITS)) == bool(item.findings)
    left_out = {finding.source for finding in plan.findings} & set(order) - set(listed)
    assert all(looked_at(rule) is None for rule in plan.rules.rules if rule.id in left_out)


@pytest.mark.parametrize("name", EXAMPLES)
def test_an_example_breaks_nothing_that_can_be_looked_at(name: str) -> None:
    assert [i.rule for i in inspection(example_plan(name)).items if i.verdict in (Verdict.BROKEN, Verdict.WAITS)] == []
