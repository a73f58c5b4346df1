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


def test_a_keep_out_over_the_block_is_told_though_nothing_is_routed() -> None:
    """Not one wire gets to the block, so there is no layout: what is wrong with the plate is told all the same."""
    well = "plate:\n  keep outs: {well: [[5 cm, 5 cm], [60 cm, 5 cm], [60 cm, 60 cm], [5 cm, 60 cm]]}\n"
    plan = plan_of(PLACED % "" + well)
    assert plan.layout is None
    assert "The keep-out well covers block itself, so no wire may get there." in [f.what for f in plan.findings]
    assert [f.place.thing for f in told(plan, "no-way")] == ["mechanisms.near", "mechanisms.far"]


def test_a_circuit_without_a_way_is_told_with_its_line() -> None:
    """A wall with a hole that lets one data wire through: the far motor's wires stay on their side, and it is said."""
    wall = (
        "plate:\n  outline: [[0, 0], [60 cm, 0], [60 cm, 100 cm], [0, 100 cm]]\n  trunks:\n"
        "    hole: {along: [[30 cm, 45 cm], [30 cm, 75 cm]], capacity: 3 mm}\n"
        "  keep outs:\n    wall: [[-1 cm, 60 cm], [61 cm, 60 cm], [61 cm, 62 cm], [-1 cm, 62 cm]]\n"
    )
    plan = plan_of(PLACED % "" + wall)
    (word,) = told(plan, "no-way")
    assert word.severity is Severity.MUST
    assert word.place.line == plan_line(PLACED, "far:")
    assert word.what.startswith("The wires of far have no way: ")


def plan_line(text: str, start: str) -> int:
    """Return the number of the line that starts with these characters."""
    return next(n for n, line in enumerate(text.splitlines(), 1) if line.strip().startswith(start))


def test_only_proposed_trunks_are_called_proposed() -> None:
    """A moving trunk that the team drew itself carries the wires too, and is not among those that the plan proposes."""
    rides = PLACED.replace("at: [15 cm, 80 cm]}", "at: [15 cm, 180 cm], rides on: far}") % ""
    joint = "plate:\n  trunks: {far: {along: [[15 cm, 60 cm], [15 cm, 170 cm]], moving: yes, travel: 20 cm}}\n"
    plan = plan_of(rides + joint, effort=Effort.USUAL)
    assert plan.layout is not None
    assert "far" in {section.trunk for section in plan.layout.sections}
    for word in told(plan, "trunks-proposed"):
        assert not word.what.endswith("far.")
        assert "far and" not in word.what
