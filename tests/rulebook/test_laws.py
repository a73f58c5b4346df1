"""What holds for any plan: judging never fails, is the same in any order, and asks rather than alarms."""

from __future__ import annotations

import random
from dataclasses import replace
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from loomwright.findings import Severity
from loomwright.model.device import BusKey, Feed, Limit, Limits, Wishes
from loomwright.model.fact import Claim, Fact, Saying, State
from loomwright.model.robot import Doubt, Remark
from loomwright.plan.result import Plan
from loomwright.rulebook import judge
from loomwright.units import Gauge
from tests.rulebook.factory import mark, sound_plan, with_circuit, with_device, with_robot, with_wires

SLOTS = ["", "H1", "H2", "H3", "F1", "F2", "nowhere"]
DRIVES = ["left drive", "right drive"]
AMPS = [None, 0.0, 5.0, 10.0, 20.0, 40.0, 120.0]


@st.composite
def facts(draw: st.DrawFn, values: st.SearchStrategy[Any]) -> Fact[Any]:
    """Make a fact of any saying and state."""
    saying = draw(st.sampled_from(list(Saying)))
    count = {Saying.VALUE: 1, Saying.ANY_OF: 2, Saying.CLAIMS: 2}.get(saying, 0)
    told = tuple(Claim(draw(values), draw(st.sampled_from(list(State)))) for _ in range(count))
    return Fact(saying, told, None if saying is Saying.ABSENT else mark(draw(st.integers(1, 99))))


def limits() -> st.SearchStrategy[Limit]:
    """Make a current limit, with a peak and its time or without."""
    current, time = st.floats(0.0, 500.0), st.none() | st.floats(0.0, 300.0)
    return st.builds(Limit, hold_a=current, peak_a=st.none() | current, peak_s=time)


@st.composite
def drives(draw: st.DrawFn, plan: Plan, name: str) -> Plan:
    """Change everything that may be said of one drive."""
    seconds = st.tuples(st.floats(0.0, 200.0), st.floats(0.0, 200.0))
    plan = with_device(
        plan,
        f"{name} controller",
        present=draw(facts(st.booleans())),
        feed=Feed(
            slot=draw(facts(st.sampled_from(SLOTS[1:]))), source=draw(facts(st.sampled_from(["block", "radio"])))
        ),
        limits=Limits(draw(facts(limits())), draw(facts(limits())), draw(facts(st.booleans()))),
        ramp=draw(facts(seconds)),
        key=BusKey(number=draw(facts(st.integers(0, 3))), maker=draw(facts(st.sampled_from(["A", "B"])))),
        wishes=Wishes(
            gauge=draw(facts(st.builds(Gauge, st.integers(-3, 40)))), length=draw(facts(st.floats(0.0, 9.0)))
        ),
    )
    plan = with_wires(plan, name, gauge=draw(st.none() | st.builds(Gauge, st.integers(-3, 40))))
    return with_circuit(
        plan,
        name,
        slot=draw(st.sampled_from(SLOTS)),
        pinned=draw(facts(st.sampled_from(SLOTS[1:]))),
        protection_a=draw(st.sampled_from(AMPS)),
        current=draw(st.sampled_from(AMPS)),
        source=draw(st.sampled_from(["block", "", "main breaker", "gone"])),
    )


@st.composite
def plans(draw: st.DrawFn) -> Plan:
    """Make any plan at all out of the sound one: doubts, gaps and nonsense included."""
    plan = sound_plan()
    for name in DRIVES:
        plan = draw(drives(plan, name))
    words = st.text("abc spare", max_size=8)
    plan = with_device(
        plan,
        "block",
        labels={"H1": draw(facts(words)), "H2": draw(facts(words))},
        reserved={"H3": draw(facts(words))},
        checks={},
    )
    names = [device.id for device in plan.robot.devices]
    some = st.lists(st.sampled_from([*names, "left drive", "nobody"]), max_size=6).map(tuple)
    bus = replace(plan.robot.buses[0], members=draw(some), order=draw(facts(some)), terminators=draw(facts(some)))
    gone = draw(st.sets(st.sampled_from(names), max_size=4))
    return with_robot(
        plan,
        asks=draw(st.booleans()),
        buses=(bus,) if draw(st.booleans()) else (),
        devices=tuple(device for device in plan.robot.devices if device.id not in gone),
        doubts=(Doubt(draw(some), draw(words), mark(80)),),
        remarks=(
            Remark("stale", draw(words), draw(words), mark(81)),
            Remark("conventions", "id of a motor controller", "its slot", mark(82)),
        ),
    )


@given(plans())
@settings(max_examples=60)
def test_judging_never_fails_and_every_finding_can_be_acted_on(plan: Plan) -> None:
    """Whatever people write: each finding names its rule, a place, what is so and what to do."""
    for finding in judge(plan):
        rule = plan.rules.rule(finding.source)
        assert rule is not None
        assert finding.severity.rank >= rule.severity.rank
        assert finding.place.thing
        assert finding.what.endswith((".", "?"))
        assert finding.fix.endswith((".", "?"))
        assert finding.code == finding.code.lower()


@given(plans(), st.randoms(use_true_random=False))
@settings(max_examples=40)
def test_the_order_of_circuits_and_rules_decides_nothing(plan: Plan, chance: random.Random) -> None:
    """The same set of findings, however the plan is sorted."""
    circuits, rules = list(plan.circuits), list(plan.rules.rules)
    chance.shuffle(circuits)
    chance.shuffle(rules)
    turned = replace(plan, circuits=tuple(circuits), rules=replace(plan.rules, rules=tuple(rules)))
    assert _told(turned) == _told(plan)


def _told(plan: Plan) -> set[tuple[str, str, str, str]]:
    """Give the findings; which of several equal places speaks for a group is a matter of order."""
    return {(f.code, str(f.severity), f.what, f.source) for f in judge(plan)}


def test_a_drive_of_which_nothing_is_known_raises_questions_only() -> None:
    """`unknown` is asked about, never alarmed."""
    blank: Fact[Any] = Fact(Saying.UNKNOWN, (), mark(7))
    before = {f.as_text() for f in judge(sound_plan())}
    doubtful = with_device(
        sound_plan(),
        "left drive controller",
        present=blank,
        feed=Feed(blank, blank, blank, blank),
        limits=Limits(blank, blank, blank),
        ramp=blank,
        key=BusKey(blank, blank, blank),
    )
    doubtful = with_circuit(doubtful, "left drive", slot="", pinned=blank, protection_a=None, source="")
    new = [f for f in judge(doubtful) if f.as_text() not in before]
    assert new
    assert {f.severity for f in new} == {Severity.SHOULD}
