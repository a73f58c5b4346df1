"""The twin robot itself: well when healthy, as worked by hand when hurt, and in step with the document."""

from __future__ import annotations

import random
import re
from collections.abc import Callable
from dataclasses import replace
from functools import lru_cache
from pathlib import Path

import numpy as np
import pytest

from tests.hunting.robot.twin import Injected, Trouble, Twin
from tests.hunting.robot.twin_asks import OUTCOMES
from tests.hunting.robot.twin_build import usual_a
from tests.hunting.robot.twin_faults import Hurt
from tests.network.spice import operating_point
from tests.robots import EXAMPLES, example_plan

MODEL = Path(__file__).parents[3] / "docs" / "hunting-model.md"


@lru_cache
def twin(name: str) -> Twin:
    """Return the twin of a shipped example; nothing changes it."""
    return Twin(example_plan(name))


def hurt(name: str, kind: str, seat: str, size: float = 1.0) -> Injected:
    """Put one fault of a chosen size into an example."""
    return Injected(twin(name), (Hurt(Trouble(kind, seat), size, 0.4, 0.4),), 1, {})


def seeded(seed: int) -> random.Random:
    """Return a generator of chance with a stated seed."""
    return random.Random(seed)  # noqa: S311  a test's own chance


def rows(heading: str) -> list[list[str]]:
    """Return the cells of the table below a heading of the document."""
    text = MODEL.read_text(encoding="utf-8").split(f"## {heading}\n")[1].split("\n## ")[0]
    lines = [line for line in text.splitlines() if line.startswith("|")]
    return [[cell.strip() for cell in line.strip("|").split("|")] for line in lines[2:]]


def test_the_twin_knows_the_outcomes_of_the_document() -> None:
    """Every kind of check stands in the document's table, with the same outcomes in the same order."""
    told = {}
    for keys, _, outcomes, _ in rows("What can be looked at"):
        for key in re.findall(r"`([^`]+)`", keys):
            told[re.sub(r" [A-Z].*", "", key)] = tuple(outcomes.split(", "))
    assert told == dict(OUTCOMES)


def test_the_twin_knows_the_faults_of_the_document() -> None:
    """Between them the examples offer every kind of the document's table and no other; no key comes twice."""
    told = {kind for row in rows("What may be wrong") for kind in row[0].split(", ")}
    faults = [fault for name in EXAMPLES for fault in twin(name).faults()]
    assert {fault.kind for fault in faults} == told
    for name in EXAMPLES:
        keys = [fault.key for fault in twin(name).faults()]
        assert len(set(keys)) == len(keys)


@pytest.mark.parametrize("name", EXAMPLES)
def test_a_healthy_robot_is_well(name: str) -> None:
    """Every check of a healthy robot comes out well, also where copper and loads are up to a fifth off."""
    for robot in (twin(name).healthy, twin(name).injected((), seeded(7), perturb=0.2)):
        found = {key: robot.answer(key) for key in twin(name).checks()}
        assert found == {key: twin(name).asks[key].outcomes[0] for key in found}
        assert len(robot.symptoms()) == 1


def test_an_open_wire_darkens_what_it_feeds() -> None:
    """Rockpool's controller without its plus: nothing at its end, all at the block; its light and motors are out."""
    robot = hurt("rockpool", "open", "W10 B", np.inf)
    assert robot.reading("volts robot controller B") == pytest.approx(0.0, abs=1e-9)
    assert robot.answer("volts robot controller A") == "as expected"
    assert [robot.answer(f"look {d}") for d in ("robot controller", "beacon", "left wheel controller")] == [
        "dark",
        "dark",
        "lit",
    ]
    assert (robot.answer("run left wheel"), robot.answer("halt")) == ("dead", "rest")


def test_ten_ohms_before_ten_ohms_halve_the_voltage() -> None:
    """Rockpool's controller takes 1 A and its beacon 0.2 A, so 12 and 60 ohm, 10 together: 10 more leave half.

    What else takes current and resistance moves it by less than half a percent.
    """
    robot = hurt("rockpool", "poor", "W10 A", 10.0)
    assert robot.reading("volts robot controller B") == pytest.approx(6.4, rel=5e-3)
    assert robot.answer("volts robot controller B") == "low"
    assert robot.answer("look robot controller") == "lit"  # it stops below 4.5 V
    assert robot.reading("ohms W10") == pytest.approx(10.0, abs=0.05)


def test_a_loose_nut_drops_an_ampere_an_ohm() -> None:
    """A tenth of an ohm at Rockpool's battery drops 1 V under a motor's 10 A, and 0.13 V more for 1.3 A at idle."""
    robot, well = hurt("rockpool", "loose", "W1 A", 0.1), twin("rockpool").healthy
    (more, less) = (robot.reading("drop W1"), well.reading("drop W1"))
    assert more is not None
    assert less is not None
    assert more - less == pytest.approx(1.0 + 0.1 * (1.0 + 0.2 + 0.1), rel=0.05)
    assert robot.answer("drop W1") == "much"
    assert robot.answer("ohms W1") == "as expected"


def test_a_short_opens_what_guards_it_and_nothing_else() -> None:
    """Plus on minus opens a wheel's own breaker, the robot controller's fuse, and at the block the main breaker."""
    wheel, computer, main = (
        hurt("rockpool", "pair short", seat, 0.02) for seat in ("left wheel", "robot controller", "main")
    )
    assert wheel.reading("across left wheel") == pytest.approx(0.02, rel=1e-3)
    assert wheel.answer("across left wheel") == "short"
    assert wheel.answer("breaker left wheel") in {"warm", "open"}
    assert (wheel.answer("volts left wheel A"), wheel.answer("volts right wheel B")) == ("none", "as expected")
    assert (computer.answer("fuse robot controller"), computer.answer("breaker left wheel")) == ("blown", "cold")
    assert (main.answer("breaker main"), main.answer("rail block")) == ("open", "short")


def test_plus_on_the_frame_joins_it_and_leaks_elsewhere() -> None:
    """One ohm at the fault; from the other wheel there are its own input and two inputs side by side before it.

    Inputs are the geometric mean of what their parts say: 14.14 kohm of a controller, 10 kohm of the computer.
    """
    robot = hurt("rockpool", "frame short", "left wheel", 1.0)
    own, computer = (2e3 * 100e3) ** 0.5, (1e3 * 100e3) ** 0.5
    assert robot.reading("frame left wheel") == pytest.approx(1.0, rel=1e-3)
    assert robot.reading("frame right wheel") == pytest.approx(1 + own + own * computer / (own + computer), rel=1e-4)
    assert [robot.answer(f"frame {side} wheel") for side in ("left", "right")] == ["joined", "leak"]
    assert twin("rockpool").healthy.reading("frame left wheel") == np.inf


def test_terminators_and_receivers_stand_side_by_side() -> None:
    """Tidepool's chain has twelve receivers of 30 kohm: 2.5 kohm beside one, two or three times 120 ohm."""
    cases = {"": 2, "terminator missing": 1, "terminator extra": 3}
    for kind, count in cases.items():
        robot = hurt("tidepool", kind, "chain main chain") if kind else twin("tidepool").healthy
        expected = 1 / (count / 120 + 12 / 30e3)
        assert robot.reading("bus main chain") == pytest.approx(expected, rel=0.01)
        word = ("one terminator", "two terminators", "three terminators")[count - 1]
        assert robot.answer("bus main chain") == word


def test_a_chain_ends_for_the_program_where_a_hop_is_open() -> None:
    """Tidepool's hop from the intake to the arm: the intake is still heard, the arm and all behind it are not."""
    [wire] = [
        w for w in twin("tidepool").plan.wires if (w.circuit, w.role) == ("main chain: intake to arm", "bus high")
    ]
    robot = hurt("tidepool", "open", f"{wire.id} A", np.inf)
    order = [device.id for device in twin("tidepool").anatomy.chains[0].devices[1:]]
    behind = order.index("arm controller")
    assert all(robot.answer(f"seen {device}") != "missing" for device in order[:behind])
    assert all(robot.answer(f"seen {device}") == "missing" for device in order[behind:])
    assert robot.answer("look arm controller") == "lit"
    assert (robot.answer("run intake"), robot.answer("run arm")) == ("runs", "dead")
    assert robot.answer("bus main chain") == "one terminator"


def test_motors_miss_a_lead_each_in_its_way() -> None:
    """A brushed motor stands without one of two leads, a brushless one limps; swapped leads turn the brushed one."""
    [brushed] = [w.id for w in twin("rockpool").plan.wires if w.key == ("left wheel: motor side", "plus")]
    [phase] = [w.id for w in twin("tidepool").plan.wires if w.key == ("intake: motor side", "phase b")]
    assert hurt("rockpool", "open", f"{brushed} A", np.inf).answer("run left wheel") == "dead"
    assert hurt("tidepool", "open", f"{phase} A", np.inf).answer("run intake") == "weak"
    assert hurt("rockpool", "reversed", "left wheel: motor side").answer("run left wheel") == "backward"
    assert hurt("tidepool", "reversed", "intake: motor side").answer("run intake") in {"weak", "backward"}


def test_batteries_are_flat_or_weak_each_in_its_way() -> None:
    """A flat one shows at rest; a weak one is charged, and browns the robot out: 150 A through 0.2 ohm are 30 V."""
    flat, weak = hurt("tidepool", "flat", "battery", 11.0), hurt("tidepool", "weak", "battery", 0.2)
    assert [robot.reading("rest") for robot in (flat, weak)] == pytest.approx([11.0, 12.8])
    assert [robot.answer("rest") for robot in (flat, weak)] == ["flat", "charged"]
    assert (weak.answer("brown-out"), weak.answer("load")) == ("yes", "weak")


def test_a_shaky_end_is_well_at_rest_and_shows_when_shaken() -> None:
    """The plug's lug shakes: volts are as expected, wiggling it changes the lights, wiggling another does not."""
    robot = hurt("rockpool", "shaky", "W2 A")
    assert robot.answer("volts main B") == "as expected"
    assert robot.answer("run left wheel") == "runs"
    assert (robot.answer("wiggle W2 A"), robot.answer("wiggle W2 B")) == ("changes", "steady")
    assert robot.answer("tug W2 A") == "moves"


def test_a_moving_joint_shows_when_it_is_bent() -> None:
    """A wire that breaks inside at Tidepool's lift chain: bending the chain changes the arm's light, no end moves."""
    robot = hurt("tidepool", "shaky wire", "W8")
    assert robot.answer("flex lift chain") == "changes"
    assert (robot.answer("tug W8 A"), robot.answer("wiggle W8 A")) == ("holds", "steady")


def test_reversed_reads_reversed_at_the_load_only() -> None:
    """The beacon's wires swapped at its end: minus on the meter there, plus at the controller, and it is dark."""
    robot = hurt("rockpool", "reversed", "beacon")
    assert (robot.answer("volts beacon A"), robot.answer("volts beacon B")) == ("as expected", "reversed")
    assert robot.answer("look beacon") == "dark"


@pytest.mark.parametrize("chance", [seeded, np.random.default_rng])
def test_an_injected_robot_keeps_its_answers(chance: Callable[[int], random.Random | np.random.Generator]) -> None:
    """Drawn again from the same seed, by whatever generator, a robot says the same; what is reported first is true."""
    checks = twin("tidepool").checks()
    for seed, trouble in enumerate(seeded(5).sample(twin("tidepool").faults(), 20)):
        robot, again = (twin("tidepool").injected([trouble], chance(seed), perturb=0.1) for _ in range(2))
        told = again.symptoms()
        assert len(told) <= 4
        assert all(robot.answer(key) == outcome for key, outcome in told)
        found = {key: robot.answer(key) for key in checks}
        assert found == {key: again.answer(key) for key in reversed(checks)}
        assert all(outcome in twin("tidepool").asks[key].outcomes for key, outcome in found.items())


def test_a_mended_robot_is_well_again() -> None:
    """With one of two seats mended the other fault stays as bad as it was; with both, every check comes out well."""
    troubles = [Trouble("pair short", "left wheel"), Trouble("poor", "W10 A")]
    robot = twin("rockpool").injected(troubles, seeded(2))
    half = robot.repaired("left wheel")
    assert (robot.answer("volts left wheel B"), half.answer("volts left wheel B")) == ("none", "as expected")
    assert half.reading("ohms W10") == pytest.approx(robot.reading("ohms W10"), rel=1e-3)
    assert half.troubles == (troubles[1],)
    well = half.repaired("W10 A")
    assert all(well.answer(key) == twin("rockpool").asks[key].outcomes[0] for key in twin("rockpool").checks())


def test_no_check_is_answered_that_a_robot_does_not_have() -> None:
    """A chain that is not there, a device that is not there and a range nobody may use are refused."""
    for check in ("bus main chain", "look nobody", "amps across left wheel", "tug W99 B"):
        with pytest.raises(KeyError):
            twin("rockpool").healthy.answer(check)
        with pytest.raises(KeyError):
            twin("rockpool").healthy.reading(check)
    assert twin("rockpool").healthy.reading("look beacon") is None


def test_a_simulator_finds_the_same_voltages(needs_ngspice: Path) -> None:
    """Breakwater with a poor joint in its regulator's minus: every port with power, to a part in a million."""
    [wire] = [w for w in twin("breakwater").plan.wires if w.key == ("regulator", "minus")]
    alive = hurt("breakwater", "poor", f"{wire.id} B", 2.5).body.alive
    battery = alive.givens[0]
    there = [node for node in alive.number if alive.joined(node, battery.minus) and node != battery.minus]
    number = {battery.minus: 0, **{node: count for count, node in enumerate(there, 1)}}
    links = [link for link in alive.there if link[0] in number]
    lines = [f"R{count} {number[a]} {number[b]} {ohm:.17g}" for count, (a, b, ohm) in enumerate(links)]
    for count, given in enumerate(alive.givens):
        feed, plus, minus = (number[node] for node in (given.feed, given.plus, given.minus))
        inner = len(number) + count
        # The source stands between feed and plus, so that it takes what it gives; its voltage is what plus then lacks.
        lines += [
            f"B{count} {inner} {feed} V = {given.volts:.17g} - v({feed}) + v({minus})",
            f"RG{count} {inner} {plus} {given.ohm:.17g}",
        ]
    found = operating_point(needs_ngspice, lines, range(1, len(number)))
    for node in there:
        assert alive.volts(node, battery.minus) == pytest.approx(found[number[node]], rel=1e-6, abs=1e-6), node
    assert found[number["regulator", "minus"]] > 1.0


def test_a_regulator_holds_its_output_or_lets_it_go() -> None:
    """Breakwater with a battery of 10.8 V: 12 V for the radio are held four times of five, 5 V for the strip always."""
    robots = [
        Injected(twin("breakwater"), (Hurt(Trouble("flat", "battery"), 10.8, 0.4, 0.4),), seed, {})
        for seed in range(60)
    ]
    told = [robot.answer("look radio") for robot in robots]
    assert set(told) == {"lit", "dark"}
    assert 6 <= told.count("dark") <= 20  # of 60, 12 on average
    for robot, radio in zip(robots, told, strict=True):
        assert (robot.answer("look regulator"), robot.answer("look status lights")) == ("lit", "lit")
        assert ("regulator" in robot.body.drops) == (radio == "dark")
    # At 11.8 V, half a volt below 12 V or less, nothing is let go.
    low = [
        Injected(twin("breakwater"), (Hurt(Trouble("flat", "battery"), 11.8, 0.4, 0.4),), seed, {}) for seed in range(9)
    ]
    assert {robot.answer("look radio") for robot in low} == {"lit"}


def test_devices_take_what_they_take_as_a_rule() -> None:
    """What the robot file says, the part's draw, else half of its peak; the radio's draw of 1 A and not its 2 A."""
    devices = twin("breakwater").anatomy.devices
    assert usual_a(devices["radio"]) == 1.0
    assert usual_a(devices["status lights"]) == 1.5
    radio = devices["radio"]
    bare = {name: value for name, value in radio.part.values.items() if name != "draw"}
    assert usual_a(replace(radio, part=replace(radio.part, values=bare))) == 1.0
    bare = {name: value for name, value in devices["vision"].part.values.items() if name != "draw"}
    assert usual_a(replace(devices["vision"], part=replace(devices["vision"].part, values=bare))) == 2.0


def test_a_robot_without_volts_did_not_brown_out() -> None:
    """The main breaker off, or a wire of the battery open: it is off. Through 0.2 ohm and 150 A it browns out."""
    for kind, seat, size in (("off", "main breaker", 1.0), ("open", "W1 A", np.inf)):
        assert hurt("rockpool", kind, seat, size).answer("brown-out") == "no"
    assert hurt("rockpool", "weak", "battery", 0.2).answer("brown-out") == "yes"


@pytest.mark.parametrize(("name", "count", "kinds"), [("rockpool", 40, 7), ("tidepool", 12, 5)])
def test_software_does_one_thing_alone(name: str, count: int, kinds: int) -> None:
    """In every way that it may: its motor, light, line or halt; under a plain test program every motor runs."""
    well = {ask.key: ask.outcomes[0] for ask in twin(name).asks.values()}
    shown = {"odd": "look", "unseen": "seen", "halt": "halt", "brown-out": "brown-out"}
    met = set()
    for seed in range(count):
        robot = Injected(twin(name), (Hurt(Trouble("software", ""), 1.0, 0.4, 0.4),), seed, {})
        what, about = robot.senses.set
        wrong = {key: robot.answer(key) for key in well if robot.answer(key) != well[key]}
        wrong = {key: told for key, told in wrong.items() if not key.startswith(("since", "program"))}
        own = {key for key in wrong if twin(name).asks[key] not in twin(name).groups and not key.startswith("amps")}
        if what in ("dead", "weak", "backward", "always"):
            assert own == {f"run {about}", f"drove {about}"}
            assert set(wrong.values()) <= {what, "not as ever", "none", "little"}
        else:
            [key] = own
            assert key == (what if what in ("halt", "brown-out") else f"{shown[what]} {about}")
        met.add(what)
    assert len(met) >= kinds
    assert "unseen" in met or not twin(name).anatomy.chains
