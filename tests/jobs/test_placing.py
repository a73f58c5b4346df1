"""What slots and routes have to tell: clashes in plain words with lines, leads that reach, trunks that are proposed."""

from __future__ import annotations

from loomwright.findings import Finding, Severity
from loomwright.plan.result import Plan
from loomwright.search import Effort
from tests.robots import plan_of

HEAD = """
robot: Full
battery: {part: battery/agm-12v-18ah, leads: 6 AWG, lead length: 25 cm}
main breaker: {part: breaker/main-120a, lead length: 20 cm}
blocks:
  block:
    part: block/6-heavy-10-light-2-fused
    lead length: 15 cm
    reserved: {H6: a climber}
mechanisms:
"""
MOTOR = "  m{n}: {{motor: motor/brushless-500w, controller: controller/inline-40a, length: 80 cm{more}}}\n"


def motors(count: int, more: str = "") -> str:
    """Write motor circuits that want 40 A each."""
    return "".join(MOTOR.format(n=n, more=more) for n in range(1, count + 1))


def told(plan: Plan, code: str) -> list[Finding]:
    """Return the findings of one kind."""
    return [finding for finding in plan.findings if finding.code == code]


def test_too_many_for_the_slots_is_told_by_counting_with_the_wish_in_the_way() -> None:
    """Six circuits want one of five heavy slots, since the sixth is kept free: which, where, and what to give up."""
    (clash,) = told(plan_of(HEAD + motors(6), effort=Effort.USUAL), "wishes-clash")
    assert clash.severity is Severity.MUST
    assert (clash.place.file, clash.place.line) == ("robot.yaml", 9)
    assert clash.what.startswith(
        "6 circuits (m1, m2, m3, m4, m5 and m6) need a slot, and 5 slots of that kind are usable"
    )
    assert "block H6 kept free for a climber (robot.yaml:9)" in clash.what
    assert clash.fix.startswith("Least is lost by giving up block H6 kept free for a climber (robot.yaml:9)")


def test_a_clash_that_no_wish_makes_asks_for_more_slots() -> None:
    """Seven circuits and six heavy slots: nothing that anybody wrote is to blame."""
    plan = plan_of(HEAD.replace("    reserved: {H6: a climber}\n", "") + motors(7), effort=Effort.USUAL)
    (clash,) = told(plan, "wishes-clash")
    assert "7 circuits" in clash.what
    assert "6 slots of that kind are usable" in clash.what
    assert clash.fix == "Add a block or a sub-block with free slots, or take a thing off the robot."
    assert clash.place.line


def test_no_clash_is_told_where_everything_fits() -> None:
    """Five circuits on five slots."""
    assert not told(plan_of(HEAD + motors(5), effort=Effort.USUAL), "wishes-clash")


PLACED = """
robot: Near
battery: {part: battery/agm-12v-18ah, leads: 6 AWG, lead length: 25 cm}
main breaker: {part: breaker/main-120a, lead length: 20 cm}
blocks:
  block: {part: block/6-heavy-10-light-2-fused, lead length: 15 cm, at: [30 cm, 30 cm]}
mechanisms:
  near: {motor: motor/brushless-500w, controller: controller/inline-40a, at: [15 cm, 30 cm], facing: left%s}
  far: {motor: motor/brushless-500w, controller: controller/inline-40a, at: [15 cm, 80 cm]}
"""


def test_leads_that_reach_the_slot_are_worth_a_word() -> None:
    """A controller whose own 20 cm reach needs no wire between; the far one does, and `joint:` settles it."""
    plan = plan_of(PLACED % "")
    (word,) = told(plan, "leads-reach")
    assert word.place.thing == "mechanisms.near"
    assert "joint: none" in word.fix
    assert not told(plan_of(PLACED % ", joint: none"), "leads-reach")


def test_a_plan_without_trunks_says_which_ones_it_went_by() -> None:
    """Where nobody drew a trunk, the plan names those that it proposes; where somebody did, it doesn't."""
    many = "".join(
        f"  m{n}: {{motor: motor/brushless-350w, controller: controller/inline-40a, at: [{8 * n} cm, 150 cm], "
        "protection: 30 A, limit: {supply: 20 A}}\n"
        for n in range(1, 9)
    )
    text = PLACED % "" + many
    (word,) = told(plan_of(text, effort=Effort.USUAL), "trunks-proposed")
    assert word.severity is Severity.CONSIDER
    assert "proposed" in word.what
    drawn = text + "plate:\n  trunks: {spine: [[30 cm, 45 cm], [30 cm, 145 cm]]}\n"
    assert not told(plan_of(drawn, effort=Effort.USUAL), "trunks-proposed")
