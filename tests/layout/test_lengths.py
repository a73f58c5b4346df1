"""Lengths: as said, along the plate, or honestly unknown."""

from __future__ import annotations

import pytest

from loomwright.layout import Lengths
from loomwright.model.reason import Origin, Reasoned
from loomwright.wiring import derive
from tests.robots import robot_of

ROBOT = """
robot: T
battery: {{part: battery/agm-12v-18ah, lead length: 25 cm}}
main breaker: {{part: breaker/main-120a, lead length: 20 cm}}
blocks:
  block: {{part: block/6-heavy-10-light-2-fused, lead length: 15 cm, at: [100 mm, 100 mm]}}
mechanisms:
  spin: {{motor: motor/brushless-500w, controller: controller/inline-40a{said}}}
"""


def length_of(said: str, circuit_id: str = "spin") -> Reasoned[float | None]:
    """Return the one-way length of a circuit of a small robot."""
    robot = robot_of(ROBOT.format(said=said))
    circuit = derive(robot).circuit(circuit_id)
    assert circuit is not None
    return Lengths(robot).one_way(circuit, "block")


def test_a_length_that_is_said_is_taken() -> None:
    """`length:` wins over everything."""
    length = length_of(", length: 85 cm, at: [5 mm, 5 mm]")
    assert (length.value, length.origin) == (0.85, Origin.GIVEN)


def test_a_guess_stays_a_guess() -> None:
    """The state travels with the number."""
    assert length_of(", length: 85 cm (guessed)").reason == "given (guessed)"


def test_a_place_gives_the_way_along_the_plate_with_a_loop_at_each_end() -> None:
    """300 mm right, 200 mm forward, 100 mm up, and 75 mm of slack at both ends (common practice): 0.75 m."""
    length = length_of(", at: [400 mm, 300 mm], height: 10 cm")
    assert length.value == pytest.approx(0.75)
    assert length.origin is Origin.COMPUTED


@pytest.mark.parametrize(
    ("said", "reason"),
    [
        ("", "spin has no place, and no length is given"),
        (", length: unknown", "its length is unknown"),
        (", length: {claims: [80 cm, 90 cm]}", "its length is 80 cm or 90 cm"),
    ],
)
def test_what_nobody_knows_is_not_guessed(said: str, reason: str) -> None:
    """No place and no length, a question, or two claims: there is no number."""
    length = length_of(said)
    assert (length.value, length.reason, length.origin) == (None, reason, Origin.UNKNOWN)


def test_the_battery_path_adds_up() -> None:
    """25 cm to the plug, 20 cm to the breaker, 15 cm to the block; minus runs beside: 60 cm each way."""
    assert length_of("", "main").value == pytest.approx(0.60)


def test_own_leads_have_the_length_that_their_parts_bring() -> None:
    """A controller's and a motor's leads joined: the part files' lengths added up."""
    robot = robot_of(ROBOT.format(said=""))
    circuit = derive(robot).circuit("spin: motor side")
    assert circuit is not None
    length = Lengths(robot).wire(circuit, circuit.wires[0], "spin controller")
    out = robot.device("spin controller")
    motor = robot.device("spin")
    assert out is not None
    assert motor is not None
    sockets = [out.part.socket("motor"), motor.part.socket("motor")]
    leads = [socket.ports[0].lead_length_m for socket in sockets if socket is not None]
    assert length.value == pytest.approx(sum(lead for lead in leads if lead is not None))
    assert length.origin is Origin.CATALOGUE


def test_signal_wires_have_a_length_of_their_own() -> None:
    """A controller with a supply and a pulse lead: each is as long as was said, and neither speaks for the other."""
    text = """
robot: T
battery: {part: battery/agm-12v-18ah}
blocks: {block: {part: block/6-heavy-10-light-2-fused}}
electronics: {robot controller: {part: computer/robot-controller}}
mechanisms:
  spin: {motor: motor/gearmotor-40w, controller: controller/clamp-brushed-30a, port: pulse 0, SAID}
"""

    def told(said: str) -> list[tuple[str, float | None, str]]:
        robot = robot_of(text.replace("SAID", said))
        found = [derive(robot).circuit("spin"), derive(robot).circuit("spin: on pulse 0")]
        lengths = [Lengths(robot).one_way(circuit, "block") for circuit in found if circuit is not None]
        return [(str(length.origin), length.value, length.reason) for length in lengths]

    assert told("length: 40 cm, signal length: 35 cm (guessed)") == [
        ("given", 0.4, "given"),
        ("given", 0.35, "given (guessed)"),
    ]
    supply, signal = told("length: 40 cm")
    assert (supply[1], signal[:2]) == (0.4, ("unknown", None))
    supply, signal = told("signal length: 35 cm")
    assert (supply[1], signal[1]) == (None, 0.35)
