"""Slots, routes, lengths and gauges decided together: laws of whole plans, on small robots that are proved quickly."""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import pairwise
from typing import Any

import pytest
import yaml

from loomwright.jobs import deciding, planning
from loomwright.layout import slots as slots_module
from loomwright.plan.remembering import remembered
from loomwright.plan.result import Plan
from loomwright.search import Effort
from loomwright.units import Gauge
from tests.robots import plan_of, shuffled

ROBOT = """
robot: Small
battery: {part: battery/agm-12v-18ah, leads: 6 AWG, lead length: 25 cm}
main breaker: {part: breaker/main-120a, lead length: 20 cm}
blocks:
  block: {part: block/6-heavy-10-light-2-fused, lead length: 20 cm, at: [30 cm, 30 cm]}
mechanisms:
  left front: {motor: motor/brushless-500w, controller: controller/inline-40a, at: [6 cm, 52 cm], limit: {supply: 40 A}}
  left rear: {motor: motor/brushless-500w, controller: controller/inline-40a, at: [6 cm, 8 cm], limit: {supply: 40 A}}
  right front: {motor: motor/brushless-500w, controller: controller/inline-40a, at: [54 cm, 52 cm]}
electronics:
  robot controller: {part: computer/robot-controller, feed: fused, at: [45 cm, 20 cm]}
lights:
  beacon: {part: light/signal, at: [40 cm, 50 cm], jumper: yes}
plate:
  outline: [[0, 0], [60 cm, 0], [60 cm, 60 cm], [0, 60 cm]]
  trunks:
    left rail: [[12 cm, 5 cm], [12 cm, 55 cm]]
    right rail: [[48 cm, 5 cm], [48 cm, 55 cm]]
    cross: [[12 cm, 45 cm], [48 cm, 45 cm]]
"""


def planned(text: str, **said: Any) -> Plan:  # noqa: ANN401  passed on as it is
    """Plan to the end: every answer proved."""
    return plan_of(text, effort=Effort.PROVE, **said)


def cost_g(plan: Plan) -> float:
    """Return what the routes cost; the plan must have proved it."""
    assert plan.layout is not None
    assert plan.layout.certificate is not None
    assert plan.layout.certificate.proved
    return plan.layout.certificate.cost


def lengths(plan: Plan) -> dict[str, float | None]:
    """Return every wire's cut length by its id."""
    return {wire.id: wire.length_m for wire in plan.wires}


def test_every_placed_wire_has_a_way_and_a_length_in_whole_steps() -> None:
    """Routed wires are cut to whole centimetres, longer than their way less the part's own leads."""
    plan = planned(ROBOT)
    assert plan.layout is not None
    assert not plan.layout.unrouted
    routed = {key for run in plan.layout.runs for key in run.wires}
    assert len(routed) == sum(1 for wire in plan.wires if wire.key in routed) > 8
    for wire in plan.wires:
        if wire.key in routed and not wire.captive:
            assert wire.length_m is not None
            assert wire.length_m * 100 == pytest.approx(round(wire.length_m * 100))


def test_a_length_worked_by_hand() -> None:
    """Way, less the controller's own 20 cm, two service loops of 7.5 cm, what is stripped, up to a whole centimetre."""
    plan = planned(ROBOT)
    assert plan.layout is not None
    route = plan.layout.route("left front")
    assert route is not None
    way_m = sum(plan.layout.edge(name).wire_m for name in route.edges)
    plus = next(wire for wire in plan.wires if wire.key == ("left front", "plus"))
    stripped_m = sum(end.treatment.strip_m or 0.0 for end in (plus.a, plus.b) if end.treatment is not None)
    exact_cm = (max(0.0, way_m - 0.20) + 0.15 + stripped_m) * 100
    assert plus.length_m is not None
    assert plus.length_m * 100 - exact_cm == pytest.approx(0.5, abs=0.5)


def test_step_slack_and_service_loop_are_what_the_file_says() -> None:
    """With a loop of 10 cm, 10 % of slack and steps of 5 cm the same wire is longer, in whole steps."""
    said = ROBOT + "wires: {step: 5 cm, service loop: 10 cm, slack: 10 %}\n"
    plan = planned(said)
    short, long = lengths(planned(ROBOT)), lengths(plan)
    routed = {wire.id for wire in plan.wires if wire.path and not wire.captive}
    assert routed
    for wire in routed:
        there, here = short[wire], long[wire]
        assert here is not None
        assert there is not None
        assert here * 20 == pytest.approx(round(here * 20))
        assert here >= there + 0.04


def test_the_order_of_the_file_decides_nothing() -> None:
    """Keys in another order: the same revision, the same costs."""
    data = yaml.safe_load(ROBOT)
    plain = planned(yaml.safe_dump(data, sort_keys=False))
    turned = planned(yaml.safe_dump(shuffled(data, 5), sort_keys=False))
    assert turned.revision == plain.revision
    assert cost_g(turned) == pytest.approx(cost_g(plain))


def test_one_more_trunk_never_makes_a_proved_answer_worse() -> None:
    """With the slots pinned, one that helps and a stub that nobody needs: the cost goes down or stays.

    A terminal has drops to three trunks at most, so this holds for certain where no more are in its reach; for the
    routes over a given net it always does (tests/layout/test_route_solver.py).
    """
    two_trunks = ROBOT.replace("    right rail: [[48 cm, 5 cm], [48 cm, 55 cm]]\n", "")
    pinned = _with_its_slots(two_trunks, planned(two_trunks))
    before = cost_g(planned(pinned))
    helps = pinned + "    short cut: [[12 cm, 20 cm], [48 cm, 20 cm]]\n"
    useless = pinned + "    stub: [[12 cm, 5 cm], [12 cm, 2 cm]]\n"
    for text in (helps, useless):
        assert cost_g(planned(text)) <= before * (1 + 1e-9)


def test_pinning_what_was_chosen_changes_nothing() -> None:
    """Every chosen slot written into the file gives the same slots, routes and lengths."""
    plan = planned(ROBOT)
    text = _with_its_slots(ROBOT, plan)
    pinned = planned(text)
    assert "slot: H" in text
    assert [c.slot.value for c in pinned.circuits] == [c.slot.value for c in plan.circuits]
    assert lengths(pinned) == lengths(plan)
    assert cost_g(pinned) == pytest.approx(cost_g(plan))


def _with_its_slots(text: str, plan: Plan) -> str:
    """Write every slot of the block that a plan chose into the file."""
    for circuit in plan.circuits:
        if circuit.slot.value and circuit.source == "block":
            text = re.sub(rf"(  {circuit.id}: {{)", rf"\1slot: {circuit.slot.value}, ", text)
    return text


def test_the_first_answer_is_never_better_than_the_proof() -> None:
    """The plain answer is valid and has a bound; the proof is at most as dear, and names what plain would cost."""
    first, proved = plan_of(ROBOT), planned(ROBOT)
    assert first.layout is not None
    assert first.layout.certificate is not None
    assert proved.layout is not None
    assert proved.layout.certificate is not None
    assert cost_g(proved) <= first.layout.certificate.cost + 1e-6
    assert first.layout.certificate.bound <= cost_g(proved) + 1e-6
    assert proved.layout.certificate.baseline is not None
    assert cost_g(proved) <= proved.layout.certificate.baseline + 1e-6


def test_a_current_plan_is_taken_over_without_any_search(monkeypatch: pytest.MonkeyPatch) -> None:
    """With the same digest nothing is decided again: the searches are not even started, and the plan is the same."""
    plan = planned(ROBOT, inputs="same")

    def refuse(*_: object, **__: object) -> None:
        raise AssertionError("something was decided again")

    monkeypatch.setattr(slots_module, "_sought", refuse)
    monkeypatch.setattr("loomwright.layout.routing._sought", refuse)
    again = plan_of(ROBOT, memory=remembered(plan), inputs="same", effort=Effort.USUAL)
    assert again.revision == plan.revision
    assert again.circuits == plan.circuits
    assert again.layout is not None
    assert plan.layout is not None
    assert again.layout.certificate == plan.layout.certificate
    with pytest.raises(AssertionError, match="decided again"):
        plan_of(ROBOT, memory=remembered(plan), inputs="other", effort=Effort.USUAL)


def test_a_proof_of_the_same_answer_changes_no_revision() -> None:
    """What was first, is proved later: the sheets that hang in the pit stay good."""
    usual = plan_of(ROBOT, effort=Effort.USUAL, inputs="same")
    proved = plan_of(ROBOT, effort=Effort.PROVE, memory=remembered(usual), inputs="same")
    assert cost_g(proved) <= (usual.layout.certificate.cost if usual.layout and usual.layout.certificate else 0) + 1e-6
    if cost_g(proved) == pytest.approx(cost_g(usual)):
        assert proved.revision == usual.revision


def test_routes_and_gauges_take_turns_until_nothing_grows(monkeypatch: pytest.MonkeyPatch) -> None:
    """Every round but the last makes a gauge thicker, and no gauge ever gets thinner: so the rounds end."""
    seen: list[dict[str, Gauge]] = []
    grown = deciding._grown

    def look(decided: deciding.Decided, floors: Any) -> dict[str, Gauge]:  # noqa: ANN401  as the original
        found = grown(decided, floors)
        seen.append({**floors, **found})
        assert all(not found[name].thinner_than(floors[name]) for name in found if name in floors)
        return found

    monkeypatch.setattr(deciding, "_grown", look)
    crowded = ROBOT.replace("trunks:", "trunks:\n    only: {along: [[30 cm, 12 cm], [30 cm, 58 cm]]}").replace(
        "limit: {supply: 40 A}", "limit: {supply: 40 A}, wire: 12 AWG"
    )
    plan = plan_of(crowded.replace(", wire: 12 AWG", ""), effort=Effort.USUAL)
    assert plan.layout is not None
    assert 1 <= len(seen) <= 10
    for before, after in pairwise(seen):
        assert before != after


def test_a_fuller_bundle_asks_for_a_thicker_wire() -> None:
    """Nine motors through one narrow passage: their wires warm each other, and the plan says how many lie together."""
    many = "".join(
        f"  m{n}: {{motor: motor/brushless-350w, controller: controller/inline-40a, at: [{50 + 6 * n} mm, 55 cm], "
        "protection: 30 A, limit: {supply: 30 A}}\n"
        for n in range(1, 10)
    )
    text = (
        ROBOT.split("mechanisms:", maxsplit=1)[0]
        + "mechanisms:\n"
        + many
        + "plate:\n  trunks: {one: [[5 cm, 48 cm], [58 cm, 48 cm]]}\n"
    )
    plan = plan_of(text, effort=Effort.USUAL)
    counts = plan_beside(plan)
    assert max(counts.values()) >= 8
    thick = [c for c in plan.circuits if c.id.startswith("m") and counts.get(c.id, 0) > 6 and c.gauge.value is not None]
    assert thick
    for circuit in thick:
        assert circuit.sizing is not None
        ampacity = circuit.sizing.constraint("ampacity")
        assert ampacity is not None
        assert f"{counts[circuit.id]} wires in the bundle" in ampacity.needs


def plan_beside(plan: Plan) -> dict[str, int]:
    """Count the loaded wires beside each circuit."""
    from loomwright.layout import loaded_beside  # noqa: PLC0415  one test's own

    return loaded_beside(plan.layout) if plan.layout is not None else {}


def test_a_fresh_plan_forgets_what_is_not_made() -> None:
    """Slots that an older plan held are given up by --fresh; a made circuit keeps its slot and its wire ids."""
    held = planned(ROBOT.replace("left front: {", "left front: {slot: H6, "), inputs="old")
    memory = remembered(held)
    kept = plan_of(ROBOT, memory=memory, effort=Effort.USUAL)
    assert slot(kept, "left front") == "H6"
    fresh = _fresh(ROBOT, memory)
    assert slot(fresh, "left front") != "H6"
    made = ROBOT.replace("left front: {", "left front: {slot: H6 (fitted), ")
    still = _fresh(made, memory)
    assert slot(still, "left front") == "H6"
    assert ids(still, "left front") == ids(held, "left front")


def _fresh(text: str, memory: Any) -> Plan:  # noqa: ANN401  a memory
    from loomwright.robotfile.rules.rulefile import read_rules  # noqa: PLC0415  one test's own
    from tests.robots import LIBRARY, robot_of  # noqa: PLC0415

    robot = robot_of(text)
    rules = read_rules(None, name=robot.rules)
    return planning.make_plan(robot, rules, find_part=LIBRARY.part, memory=memory, fresh=True)


def slot(plan: Plan, circuit: str) -> str:
    """Return the slot of a circuit."""
    found = plan.circuit(circuit)
    assert found is not None
    return found.slot.value


def ids(plan: Plan, circuit: str) -> list[str]:
    """Return the wire ids of a circuit."""
    found = plan.circuit(circuit)
    assert found is not None
    return [wire.id for wire in found.wires]


def test_made_wires_stay_where_they_lie_when_a_thing_is_added() -> None:
    """A circuit called fitted keeps slot, way, gauge, length and ids; the new thing goes around it."""
    before = planned(ROBOT)
    made = ROBOT.replace("left rear: {", f"left rear: {{slot: {slot(before, 'left rear')} (fitted), ")
    more = made.replace(
        "electronics:\n",
        "  arm: {motor: motor/brushed-340w, controller: controller/inline-40a, at: [30 cm, 55 cm]}\nelectronics:\n",
    )
    after = plan_of(more, memory=remembered(before), effort=Effort.USUAL)
    for circuit in ("left rear",):
        was, now = before.circuit(circuit), after.circuit(circuit)
        assert was is not None
        assert now is not None
        assert [replace(wire, a=wire.a, b=wire.b) for wire in now.wires] == list(was.wires)
    assert after.circuit("arm") is not None


def test_a_made_wire_keeps_its_gauge_and_says_where_it_is_too_thin() -> None:
    """Calling a wire made changes nothing about it; a limit that it no longer keeps is told, and the gauge stays."""
    before = planned(ROBOT)
    made = ROBOT.replace("left rear: {", f"left rear: {{slot: {slot(before, 'left rear')} (fitted), ")
    after = plan_of(made, memory=remembered(before), effort=Effort.USUAL)
    was, now = before.circuit("left rear"), after.circuit("left rear")
    assert was is not None
    assert now is not None
    assert (now.gauge.value, now.gauge.reason) == (was.gauge.value, "as made")
    assert [wire.gauge for wire in now.wires] == [wire.gauge for wire in was.wires]
    tight = plan_of(f"{made}wires: {{drop: 1 %}}\n", memory=remembered(before), effort=Effort.USUAL)
    held = tight.circuit("left rear")
    assert held is not None
    assert held.gauge.value == was.gauge.value
    (told,) = [f for f in tight.findings if f.code == "made-gauge"]
    assert "left rear: the 12 AWG that is made does not do everything" in told.what
    assert "make the wire anew" in told.fix


def test_the_plan_of_another_robot_is_asked_about() -> None:
    """A plan.yaml that was copied along gives wire ids of somebody else: the names differ, and that is said."""
    memory = remembered(planned(ROBOT))
    plan = plan_of(ROBOT.replace("robot: Small", "robot: Other"), memory=memory)
    (told,) = [f for f in plan.findings if f.code == "plan-of-another"]
    assert told.what == "plan.yaml is the plan of `Small`, and this robot is called `Other`."
    assert not [f for f in plan_of(ROBOT, memory=memory).findings if f.code == "plan-of-another"]


def test_a_fresh_plan_knows_a_made_thing_under_its_new_name() -> None:
    """A motor that is made and only renamed keeps slot and wire ids, also where everything else is forgotten."""
    before = planned(ROBOT)
    made = ROBOT.replace("left rear: {", f"left rear: {{slot: {slot(before, 'left rear')} (fitted), ")
    memory = remembered(plan_of(made, memory=remembered(before)))
    fresh = _fresh(made.replace("left rear: {", "stern: {"), memory)
    assert slot(fresh, "stern") == slot(before, "left rear")
    assert ids(fresh, "stern") == ids(before, "left rear")


def test_a_current_plan_is_taken_over_though_no_gauge_does(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where nothing on hand holds the drop, the way stands all the same, and is not searched for again."""
    text = f"{ROBOT}wires: {{drop: 0.1 %}}\n"
    plan = plan_of(text, effort=Effort.USUAL, inputs="same")
    assert any(c.gauge.value is None for c in plan.circuits if c.id.startswith("left"))

    def refuse(*_: object, **__: object) -> None:
        raise AssertionError("something was decided again")

    monkeypatch.setattr("loomwright.layout.routing._sought", refuse)
    again = plan_of(text, memory=remembered(plan), inputs="same", effort=Effort.USUAL)
    assert again.circuits == plan.circuits
