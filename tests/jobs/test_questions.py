"""What planning asks and warns of: lengths, wires that nothing fits, gauges that somebody wrote."""

from __future__ import annotations

import pytest

from loomwright.findings import Finding, Severity, must_fix
from loomwright.jobs.advice import next_line
from loomwright.plan.result import Plan
from tests.robots import plan_of

HEAD = """
robot: T
battery: {part: battery/agm-12v-18ah, leads: 6 AWG, lead length: 25 cm,
          strapped: yes, posts insulated: yes, lock nuts: yes}
main breaker: {part: breaker/main-120a, lead length: 20 cm, reachable: yes, guarded: yes, nuts visible: yes}
blocks:
  block: {part: block/6-heavy-10-light-2-fused, lead length: 20 cm}
electronics:
  robot controller: {part: computer/robot-controller, length: 50 cm}
lights:
  beacon: {part: light/signal, jumper: yes, length: 60 cm}
"""
MOTOR = (
    "motor: motor/brushless-500w, controller: controller/inline-40a, limit: {supply: 40 A, motor: 60 A, enabled: yes}"
)


def planned(*motors: str) -> Plan:
    """Plan a robot that is complete but for the motors."""
    lines = "".join(f"  {motor}\n" for motor in motors)
    return plan_of(f"{HEAD}mechanisms:\n{lines}" if motors else HEAD)


def of_code(plan: Plan, code: str) -> list[Finding]:
    """Return the findings of one code."""
    return [finding for finding in plan.findings if finding.code == code]


def test_unknown_lengths_are_asked_once_with_the_reach_of_each_gauge() -> None:
    """Circuits with the same answer share one question: 12 AWG, 40 A, 5 %, copper at 20 C reach 1.44 m.

    Of these 15 mohm out and back, the controller's own 2 x 20 cm of 12 AWG (5.21 mohm/m) take 2.08: 1.24 m are left.
    """
    plan = planned(f"a: {{{MOTOR}}}", f"b: {{{MOTOR}}}", f"c: {{{MOTOR}}}", f"d: {{{MOTOR}}}")
    asked = of_code(plan, "length-unknown")
    assert "\n".join(finding.as_text() for finding in asked) == (
        "robot.yaml:13:6  mechanisms.a  [length-unknown] should\n"
        "  a, b, c and 1 more have no known length, so their wires can't be cut to size or checked for drop. "
        "12 AWG holds up to 1.24 m one way and 10 AWG holds up to 1.97 m one way at 40 A and 5 %, copper at 20 C.\n"
        "  Fix: Give `at:` a place on both ends, or write `length: 85 cm`."
    )
    assert not must_fix(plan.findings)
    helpful = "robot.yaml:13 mechanisms.a: Give `at:` a place on both ends, or write `length: 85 cm`."
    assert next_line(plan) == helpful


def test_a_written_gauge_says_its_own_reach_though_it_breaks_something_else() -> None:
    """14 AWG behind 40 A is too thin for the book, and would reach 0.78 m beside the controller's own leads."""
    (asked,) = of_code(planned(f"a: {{{MOTOR}, wire: 14 AWG}}"), "length-unknown")
    assert asked.what == (
        "a has no known length, so its wire can't be cut to size or checked for drop. "
        "14 AWG holds up to 0.78 m one way at 40 A and 5 %, copper at 20 C."
    )


def test_nothing_is_asked_about_a_length_that_is_known() -> None:
    """A robot with all lengths has no question of this kind."""
    assert of_code(planned(f"a: {{{MOTOR}, length: 85 cm}}"), "length-unknown") == []


def test_a_wire_that_nothing_fits_must_be_fixed_and_says_what_it_breaks() -> None:
    """20 m at 40 A want more copper than the slot takes."""
    plan = planned(f"a: {{{MOTOR}, length: 20 m}}")
    found = of_code(plan, "no-gauge")
    assert [f.severity for f in found] == [Severity.MUST]
    assert found[0].what.startswith("a: no wire on hand does everything.")
    circuit = plan.circuit("a")
    assert circuit is not None
    assert circuit.gauge.value is None
    assert all(wire.gauge is None for wire in circuit.wires)


def test_a_gauge_that_is_written_stays_and_its_breaks_are_told() -> None:
    """10 AWG on 4 m drops too much: a should, and the plan keeps what was written."""
    plan = planned(f"a: {{{MOTOR}, length: 4 m, wire: 10 AWG}}")
    found = of_code(plan, "given-gauge")
    assert [f.severity for f in found] == [Severity.SHOULD]
    assert "10 AWG" in found[0].what
    assert "drop" in found[0].what
    circuit = plan.circuit("a")
    assert circuit is not None
    assert str(circuit.gauge.value) == "10 AWG"


def test_a_gauge_that_does_not_fit_its_port_must_be_changed() -> None:
    """4 AWG in a slot for 12 AWG is no question of taste."""
    found = of_code(planned(f"a: {{{MOTOR}, length: 80 cm, wire: 2 AWG}}"), "given-gauge")
    assert [f.severity for f in found] == [Severity.MUST]


def test_a_gauge_that_breaks_a_rule_is_told_by_the_rule_book_alone() -> None:
    """A thin wire behind 40 A is the rule book's finding; sizing tells only what else it breaks."""
    plan = planned(f"a: {{{MOTOR}, length: 30 cm, wire: 14 AWG}}")
    assert [f.code for f in plan.findings if f.source == "gauge-by-protection"] == ["wire-too-thin"]
    told = of_code(plan, "given-gauge")
    assert told
    assert all("rule" not in f.what for f in told)


def test_heat_in_a_fault_is_more_than_a_thought_below_the_book() -> None:
    """16 AWG behind 30 A is thinner than the book asks: that a fault heats it is looked at, not considered."""
    plan = planned(f"a: {{{MOTOR}, length: 30 cm, protection: 30 A, slot: L1, wire: 16 AWG}}")
    (found,) = of_code(plan, "given-gauge")
    assert found.severity is Severity.SHOULD
    assert found.what.endswith("It has to stay within 105 C at the 30 A that the protection carries for ever.")


@pytest.mark.parametrize(
    ("electronics", "severity"),
    [
        ("regulator: {part: regulator/12v-3a-5v-3a, feed: fused, wire: 18 AWG, length: 40 cm}", Severity.CONSIDER),
        ("regulator: {part: regulator/12v-3a-5v-3a, wire: 18 AWG, length: 80 cm, draw: 20 A}", Severity.SHOULD),
        ("regulator: {part: regulator/12v-3a-5v-3a, feed: fused, wire: 16 AWG, length: 40 cm}", None),
        ("eyes: {part: camera/network, from: regulator, wire: 24 AWG, length: 40 cm}", Severity.MUST),
    ],
)
def test_what_the_trade_does_is_no_fault(electronics: str, severity: Severity | None) -> None:
    """18 AWG on a 20 A fuse is by the book, and only a fault heats it above its class: consider, no more.

    20 A over 80 cm drop too much as well, which is more than a fault's heat. 24 AWG on an output of 3 A is below the
    book's 22 AWG, and no other check speaks of outputs: a must.
    """
    regulator = "" if "regulator:" in electronics else "  regulator: {part: regulator/12v-3a-5v-3a, length: 40 cm}\n"
    plan = plan_of(HEAD.replace("electronics:\n", f"electronics:\n{regulator}  {electronics}\n"))
    assert [f.severity for f in of_code(plan, "given-gauge")] == ([severity] if severity else [])


def test_a_wire_that_only_a_fault_would_heat_is_planned_and_told() -> None:
    """In air of 60 C no gauge that a push clamp takes bears 22 A for ever: the thickest is planned, and looked at."""
    electronics = "electronics:\n  regulator: {part: regulator/12v-3a-5v-3a, feed: fused, length: 40 cm}\n"
    strip = "  strip: {part: light/strip-5v, from: regulator, length: 40 cm}\n"
    plan = plan_of(HEAD.replace("electronics:\n", electronics) + strip + "wires: {ambient: 60 C}\n")
    circuit = plan.circuit("regulator")
    assert circuit is not None
    assert str(circuit.gauge.value) == "16 AWG"
    assert of_code(plan, "no-gauge") == []
    (found,) = of_code(plan, "hot-in-a-fault")
    assert found.severity is Severity.SHOULD
    assert found.what == (
        "regulator: 16 AWG is the thickest that fits, and it carries the load, but a fault heats it too much. "
        "It would have to stay within 105 C at the 22 A that the protection carries for ever."
    )


def test_a_robot_with_everything_said_has_nothing_to_answer() -> None:
    """The complete small robot has neither a must nor a should."""
    plan = planned(f"a: {{{MOTOR}, length: 85 cm}}")
    assert [f.as_text() for f in plan.findings if f.severity is not Severity.CONSIDER] == []
    assert next_line(plan) == ""
