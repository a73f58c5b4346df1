"""Colours: as written, else the usual ones, else what the season's book allows; each with its reason."""

from __future__ import annotations

from dataclasses import replace

from loomwright.jobs.colours import wire_colour
from loomwright.model.reason import Origin
from loomwright.robotfile.rules.rulefile import read_rules
from loomwright.wiring import derive
from tests.robots import example_plan, plan_of, robot_of

TEXT = """
robot: T
battery: {part: battery/agm-12v-18ah}
blocks: {block: {part: block/6-heavy-10-light-2-fused}}
electronics:
  eyes: {part: computer/vision-12v%s}
"""


def test_the_usual_colours_say_so() -> None:
    """Plus is red and minus is black, common practice."""
    circuit = plan_of(TEXT % "").circuit("eyes")
    assert circuit is not None
    assert [wire.colour for wire in circuit.wires] == ["RD", "BK"]
    assert circuit.colours.value == "RD, BK"
    assert circuit.colours.reason == "plus red: usual for plus; minus black: usual for minus"
    assert circuit.colours.source == "common practice"


def test_a_colour_that_is_written_is_kept_with_its_place() -> None:
    """`plus colour: white` stands, and its line is named."""
    circuit = plan_of(TEXT % ", plus colour: white").circuit("eyes")
    assert circuit is not None
    assert circuit.wires[0].colour == "WH"
    assert (circuit.colours.origin, circuit.colours.source) == (Origin.GIVEN, "robot.yaml:6:50")


def test_the_rule_book_decides_where_the_usual_colour_is_not_allowed() -> None:
    """A book that wants blue for minus gets blue."""
    rules = read_rules(None)
    changed = tuple(
        replace(rule, parameters={**rule.parameters, "allowed": ("BU",)}) if rule.id == "minus-colour" else rule
        for rule in rules.rules
    )
    assert changed != rules.rules
    robot = robot_of(TEXT % "")
    circuit = derive(robot).circuit("eyes")
    assert circuit is not None
    colour = wire_colour(robot, replace(rules, rules=changed), circuit, circuit.wires[1])
    assert (colour.value, colour.reason) == ("BU", "what the rule book allows for minus")


def test_own_leads_and_cables_have_their_own_colours() -> None:
    """The tool does not say what colour a part's leads have."""
    plan = example_plan("tidepool")
    side, radio = plan.circuit("left front: motor side"), plan.circuit("radio")
    assert side is not None
    assert radio is not None
    assert {wire.colour for wire in (*side.wires, *radio.wires)} == {""}


def test_twisted_wires_name_each_other_by_id() -> None:
    """The bus pair: each wire's sheet row names the other wire."""
    for circuit in example_plan("tidepool").circuits:
        if circuit.id.startswith("main chain"):
            high, low = circuit.wires
            assert (high.twisted_with, low.twisted_with) == (low.id, high.id)
