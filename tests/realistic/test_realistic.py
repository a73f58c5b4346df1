"""Six robots as teams really have them: exactly what a mentor would say of each is told, and nothing else.

What is expected was written down by hand before the tool was asked. A finding is told as (severity, code, thing).
"""

from __future__ import annotations

import shutil
from collections import Counter
from functools import lru_cache
from pathlib import Path

import pytest

from loomwright.findings import must_fix
from loomwright.jobs.check import check
from loomwright.jobs.plan import plan_robot
from loomwright.plan.result import Plan, PlannedCircuit
from loomwright.wiring.result import CircuitKind

Told = tuple[str, str, str]

HERE = Path(__file__).parent
SHEETS = ("circuits.csv", "wires.csv", "plan.xlsx", "plan.json", "spine.svg", "plate.svg", "data.svg")

#: What only people can answer by looking, asked of every robot that does not say it.
LOOK: list[Told] = [
    ("should", "battery-strapped", "battery.strapped"),
    ("should", "battery-posts-insulated", "battery.posts insulated"),
    ("should", "battery-lock-nuts", "battery.lock nuts"),
    ("should", "breaker-reachable", "main breaker.reachable"),
    ("should", "breaker-guarded", "main breaker.guarded"),
    ("should", "breaker-nuts-visible", "main breaker.nuts visible"),
]

#: What shakes loose in a hit is a thought where nobody wrote it down.
TIED = ("consider", "block-wires-tied", "blocks.block.wires tied")
CONTROLLER = "computer-robot-controller-shock-mounted"

#: Ten lines: two devices that inspectors ask for are missing, and all lengths are.
LIMPET: list[Told] = [
    ("must", "required-device", "robot"),  # the robot controller
    ("must", "required-device", "robot"),  # the signal light
    *LOOK,
    ("should", "half-known", "mechanisms.left.controller"),
    ("should", "length-unknown", "battery"),
    ("should", "length-unknown", "mechanisms.left"),
    ("should", "length-unknown", "mechanisms.scoop"),
    ("consider", "no-limit", "mechanisms.left"),
    ("consider", "free-slots", "blocks.block"),
    TIED,
]

#: A careful team: nothing must be fixed or looked at. 18 AWG on a 20 A fuse is what the trade does, and a thought.
#: Silent: 12 AWG on 40 A in a harness of eight, labels in an order of their own, and the number 5 of two makers.
#: A pulse drive has no limit.
BARNACLE: list[Told] = [
    ("consider", "given-gauge", "electronics.regulator"),
    ("consider", "no-limit", "mechanisms.sweeper"),
    ("consider", "free-slots", "blocks.block"),
]

#: A spreadsheet of slots, labels and gauges. Three gauges are wrong: 14 AWG on 40 A is below the book and too thin for
#: its clamp, 16 AWG on 30 A is below the book and too hot in a fault. All else is asked, one question a subject.
DRIFTLINE: list[Told] = [
    ("must", "wire-too-thin", "mechanisms.elevator.motors.elev 2.wire"),
    ("must", "given-gauge", "mechanisms.elevator.motors.elev 2"),
    ("must", "wire-too-thin", "mechanisms.shoot.wire"),
    ("should", "given-gauge", "mechanisms.shoot"),
    *LOOK,
    ("should", "required-device", "robot"),  # a signal light: asked, since the file leaves much out
    ("should", "unknown", "mechanisms.base.motors.LF.controller"),
    ("should", "label-on-two-slots", "blocks.block.labels.H8"),
    ("should", "left-out", "mechanisms.base.motors.LF.limit.supply"),
    ("should", "left-out", "mechanisms.base.motors.LF.limit.motor"),
    ("should", "half-known", "pneumatics.pcm.part"),
    ("should", "length-unknown", "battery"),
    ("should", "length-unknown", "mechanisms.elevator.motors.elev 1"),  # and all others with 12 AWG on 40 A
    ("should", "length-unknown", "mechanisms.elevator.motors.elev 2"),
    ("should", "length-unknown", "mechanisms.arm"),
    ("should", "length-unknown", "mechanisms.int"),
    ("should", "length-unknown", "mechanisms.hop"),  # and the air, both 18 AWG on 20 A
    ("should", "length-unknown", "mechanisms.shoot"),
    ("should", "length-unknown", "electronics.ctrl"),
    ("should", "length-unknown", "electronics.reg"),
    ("consider", "given-gauge", "electronics.reg"),  # 18 AWG on a 20 A fuse
    ("consider", "free-slots", "blocks.block"),
    TIED,
    ("consider", CONTROLLER, "electronics.ctrl.shock mounted"),
]

#: An older robot on screw clamps of the team's own part. Silent: one pulse output for two controllers, number 5 on two
#: types, lights on a valve output, a compass behind a controller, the compressor behind its module, 18 AWG on a 20 A
#: breaker. The belt's 90 cm of 18 AWG drop 6.3 % at the 20 A that nothing limits.
KELP: list[Told] = [
    ("should", "long-recovery-on-friction", "electronics.radio.joint"),
    ("should", "half-known", "lights.ring.part"),
    ("should", "given-gauge", "mechanisms.belt"),
    ("consider", "no-limit", "mechanisms.left drive.motors.left 1"),
    ("consider", "free-slots", "blocks.block"),
    ("consider", "free-slots", "blocks.fuse panel"),
    TIED,
    ("consider", "block-wires-tied", "blocks.fuse panel.wires tied"),
    ("consider", CONTROLLER, "electronics.robot controller.shock mounted"),
    ("consider", "radio-shock-mounted", "electronics.radio.shock mounted"),
]

#: Seventeen motors, 22 devices on two buses, equal numbers on types and buses: silent. 262 lights ask 15 A of 3 A.
#: Nor could any wire bring 15 A there at 5 V: the lights' own 15 cm of 20 AWG (33 mohm/m) drop 0.15 V out and back, and
#: 43 cm of the 16 AWG (13 mohm/m) that the output takes at most 0.17 V: 0.32 V, and 5 % are 0.25 V. Places are
#: written, and no trunks.
SPINDRIFT: list[Told] = [
    ("must", "output-overloaded", "lights.rim lights.draw"),
    ("must", "no-gauge", "lights.rim lights"),
    ("should", "limit-switched-off", "mechanisms.mast.limit.enabled"),
    ("consider", "trunks-proposed", "plate"),
    ("consider", "free-slots", "blocks.block"),
    ("consider", "free-slots", "blocks.steady"),
    ("consider", "leads-reach", "sensors.rr angle"),  # its leads are 30 cm, its way to the sub-block 15
]
#: Half of the lights at half brightness, and no mast: nothing is left to say, and that sensor stands on another slot.
SPINDRIFT_PRACTICE: list[Told] = SPINDRIFT[3:6]
#: 15 A from a supply of 20 A is fine; the strip's own 20 AWG leads behind it are not.
SPINDRIFT_PARADE: list[Told] = [("should", "own-leads-thin", "lights.rim lights"), *SPINDRIFT[2:]]

#: What could be read off a robot that others wired. Facts that can't be right are musts, doubts are questions; the two
#: rollers' doubtful numbers, a guess beside a guess, and what was removed are no alarms. The claw's 1.2 m of 14 AWG
#: (8.3 mohm/m) alone drop 0.597 V at 30 A, its controller's own 20 cm of 12 AWG (5.2 mohm/m) 0.062 V more: 5.5 %.
SANDBAR: list[Told] = [
    ("must", "limit-zero", "mechanisms.drive.motors.right front.limit.supply"),
    ("must", "limit-above-protection", "mechanisms.drive.motors.left rear.limit.supply"),  # 120 A on 40 A
    ("must", "ramp-too-long", "mechanisms.drive.motors.left rear.ramp"),  # 100 where seconds are meant
    ("must", "bus-id-used-twice", "mechanisms.drive.motors.right rear.id"),
    ("must", "slot-used-twice", "mechanisms.right roller.slot"),
    ("must", "wrong-fuse", "electronics.regulator.protection"),
    ("should", "breaker-guarded", "main breaker.guarded"),
    ("should", "battery-lock-nuts", "battery.lock nuts"),
    ("should", "battery-lead-too-long", "battery.lead length"),
    ("should", "guessed", "battery.lead length"),
    ("should", "guessed", "mechanisms.drive.motors.right rear.slot"),
    ("should", "guessed", "sensors.lift zero.port"),
    ("should", "none-found", "mechanisms.drive.motors.left front.limit.supply"),
    ("should", "claims-disagree", "mechanisms.drive.motors.left front.ramp"),
    ("should", "load-on-two-slots", "mechanisms.lift.slot"),  # two claims
    ("should", "limit-switched-off", "mechanisms.lift.limit.enabled"),
    ("should", "given-gauge", "mechanisms.claw"),
    ("should", "factory-id", "mechanisms.lift.id"),
    ("should", "half-known", "mechanisms.lift.motor"),
    ("should", "limit-sides-swapped", "mechanisms.drive.motors.right rear.limit"),
    ("should", "label-on-two-slots", "blocks.block.labels.L2"),
    ("should", "convention-broken", "mechanisms.drive.motors.left rear.id"),
    ("should", "convention-broken", "mechanisms.drive.motors.right front.id"),
    ("should", "convention-broken", "mechanisms.left roller.id"),
    ("should", "convention-broken", "mechanisms.right roller.id"),
    ("should", "unknown", "mechanisms.winch.present"),
    ("should", "unknown", "mechanisms.winch.id"),
    ("should", "length-unknown", "mechanisms.winch"),
    ("should", "chain-order", "data.spine.order"),
    ("should", "maybe-swapped", "maybe swapped"),
    ("consider", "limit-above-rating", "mechanisms.drive.motors.right rear.limit.supply"),
    ("consider", "stale-remark", "stale"),
]

ROBOTS = [
    ("limpet", "", LIMPET),
    ("barnacle", "", BARNACLE),
    ("driftline", "", DRIFTLINE),
    ("kelp", "", KELP),
    ("spindrift", "", SPINDRIFT),
    ("spindrift", "practice", SPINDRIFT_PRACTICE),
    ("spindrift", "parade", SPINDRIFT_PARADE),
    ("spindrift", "competition", SPINDRIFT),
    ("sandbar", "", SANDBAR),
]


def _folder(name: str, base: Path) -> Path:
    """Lay out one robot's folder with the team's own parts."""
    folder = base / name
    folder.mkdir(parents=True, exist_ok=True)
    shutil.copy(HERE / f"{name}.yaml", folder / "robot.yaml")
    shutil.copytree(HERE / "parts", folder / "parts", dirs_exist_ok=True)
    return folder


@lru_cache(maxsize=16)
def _checked(name: str, build: str, base: Path) -> Plan:
    return check(_folder(name, base), build)


@pytest.fixture(scope="module")
def base(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Give the module one place for its folders; plans are frozen, so tests share them."""
    return tmp_path_factory.mktemp("robots")


@pytest.mark.parametrize(("name", "build", "expected"), ROBOTS, ids=[f"{n} {b}".strip() for n, b, _ in ROBOTS])
def test_exactly_what_a_mentor_would_say_is_told(name: str, build: str, expected: list[Told], base: Path) -> None:
    """No false alarm, and nothing missed."""
    told = Counter((str(f.severity), f.code, f.place.thing) for f in _checked(name, build, base).findings)
    assert list((told - Counter(expected)).elements()) == [], "false alarms"
    assert list((Counter(expected) - told).elements()) == [], "missed"


@pytest.mark.parametrize(("name", "build"), [(n, b) for n, b, _ in ROBOTS])
def test_every_one_plans_through_all_writers_and_twice_the_same(name: str, build: str, tmp_path: Path) -> None:
    """Every sheet is written, whatever is unknown or wrong; planning again changes no byte."""
    folder = _folder(name, tmp_path)
    planned = plan_robot(folder, build)
    first = {path: path.read_bytes() for path in planned.written}
    assert {path.name for path in first} >= set(SHEETS)
    assert all(first.values())
    assert plan_robot(folder, build).written == ()
    for kept in folder.rglob("out/**/.*.json"):
        kept.unlink()
    plan_robot(folder, build)
    assert {path: path.read_bytes() for path in planned.written} == first
    expected = next(told for n, b, told in ROBOTS if (n, b) == (name, build))
    assert must_fix(planned.plan.findings) == any(severity == "must" for severity, _, _ in expected)


def _circuit(plan: Plan, name: str) -> PlannedCircuit:
    found = plan.circuit(name)
    assert found is not None, f"no circuit {name}"
    return found


def test_a_default_in_doubt_names_all_its_motors(base: Path) -> None:
    """`every motor: {motor: unknown}` asks about twelve motors, not about one."""
    (asked,) = [f for f in _checked("driftline", "", base).findings if f.code == "unknown"]
    assert "LF, LM" in asked.what
    assert asked.what.endswith(" and 4 more.")


def test_a_teams_own_block_is_wired_as_its_part_says(base: Path) -> None:
    """Its screw clamps ask for 12 mm and get a ferrule; its stud gets a tube lug."""
    plan = _checked("kelp", "", base)
    at_slot = _circuit(plan, "ladder 1").wires[0].a
    assert at_slot.treatment is not None
    assert at_slot.treatment.terminal == "ferrule with a collar"
    assert at_slot.treatment.strip_m == pytest.approx(0.012)
    at_stud = next(w.b for w in _circuit(plan, "main").wires if w.b.device == "block")
    assert at_stud.treatment is not None
    assert at_stud.treatment.terminal == "tube lug, 1/4 in stud"


def test_power_path_and_control_path_differ_as_on_real_robots(base: Path) -> None:
    """One pulse output drives two controllers, lights hang on a valve output, a compass sits behind a controller."""
    plan = _checked("kelp", "", base)
    pulses = {_circuit(plan, f"{name}: on pulse 0").wires[0].a.where for name in ("left 1", "left 2")}
    assert pulses == {"robot controller pulse 0 signal"}
    assert {_circuit(plan, name).slot.value for name in ("left 1", "left 2")} == {"A1", "A2"}
    ring = _circuit(plan, "ring")
    assert (ring.source, ring.slot.value) == ("air module", "valve 6")
    assert _circuit(plan, "compass: on data").circuit.sources == ("ladder 2 controller",)
    air, compressor = _circuit(plan, "air module"), _circuit(plan, "compressor")
    assert compressor.source == "air module"
    assert air.current.value == pytest.approx(0.1 + 9.4 + 2 * 0.1 + 0.1 + 0.3)  # module, compressor, coils, ring


def test_a_large_robot_is_all_there(base: Path) -> None:
    """17 motor circuits, two buses with 22 devices beside controller, block and resistor, 24 slots and 2 fuses."""
    plan = _checked("spindrift", "", base)
    motors = [c for c in plan.circuits if c.circuit.kind is CircuitKind.BRANCH and _drives(plan, c)]
    assert len(motors) == 17
    assert len({c.slot.value for c in motors}) == 17
    members = [name for bus in plan.robot.buses if bus.kind == "bus" for name in bus.members]
    assert len(set(members) - {"robot controller", "block", "tool end"}) == 22
    # Its climber runs at 60 % of 40 A for long: 24 A, where more than six in a bundle leave 12 AWG 45 A / 2 = 22.5 A.
    heavy = {c.circuit.id: str(c.gauge.value) for c in motors if c.slot.value.startswith("H")}
    assert {name for name, gauge in heavy.items() if gauge != "12 AWG"} == {"mast"}
    assert heavy["mast"] == "10 AWG"
    light = {c.circuit.id: str(c.gauge.value) for c in motors if c.slot.value.startswith("L")}
    # A roller runs at 60 % of 30 A for long. Where more than six of a bundle carry current 14 AWG is left with 17.5 A:
    # all of them lie with fewer.
    assert set(light.values()) == {"14 AWG"}


def _drives(plan: Plan, circuit: PlannedCircuit) -> bool:
    load = plan.robot.device(circuit.circuit.load)
    return load is not None and bool(load.mechanism)
