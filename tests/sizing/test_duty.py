"""What a match study found, in the currents that wires are sized for; and what stands there without one."""

from __future__ import annotations

from functools import cache

from hypothesis import given
from hypothesis import strategies as st

from loomwright.jobs.planning import make_plan
from loomwright.model.reason import Origin
from loomwright.plan.result import Plan, PlannedCircuit
from loomwright.robotfile.rules.rulefile import read_rules
from loomwright.search import Effort
from loomwright.sizing.duty import Duty
from loomwright.units import Gauge
from loomwright.wiring.battery_path import MAIN
from tests.robots import LIBRARY, robot_of

ROBOT = """
robot: T
battery: {part: battery/agm-12v-18ah, leads: 6 AWG, lead length: 25 cm}
main breaker: {part: breaker/main-120a, lead length: 20 cm}
blocks:
  block: {part: block/6-heavy-10-light-2-fused, lead length: 20 cm}
mechanisms:
  lift:
    does: {kind: lift}
    motor: motor/brushless-500w
    controller: controller/inline-40a
    limit: {supply: 40 A}
    length: 2 m
electronics:
  robot controller: {part: computer/robot-controller, feed: fused, length: 40 cm}
"""


@cache
def planned(*duties: tuple[str, Duty]) -> Plan:
    """Plan the robot with these duties."""
    robot = robot_of(ROBOT)
    return make_plan(
        robot, read_rules(None, name=robot.rules), find_part=LIBRARY.part, duties=dict(duties), effort=Effort.FIRST
    )


def circuit(name: str, *duties: tuple[str, Duty]) -> PlannedCircuit:
    """Return one of its circuits."""
    found = planned(*duties).circuit(name)
    assert found is not None
    return found


def duty(peak: float, heat: float = 0.0, match: float = 0.0) -> Duty:
    """Return a duty with a peak and what heats [A]."""
    return Duty(peak_a=peak, worst_a=match, match_a=match, row_a=match / 2, heat_a=heat)


@given(st.floats(0, 200), st.floats(0, 200))
def test_what_heats_is_the_larger_of_the_match_and_its_hottest_moment(match: float, heat: float) -> None:
    """A thick wire follows the whole match, a thin one its hottest moment."""
    assert duty(200, heat, match).sustained_a == max(match, heat)


def test_without_a_study_limits_and_usual_shares_stand_and_say_so() -> None:
    """40 A for the drop; half of it, assumed for a lift, for heat."""
    lift = circuit("lift")
    assert (lift.current.value, lift.current.origin) == (40, Origin.GIVEN)
    assert (lift.sustained.value, lift.sustained.origin) == (20, Origin.ASSUMED)
    assert "until a match study tells" in lift.sustained.reason


def test_with_a_study_its_peak_and_its_heat_stand_and_say_so() -> None:
    """A peak below the limit for the drop, what the worst match heats for heat; both computed, by the match study."""
    lift = circuit("lift", ("lift", duty(26.5, 6.0, 4.0)))
    assert (lift.current.value, lift.current.origin, lift.current.source) == (26.5, Origin.COMPUTED, "match study")
    assert lift.current.reason == "peak of the match study; its limit is 40 A"
    assert (lift.sustained.value, lift.sustained.origin, lift.sustained.source) == (6.0, Origin.COMPUTED, "match study")
    assert lift.sustained.reason == "what heats it in the worst match of the study"


def test_what_a_study_does_not_tell_stays_assumed_and_says_so() -> None:
    """Behind the controller nothing is studied: half of what its branch may take, and no promise of a study."""
    name, seen = "lift: motor side", ("lift", duty(26.5, 6.0, 4.0))
    assert circuit(name).sustained.reason == "50% of 40 A assumed for a lift, until a match study tells"
    told = circuit(name, seen).sustained
    assert (told.value, told.origin) == (13.25, Origin.ASSUMED)
    assert told.reason == "50% of 26.5 A assumed for a lift, for the match study does not tell it"


def test_a_study_never_goes_above_what_can_flow() -> None:
    """Its peak over 20 ms above the limit changes no drop, and no wire is heated by more than its limit."""
    lift = circuit("lift", ("lift", duty(44.0, 43.0, 20.0)))
    assert (lift.current.value, lift.current.origin) == (40, Origin.GIVEN)
    assert lift.sustained.value == 40


def test_a_thing_without_a_mechanism_keeps_its_draw_for_the_drop() -> None:
    """The computer is judged at what it may draw, whatever a match saw of it; the match tells what heats its wire."""
    bare = circuit("robot controller")
    seen = circuit("robot controller", ("robot controller", duty(0.5, 0.25, 0.25)))
    assert bare.current.value is not None
    assert bare.current.value > 0.5
    assert seen.current == bare.current
    assert (seen.sustained.value, seen.sustained.source) == (0.25, "match study")


def test_the_main_leads_are_planned_for_the_whole_robot() -> None:
    """Their drop is that of the planning current as before; their heat is the study's."""
    bare, seen = circuit(MAIN), circuit(MAIN, (MAIN, duty(200.0, 30.0, 25.0)))
    assert seen.current == bare.current
    assert bare.sustained.value == bare.current.value  # below the breaker's rating
    assert (seen.sustained.value, seen.sustained.source) == (30.0, "match study")


def test_a_duty_of_another_circuit_is_nobodys() -> None:
    """What is not in the study stays at its limit, and the other circuits do not notice."""
    lift = circuit("lift", ("arm", duty(10, 5, 5)))
    assert lift.current == circuit("lift").current
    assert lift.sustained.value == circuit("lift").sustained.value


def test_a_study_spares_copper_where_the_drop_decides() -> None:
    """2 m and back for 5 % of 12 V: 40 A need 8 AWG, a lift that never takes more than 25 A the 12 AWG of the rules.

    Copper at 20 C (3.277 mohm/m of 10 AWG, 5.211 of 12 AWG), and 20 cm of the controller's own leads of 12 AWG.
    """
    own = 2 * 0.2 * 5.211e-3
    assert 40 * (4 * 3.277e-3 + own) > 0.6
    assert 25 * (4 * 5.211e-3 + own) < 0.6
    gauges = [circuit("lift", *duties).wires[0].gauge for duties in ((), (("lift", duty(25.0, 10.0, 8.0)),))]
    assert gauges == [Gauge(8), Gauge(12)]


def test_of_a_mechanism_that_nobody_used_a_study_says_nothing() -> None:
    """A driver who never touches it gives a duty of nothing: the limit and the usual share stay, and nothing breaks."""
    bare, unused = circuit("lift"), circuit("lift", ("lift", duty(0.0)))
    assert unused.current == bare.current
    assert unused.sustained.value == bare.sustained.value
