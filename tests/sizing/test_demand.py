"""Which current a circuit is judged at, which one heats it, and where both come from."""

from __future__ import annotations

import pytest

from loomwright.model.reason import Origin, Reasoned
from loomwright.plan.result import PlannedCircuit
from tests.robots import plan_of

HEAD = """
robot: T
battery: {part: battery/agm-12v-18ah}
main breaker: {part: breaker/main-120a}
blocks:
  block: {part: block/6-heavy-10-light-2-fused}
"""


def circuit(rest: str, name: str) -> PlannedCircuit:
    """Plan a small robot and return one of its circuits."""
    found = plan_of(HEAD + rest).circuit(name)
    assert found is not None
    return found


def motor(said: str, part: str = "motor/brushless-500w") -> str:
    """Write a lift with one motor."""
    return (
        "mechanisms:\n  lift:\n    does: {kind: lift}\n"
        f"    motor: {part}\n    controller: controller/inline-40a\n{said}"
    )


def told(current: Reasoned[float | None]) -> tuple[float | None, Origin]:
    """Return a current with its origin."""
    return current.value, current.origin


@pytest.mark.parametrize(
    ("said", "current", "origin"),
    [
        ("    limit: {supply: 25 A}\n", 25, Origin.GIVEN),
        ("    limit: {supply: {hold: 35 A, peak: 60 A, for: 0.3 s}}\n", 35, Origin.GIVEN),
        ("    limit: {supply: {claims: [30 A, 35 A]}}\n", 35, Origin.GIVEN),
        ("    limit: {supply: 120 A}\n", 40, Origin.COMPUTED),
        ("    limit: {supply: 25 A, enabled: no}\n", 40, Origin.ASSUMED),
        ("    limit: {supply: 0 A}\n", 40, Origin.ASSUMED),
        ("    limit: {supply: none found}\n", 40, Origin.ASSUMED),
        ("    draw: 12 A\n", 12, Origin.GIVEN),
        ("", 40, Origin.ASSUMED),
    ],
)
def test_a_motor_branch_is_judged_at_what_it_may_hold(said: str, current: float, origin: Origin) -> None:
    """A supply-side limit that is switched on, else a known draw; the protection bounds both and stands for neither."""
    assert told(circuit(motor(said), "lift").current) == (current, origin)


def test_a_motor_side_limit_is_no_battery_current() -> None:
    """The branch stays at its protection where only the motor side is limited; the motor's leads take the limit."""
    rest = motor("    limit: {motor: 80 A}\n")
    assert circuit(rest, "lift").current.value == 40
    assert told(circuit(rest, "lift: motor side").current) == (80, Origin.GIVEN)


def test_what_heats_a_motors_wire_is_an_assumed_share_and_says_so() -> None:
    """Half of a lift's limit, common practice, until a match study tells."""
    sustained = circuit(motor("    limit: {supply: 40 A}\n"), "lift").sustained
    assert told(sustained) == (20, Origin.ASSUMED)
    assert sustained.reason == "50% of 40 A assumed for a lift, until a match study tells"


def test_a_things_draw_comes_from_its_part_or_the_file() -> None:
    """A vision computer draws what its class says, or what somebody measured."""
    rest = "electronics:\n  eyes: {part: computer/vision-12v%s}\n"
    assert circuit(rest % "", "eyes").current.origin is Origin.CATALOGUE
    assert told(circuit(rest % ", draw: 3.5 A", "eyes").current) == (3.5, Origin.GIVEN)
    assert circuit(rest % ", draw: 3.5 A", "eyes").sustained.value == 3.5


def test_a_regulators_feed_carries_what_hangs_on_it() -> None:
    """1.2 A of lights and 0.5 A of something else are 1.7 A on the feed, ampere for ampere."""
    rest = (
        "electronics:\n  regulator: {part: regulator/12v-3a-5v-3a}\n"
        "  box: {part: device/any, from: regulator, draw: 0.5 A}\n"
        "lights:\n  strip: {part: light/strip-5v, from: regulator, draw: 1.2 A}\n"
    )
    assert circuit(rest, "regulator").current.value == pytest.approx(1.7)


def test_a_sub_block_is_judged_at_its_loads_and_never_above_its_protection() -> None:
    """Two loads of 3 A are 6 A; eight of 9 A can't be more than the breaker holds."""
    head = HEAD.replace("fused}\n", "fused}\n  sub: {part: block/sub-6-light, from: block}\n")

    def feeder(count: int, draw: str) -> PlannedCircuit:
        boxes = "".join(f"  box {n}: {{part: device/any, from: sub, draw: {draw}}}\n" for n in range(count))
        found = plan_of(f"{head}electronics:\n{boxes}").circuit("sub")
        assert found is not None
        return found

    assert feeder(2, "3 A").current.value == pytest.approx(6)
    full = feeder(6, "9 A")
    assert full.current.value == full.protection_a.value
    assert "its protection holds" in full.current.reason


def test_the_battery_path_is_planned_for_180_a_or_for_all_its_breakers() -> None:
    """About 180 A is what a robot is planned to hold (common practice); a small one can't ask that much."""
    small = circuit(motor(""), "main")
    assert told(small.current) == (40, Origin.COMPUTED)
    many = "mechanisms:\n" + "".join(
        f"  m{n}: {{motor: motor/brushless-500w, controller: controller/inline-40a}}\n" for n in range(6)
    )
    main = circuit(many, "main")
    assert told(main.current) == (180, Origin.ASSUMED)
    assert main.sustained.value == 120
    said = circuit(f"{many}wires: {{planning current: 150 A}}\n", "main")
    assert told(said.current) == (150, Origin.GIVEN)


def test_what_nobody_knows_is_judged_at_its_protection() -> None:
    """A thing of an unknown class may ask whatever its fuse lets through."""
    current = circuit("electronics:\n  box: {part: unknown}\n", "box").current
    assert current.origin is Origin.ASSUMED
    assert current.value


@pytest.mark.parametrize(
    ("rest", "name", "value", "reason", "origin"),
    [
        (motor("    limit: {supply: 25 A}\n"), "lift", 25, "supply-side limit", Origin.GIVEN),
        (
            motor("    limit: {supply: {claims: [25 A, 30 A]}}\n"),
            "lift",
            30,
            "supply-side limit (the largest of what is said)",
            Origin.GIVEN,
        ),
        (motor("    draw: 12 A\n"), "lift", 12, "draw as given", Origin.GIVEN),
        (motor(""), "lift", 40, "its protection, since no limit and no draw is known", Origin.ASSUMED),
        (
            motor("    slot: unknown\n"),
            "lift",
            40,
            "the protection that it wants, 40 A",
            Origin.ASSUMED,
        ),
        (motor("    limit: {motor: 60 A}\n"), "lift: motor side", 60, "motor-side limit", Origin.GIVEN),
        (
            motor("    limit: {motor: 60 A, enabled: no}\n"),
            "lift: motor side",
            40,
            "as its branch: its protection, since no limit and no draw is known",
            Origin.ASSUMED,
        ),
        (
            motor("    limit: {motor: 0 A, supply: 20 A}\n"),
            "lift: motor side",
            20,
            "as its branch: supply-side limit",
            Origin.GIVEN,
        ),
        (
            "electronics:\n  eyes: {part: computer/vision-12v}\n",
            "eyes",
            2,
            "what its part draws",
            Origin.CATALOGUE,
        ),
        (
            "electronics:\n  eyes: {part: computer/vision-12v, draw: 3 A}\n",
            "eyes",
            3,
            "draw as given",
            Origin.GIVEN,
        ),
    ],
)
def test_every_current_says_why_it_is_so(rest: str, name: str, value: float, reason: str, origin: Origin) -> None:
    """The words, the number and the origin of each way to know a current."""
    current = circuit(rest, name).current
    assert (current.value, current.reason, current.origin) == (value, reason, origin)


def test_a_small_motors_leads_are_judged_at_its_stall_current() -> None:
    """A motor can't take more than it does at standstill, whatever the branch holds."""
    rest = (
        "mechanisms:\n  roll: {motor: motor/gearmotor-40w, controller: controller/clamp-brushed-30a, "
        "protection: 20 A}\n"
    )
    side = circuit(rest, "roll: motor side").current
    branch = circuit(rest, "roll").current
    assert branch.value == 20
    assert side.value is not None
    assert side.value < 20
    assert (side.reason, side.origin, side.source) == (
        "the motor's stall current",
        Origin.CATALOGUE,
        "motor/gearmotor-40w",
    )


def test_a_given_number_names_its_line() -> None:
    """File, line and column of the limit stand behind the current."""
    assert circuit(motor("    limit: {supply: 25 A}\n"), "lift").current.source == "robot.yaml:12:21"


@pytest.mark.parametrize(
    ("kind", "share"), [("drive", 0.5), ("roller", 0.6), ("climber", 0.6), ("steering", 0.4), ("other", 0.6)]
)
def test_each_kind_of_mechanism_has_its_share(kind: str, share: float) -> None:
    """The assumed shares are data; the demand takes the row of its kind."""
    rest = motor("    limit: {supply: 30 A}\n").replace("kind: lift", f"kind: {kind}")
    assert circuit(rest, "lift").sustained.value == pytest.approx(30 * share)


def test_a_compressor_comes_and_goes_too() -> None:
    """It heats its wires with 85 % of its draw, common practice."""
    rest = "pneumatics:\n  air: {part: pneumatics/control-module}\n  pump: {part: compressor/12v}\n"
    pump = circuit(rest, "pump")
    assert pump.current.value is not None
    assert pump.sustained.value == pytest.approx(0.85 * pump.current.value)
