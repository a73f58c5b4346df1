"""Laws of the Wake-up of any robot: monotone in what hangs on it, blind to the file's order, never at a loss."""

from __future__ import annotations

import math
import re
from typing import TYPE_CHECKING, Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loomwright.electrical.board import Board, Side, whole_board
from loomwright.electrical.network_of import end_node, network_of, wire_name
from loomwright.model.part import Polarity
from loomwright.network import Meter
from loomwright.proof.wake_up import wake_up
from loomwright.proof.wake_up_reading import Readings
from loomwright.proof.wake_up_result import Expected, Kind, PowerStage, Topic, WakeUp
from tests.robots import EXAMPLES, as_text, example_plan, plan_of, robots, shuffled

if TYPE_CHECKING:
    from loomwright.plan.result import Plan

HOSTILE = ("=1+1", "../x", "a" * 60, "מנוע", "🤖", "x, y; z", "W6", "minus", "frame")


def board(list_: WakeUp) -> Expected:
    """Return what the whole board should read."""
    [found] = [m for m in list_.measurements if m.topic is Topic.BOARD]
    return found.expected


def facts(list_: WakeUp) -> list[tuple[Any, ...]]:
    """Return every row's key and what it expects."""
    return [(m.key, m.expected, m.swapped, m.red, m.black, m.first) for m in list_.all_readings]


@given(robots(most_motors=4))
@settings(max_examples=8)
def test_every_row_of_every_robot_can_be_acted_on(robot: dict[str, Any]) -> None:
    """Places, setting, an expectation in words and numbers that fit; only the first row is the meter itself."""
    plan = plan_of(as_text(robot))
    told = wake_up(plan)
    ids = {wire.id for wire in plan.wires}
    assert [m.number for m in told.all_readings] == list(range(1, len(told.all_readings) + 1))
    assert len({m.key for m in told.all_readings}) == len(told.all_readings)
    for m in told.all_readings:
        assert m.what
        assert m.why
        assert m.red.words
        assert m.black.words
        assert set(m.wires) <= ids
        live = m.topic in (Topic.BATTERY, Topic.POWER)
        assert (m.setting.function == "DC volts") == live, m.key
        for expected in filter(None, (m.expected, m.swapped)):
            assert expected.words
            assert expected.reason
            if expected.kind is Kind.RANGE:
                assert expected.low is not None
                assert expected.high is not None
                assert 0 <= expected.low <= expected.high < math.inf
            assert (expected.kind is Kind.UNKNOWN) <= (expected.low is None)
            if m.stop is not None and expected.kind is Kind.RANGE:
                assert m.stop.below is None or m.stop.below <= (expected.low or 0.0), m.key
                assert m.stop.above is None or m.stop.above >= (expected.high or 0.0), m.key


def refuse_a_wire_unmentioned(plan: Plan) -> None:
    """Every wire lies in the way of the meter at a row, or is named in a line that says why not; none in both."""
    told = wake_up(plan)
    through = {wire for row in told.measurements for wire in row.through}
    named = [wire for line in told.left_out for wire in line.wires]
    assert sorted([*through, *named]) == sorted(wire.id for wire in plan.wires)
    for row in told.measurements:
        assert set(row.through) <= set(row.wires), row.key
    for line in told.left_out:
        assert all(re.search(rf"\b{wire}\b", line.words) for wire in line.wires), line


@pytest.mark.parametrize("name", EXAMPLES)
def test_no_wire_of_an_example_goes_unmentioned(name: str) -> None:
    """And a row that claims a wire shows its break: cut, what the network gives there lies beyond the limit."""
    plan = example_plan(name)
    refuse_a_wire_unmentioned(plan)
    rows = {wire: row for row in wake_up(plan).measurements if row.topic is Topic.DATA for wire in row.through}
    wires = {wire.id: wire for wire in plan.wires}
    for wire, row in rows.items():
        broken = network_of(plan, Board(), Side.LOW).opened([wire_name(wires[wire])])
        red, black = (("port", p.device, p.socket, p.polarity) for p in (row.red, row.black))
        if row.black.words.startswith("the joint"):
            continue
        assert row.stop is not None
        assert Meter(broken).ohms(red=red, black=black).resistance_ohm > (row.stop.above or 0.0), wire


@given(robots(most_motors=4))
@settings(max_examples=8)
def test_no_wire_of_any_robot_goes_unmentioned(robot: dict[str, Any]) -> None:
    refuse_a_wire_unmentioned(plan_of(as_text(robot)))


@given(robots(most_motors=3), st.integers(0, 999))
@settings(max_examples=5)
def test_the_order_of_the_file_changes_nothing(robot: dict[str, Any], seed: int) -> None:
    """The same robot with its keys shuffled has the same rows, to the last digit, and the same stages."""
    one, other = (wake_up(plan_of(as_text(told))) for told in (robot, shuffled(robot, seed)))
    assert facts(one) == facts(other)
    assert [(s.key, s.do, s.expect) for s in one.stages] == [(s.key, s.do, s.expect) for s in other.stages]
    assert (one.looks, one.left_out) == (other.looks, other.left_out)


@given(robots(most_motors=2), st.integers(1, 3))
@settings(max_examples=5)
def test_more_loads_never_raise_the_reading_of_the_board(robot: dict[str, Any], more: int) -> None:
    """Every controller more is one more way from plus to minus."""
    before = board(wake_up(plan_of(as_text(robot))))
    added = {f"extra {n}": {"motor": "motor/brushless-600w-built-in", "id": 50 + n} for n in range(more)}
    motors = robot["mechanisms"]["all of it"]["motors"]
    after = board(wake_up(plan_of(as_text(robot | {"mechanisms": {"all of it": {"motors": motors | added}}}))))
    for one, other in ((after.low, before.low), (after.high, before.high)):
        assert one is not None
        assert other is not None
        assert one < other


@given(robots(most_motors=3))
@settings(max_examples=5)
def test_swapping_the_probes_of_plain_resistors_changes_nothing(robot: dict[str, Any]) -> None:
    """Where nothing is polar the network has no direction: wires, whichever end is red."""
    plan = plan_of(as_text(robot))
    readings = Readings(plan)
    for state in (Board(), whole_board(plan)):
        for wire in plan.wires:
            if wire.a.polarity is not Polarity.CABLE:
                red, black = end_node(wire, wire.a), end_node(wire, wire.b)
                there, back = readings.span(state, red, black), readings.span(state, black, red)
                assert there == pytest.approx(back, rel=1e-12)


@given(robots(most_motors=3))
@settings(max_examples=5)
def test_a_wire_and_its_parts_leads_add_up(robot: dict[str, Any]) -> None:
    """From a slot to the device through a joint is the wire and the lead in a row."""
    plan = plan_of(as_text(robot))
    meter = Readings(plan).meter(Board(), Side.HIGH, inputs=False)
    for circuit in plan.circuits:
        for wire in circuit.wires:
            joint = end_node(wire, wire.b)
            port = ("port", wire.b.device, wire.b.socket, wire.b.polarity)
            if wire.b.polarity is Polarity.PLUS and joint != port and circuit.slot.value:
                a = end_node(wire, wire.a)
                parts = [meter.ohms(red=one, black=other).resistance_ohm for one, other in ((a, joint), (joint, port))]
                assert meter.ohms(red=a, black=port).resistance_ohm == pytest.approx(sum(parts), rel=1e-12)


def test_power_comes_to_feeds_first_and_to_drives_last() -> None:
    """No stage before what feeds it, no drive before anything that is none, and each protected circuit once."""
    robot = {
        "robot": "Staged",
        "battery": {"part": "battery/agm-12v-18ah", "leads": "6 AWG", "lead length": "25 cm"},
        "main breaker": {"part": "breaker/main-120a", "lead length": "20 cm"},
        "blocks": {
            "block": {"part": "block/12-heavy-12-light-2-fused", "lead length": "20 cm"},
            "z outer": {"part": "block/sub-6-light", "from": "block", "length": "30 cm"},
            "a inner": {"part": "block/sub-8-fused", "from": "z outer", "length": "20 cm"},
        },
        "mechanisms": {
            "a drive": {"motor": "motor/brushless-600w-built-in", "length": "30 cm", "limit": {"supply": "6 A"}}
        },
        "electronics": {
            "robot controller": {"part": "computer/robot-controller", "feed": "fused", "length": "30 cm"},
            "vision": {"part": "computer/vision-12v", "from": "a inner", "length": "40 cm"},
        },
    }
    told = wake_up(plan_of(as_text(robot)))
    order = ["empty board", "z outer", "a inner", "robot controller", "vision", "a drive"]
    assert [stage.key for stage in told.stages] == order
    assert [stage.key for stage in told.stages if stage.motor] == ["a drive"]
    last = told.stages[-1]
    assert any("a plug; see its manual): 6 A. If not, its 40 A protection" in step for step in last.do)
    assert any("set every current limit back" in step for step in last.do)
    assert last.do[0] == "Main breaker off."
    assert any("Nothing that hangs on it lights yet" in light for light in told.stages[1].expect)
    vision = last_volts(told, "vision: volts")
    # Vision takes 4 A at most: over its 80 cm of 18 AWG alone that is 67 mV.
    assert vision.low is not None
    assert vision.low < 12.7 - 0.067


def stages_of(name: str) -> dict[str, PowerStage]:
    """Return the stages of an example by their key, in their order."""
    return {stage.key: stage for stage in wake_up(example_plan(name)).stages}


def test_what_spins_freely_turns_first_and_what_can_fall_last() -> None:
    """By hand from the files: roller and flywheel, wheels, then arm, climber, lift; who leads before who follows."""
    turning = [key for key, stage in stages_of("tidepool").items() if stage.motor]
    free, wheels = ["intake", "upper wheel", "lower wheel"], ["left front", "left rear", "right front", "right rear"]
    assert turning == [*free, *wheels, "arm", "climber", "lift motor", "air"]
    keys = list(stages_of("tidepool"))
    assert keys.index("signals") == keys.index("intake") - 1, "switches are proved before anything turns"


def test_two_on_one_mechanism_turn_alone_first() -> None:
    """Lift right follows lift left, reversed: told at both, and the first one is off while the second turns."""
    stages = stages_of("breakwater")
    assert any("one mechanism with lift right, without power yet" in step for step in stages["lift left"].do)
    do = " ".join(stages["lift right"].do)
    assert "one mechanism with lift left, and is reversed in the program" in do
    assert (
        do.index("take out the protection of lift left again") < do.index("Enable it") < do.index("lift left in again")
    )
    assert any("One turns the wrong way" in words for words in stages["lift right"].stop)
    for key in ("front left drive", "front left steer", "arm"):
        assert "one mechanism" not in " ".join(stages[key].do), "drive and steering of a module are two mechanisms"


def test_who_sets_a_limit_and_how() -> None:
    """A controller on a chain is told its limit; one that takes pulses has none to set but its own, if any."""
    assert any("program: set its supply-side current limit to 10 A" in step for step in stages_of("tidepool")["arm"].do)
    do = " ".join(stages_of("rockpool")["left wheel"].do)
    assert "It takes pulses, which set no limit." in do
    assert "8 A. If not, its 10 A protection and the low speed are the limit." in do
    assert "a pulse of 1.55 ms" in do
    assert "set its supply-side" not in do


def test_air_comes_last_and_signals_answer() -> None:
    """Where there is air, it has a stage; every signal lead and cable without a row is looked at in a stage."""
    stages = stages_of("tidepool")
    assert list(stages)[-1] == "air"
    assert any("(gate and hook)" in step for step in stages["air"].do)
    assert "air" not in stages_of("breakwater")
    for name in EXAMPLES:
        told = wake_up(example_plan(name))
        expect = " ".join(words for stage in told.stages for words in stage.expect)
        for line in told.left_out:
            if "Signals" in line.words or "cables" in line.words:
                assert all(re.search(rf"\b{wire}\b", expect) for wire in line.wires), line


def last_volts(told: WakeUp, key: str) -> Expected:
    """Return what a reading of the first power expects."""
    [found] = [m for stage in told.stages for m in stage.readings if m.key == key]
    return found.expected


CHAIN = """
robot: Chained
battery: {part: battery/agm-12v-18ah, leads: 6 AWG, lead length: 25 cm}
main breaker: {part: breaker/main-120a, lead length: 20 cm}
blocks: {block: {part: block/6-heavy-10-light-2-fused, lead length: 20 cm}}
electronics: {robot controller: {part: computer/robot-controller, feed: fused, length: 30 cm}}
"""


def pair_of(data: str) -> Any:  # noqa: ANN401  a row
    """Return the row across the one chain of a small robot."""
    return next(m for m in wake_up(plan_of(CHAIN + data)).measurements if m.topic is Topic.DATA)


def test_a_chain_of_two_worked_by_hand() -> None:
    """Two terminators of 120 ohm +-5 % side by side, two receivers of 10 to 100 kohm, a wire of unknown length.

    Least: 114/2 beside 5 kohm is 56.36; most: 126 beside 126 and up to 2 ohm of wire, beside receivers: below 63.5.
    With the far terminator off: 114 beside 5 kohm is 111.5, and 126 beside 50 kohm is 125.7, and the leads.
    """
    found = pair_of("data: {chain: {order: [robot controller, block], terminators: [robot controller, block]}}\n")
    assert found.expected.low == pytest.approx(1 / (2 / 114 + 2 / 10e3), abs=1e-6)
    near, far = 1 / (1 / 126 + 1 / 100e3), 1 / (1 / 126 + 1 / 100e3) + 2 * 1.0
    assert found.expected.high == pytest.approx(1 / (1 / near + 1 / far) + 0.5, abs=1e-6)
    assert (found.stop.below, found.stop.above) == (50, 70)
    assert [m.means.split(",")[0].split(".")[0] for m in found.meanings] == [
        "One terminator is off",
        "A third terminator is on",
        "No terminator is reached: both are off",
        "High and low touch",
    ]
    assert found.meanings[1].reading == "about 40 Ω"
    assert found.meanings[0].reading == "111 Ω to 126 Ω"


BOTH_ENDS = "data: {chain: {order: [robot controller, block], terminators: [robot controller, block]}}\n"
ONE_END = "data: {chain: {order: [robot controller, block]}}\n"


@pytest.mark.parametrize(("data", "lines"), [(BOTH_ENDS, ["high"]), (ONE_END, ["high", "low"])])
def test_a_swap_of_high_and_low_shows_along_a_line(data: str, lines: list[str]) -> None:
    """One wire of up to 1 ohm, a meter and joints of 0.5 each: 2 ohm; swapped, it is the way across: 56 ohm and more.

    With a terminator at one end alone a break of low does not show across, so that both lines are measured.
    """
    plan = plan_of(CHAIN + data)
    found = [m for m in wake_up(plan).measurements if m.topic is Topic.DATA]
    assert [m.key for m in found[1:]] == [f"chain: {line} along" for line in lines]
    for row in found[1:]:
        assert row.stop is not None
        assert row.expected.words == "at most 1.5 Ω"
        assert row.stop.above == 2
        assert row.stop.above < 114 / 2, "the way through two terminators lies beyond it"
    refuse_a_wire_unmentioned(plan)


@pytest.mark.parametrize(
    ("data", "missing"),
    [
        ("data: {chain: {order: [robot controller, block]}}\n", "terminators"),
        ("data: {chain: {order: unknown, devices: [robot controller, block]}}\n", "order"),
    ],
)
def test_a_chain_that_is_half_known_is_told_as_unknown(data: str, missing: str) -> None:
    """Sixty ohm is what two terminators read; whether there are two, the file does not say."""
    found = pair_of(data)
    assert found.expected.kind is Kind.UNKNOWN
    assert f"the {missing} of chain" in found.expected.words


UNKNOWN = """
robot: Mostly unknown
unsaid: ask
battery: {part: unknown}
main breaker: {part: unknown}
blocks: {block: {part: unknown}}
mechanisms:
  roller: {motor: unknown, controller: unknown, slot: unknown}
  wheel: {motor: motor/brushed, controller: controller/any}
electronics:
  thing: {part: device/any, from: unknown}
  robot controller: {part: unknown}
  radio: {part: radio/any}
data: {chain: {order: unknown, devices: [roller, wheel]}}
"""


def test_a_robot_of_which_next_to_nothing_is_known_still_has_its_list() -> None:
    """What can't be computed is told as unknown, with a reason; nothing is guessed and nothing breaks."""
    told = wake_up(plan_of(UNKNOWN))
    assert told.looks
    assert told.measurements[0].topic is Topic.METER
    assert told.left_out
    volts = [m.expected for m in told.all_readings if m.topic in (Topic.BATTERY, Topic.POWER)]
    assert all(expected.kind is Kind.UNKNOWN for expected in volts)


@pytest.mark.parametrize(
    "text",
    [
        "robot: Bare\nbattery: {part: battery/agm-12v-18ah}\n",
        "robot: Nothing\n",
        "robot: No battery\nblocks: {block: {part: block/6-heavy-10-light-2-fused}}\n",
    ],
    ids=["battery only", "nothing", "block only"],
)
def test_a_robot_with_hardly_anything_has_a_list(text: str) -> None:
    """The meter, the questions, and what there is."""
    told = wake_up(plan_of(text))
    assert told.measurements[0].key == "meter: leads"
    assert told.stages[0].key == "empty board"


def test_hostile_names_stay_names() -> None:
    """Names that look like a formula, a path, another wire, or the network's own words end up in words only."""
    motors = {
        name: {"motor": "motor/brushless-500w", "controller": "controller/inline-40a", "length": "50 cm", "id": n}
        for n, name in enumerate(HOSTILE, 1)
    }
    robot = {
        "robot": "=cmd",
        "battery": {"part": "battery/agm-12v-18ah", "leads": "6 AWG", "lead length": "25 cm"},
        "main breaker": {"part": "breaker/main-120a", "lead length": "20 cm"},
        "blocks": {"block": {"part": "block/12-heavy-12-light-2-fused", "lead length": "20 cm"}},
        "mechanisms": {"all": {"motors": motors}},
    }
    told = wake_up(plan_of(as_text(robot)))
    about = {m.about for m in told.measurements}
    assert set(HOSTILE) <= about
    assert board(told).low == pytest.approx(1 / (1 / 1000 + len(HOSTILE) / 2000), abs=0.05)
