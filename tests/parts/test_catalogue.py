"""The shipped parts: every file loads, every number says where it is from, and the classes fit each other."""

from __future__ import annotations

from itertools import pairwise

import pytest

from loomwright.catalogue.part_terms import part_kinds, port_classes, value_names
from loomwright.catalogue.protection_curve import TripCurve
from loomwright.catalogue.sources import sources
from loomwright.model.part import Part, Polarity, PortKind, Role
from loomwright.robotfile.parts.library import Library
from loomwright.sizing import ConstraintName, Request, size
from loomwright.units.gauge import Gauge

LIBRARY = Library()
IDS = LIBRARY.ids()
# The robot reader falls back on these where a robot file leaves a class open.
FALLBACKS = ("battery/any", "breaker/any-main", "block/any", "motor/any", "controller/any", "device/any")


def shipped(part_id: str) -> Part:
    """Give one shipped part that has to be there."""
    part = LIBRARY.part(part_id)
    assert part is not None, part_id
    return part


def number(part: Part, name: str) -> float:
    """Give a value that the part has to state."""
    value = part.number(name)
    assert value is not None, f"{part.id} {name}"
    return value


PARTS = [shipped(part_id) for part_id in IDS]
MOTORS = [part for part in PARTS if part.number("stall torque") is not None]


@pytest.mark.parametrize("part", PARTS, ids=IDS)
def test_a_part_says_what_it_is_and_where_each_number_is_from(part: Part) -> None:
    """Title, known kind, and a source with an entry in docs/sources.toml for every value, socket, port and curve."""
    assert part.title
    assert part.kind in part_kinds()
    said = [value.source for value in part.values.values()]
    said += [socket.source for socket in part.sockets]
    said += [port.source for socket in part.sockets for port in socket.ports]
    said += [part.wants_protection_source] if part.wants_protection_a else []
    said += [part.curve_source] if part.trip_curve else []
    assert said
    assert set(said) - set(sources()) == set()


@pytest.mark.parametrize("part", PARTS, ids=IDS)
def test_a_part_that_is_no_family_is_complete(part: Part) -> None:
    """A class has ports on every socket, a gauge on every captive lead and a size; a family may leave them open."""
    if part.family or not part.sockets:
        return
    assert part.size_m is not None
    for socket in part.sockets:
        assert socket.ports, socket.name
        assert socket.face, socket.name
        for port in socket.ports:
            assert (port.lead_gauge is not None) == (port.kind is PortKind.LEAD), socket.name


def test_only_fuses_and_slot_breakers_have_no_wires() -> None:
    """What is pushed into a slot has no socket; everything else has."""
    without = {part.id.rsplit("-", 1)[0] for part in PARTS if not part.sockets}
    assert without == {"breaker/snap-action", "fuse/blade"}


@pytest.mark.parametrize("part", PARTS, ids=IDS)
def test_every_rating_of_a_slot_can_be_had(part: Part) -> None:
    """A slot's ratings are shipped fuses or breakers, with a curve."""
    for socket in part.sockets:
        for rating_a in socket.ratings_a:
            guard = shipped(f"{socket.protection}-{rating_a:g}a")
            assert guard.number("rating") == rating_a
            assert guard.trip_curve


@pytest.mark.parametrize("part", [part for part in PARTS if part.wants_protection_a], ids=lambda part: part.id)
def test_every_wish_can_be_met_by_some_block(part: Part) -> None:
    """Each wanted group and at least its best rating exists on a shipped block."""
    slots = [socket for block in PARTS if block.kind == "block" for socket in block.with_role(Role.OUTLET)]
    fitting = [slot for slot in slots if part.wants_group in ("", slot.group)]
    assert any(part.wants_protection_a[0] in slot.ratings_a for slot in fitting)


@pytest.mark.parametrize("part", MOTORS, ids=lambda part: part.id)
def test_a_motor_is_consistent_with_itself(part: Part) -> None:
    """Torque constant and speed constant agree within 5 %: K = T/(Is - I0) and K = (V - I0 R)/w, with R = V/Is."""
    volts, free_a, stall_a = (number(part, name) for name in ("rated voltage", "free current", "stall current"))
    torque_nm, speed_rad_s = number(part, "stall torque"), number(part, "free speed")
    from_torque = torque_nm / (stall_a - free_a)
    from_speed = (volts - free_a * volts / stall_a) / speed_rad_s
    assert from_torque == pytest.approx(from_speed, rel=0.05)
    assert all(part.values[name].source == "from memory" for name in ("stall torque", "free speed", "stall current"))


@pytest.mark.parametrize("part", MOTORS, ids=lambda part: part.id)
def test_a_motor_has_the_power_in_its_name(part: Part) -> None:
    """The most mechanical power, a quarter of stall torque times free speed, is within 5 % of the class."""
    named_w = float(part.id.split("-", 1)[1].split("w")[0])
    power_w = number(part, "stall torque") * number(part, "free speed") / 4
    assert power_w == pytest.approx(named_w, rel=0.05)


def test_every_motor_class_and_size_is_there() -> None:
    """The classes that the examples and the trade speak of."""
    assert {part.id for part in MOTORS} == {
        "motor/brushed-180w",
        "motor/brushed-340w",
        "motor/brushless-350w",
        "motor/brushless-500w",
        "motor/brushless-600w-built-in",
        "motor/gearmotor-40w",
    }


@pytest.mark.parametrize("name", FALLBACKS)
def test_every_family_that_the_reader_falls_back_on_is_there(name: str) -> None:
    """Half known things are read as families."""
    assert shipped(name).family


def test_feeds_that_want_one_fuse_and_no_other() -> None:
    """Common practice: 10 A for the robot controller, 20 A for regulator and pneumatics."""
    exact = {part.id: part.wants_protection_a for part in PARTS if part.required_protection}
    assert exact == {
        "computer/robot-controller": (10.0,),
        "pneumatics/control-module": (20.0,),
        "regulator/12v-3a-5v-3a": (20.0,),
    }


def test_the_signal_light_is_fed_by_the_robot_controller_and_has_a_jumper() -> None:
    """Its feed has an outlet of the same use, and its jumper names two of its sockets."""
    light, controller = shipped("light/signal"), shipped("computer/robot-controller")
    supply = light.first(Role.SUPPLY)
    assert supply is not None
    assert [outlet.use for outlet in controller.with_role(Role.OUTLET)] == [supply.use]
    assert light.fed_by == (controller.kind,)
    assert light.jumper == ("L1", "L2")
    assert all(light.socket(name) is not None for name in light.jumper)


@pytest.mark.parametrize("part", [part for part in PARTS if part.kind in ("breaker", "fuse")], ids=lambda part: part.id)
def test_curves_of_generic_breakers_are_marked_assumed(part: Part) -> None:
    """A breaker's curve is assumed, a blade fuse's is the standard's and says what of it is from memory."""
    if not part.trip_curve:
        assert part.family
        return
    assert part.curve_assumed == (part.kind == "breaker")
    assert part.kind == "breaker" or part.notes == ("opening times of blade-regular are partly from memory",)
    assert all(later.multiple > point.multiple for point, later in pairwise(part.trip_curve))


def test_the_two_facts_that_the_assumed_curves_rest_on() -> None:
    """A 40 A breaker holds 80 A for 5 s and more; the main one holds 160 A for about 40 s."""
    held = {point.multiple: point.min_s for point in shipped("breaker/snap-action-40a").trip_curve}
    assert held[2.0] == 5.0
    main = {point.multiple: point.min_s for point in shipped("breaker/main-120a").trip_curve}
    assert main[1.33] == 40.0


@pytest.mark.parametrize(("rating_a", "gauge_awg"), [(40, 12), (30, 14), (20, 18)])
def test_the_assumed_curve_lets_the_usual_pairs_stand(rating_a: int, gauge_awg: int) -> None:
    """Common practice pairs 40 A with 12 AWG, 30 A with 14 and 20 A with 18: each outlives a dead short."""
    guard = shipped(f"breaker/snap-action-{rating_a}a")
    request = Request(
        current_a=rating_a / 2,
        protection_a=rating_a,
        trip_curve=TripCurve(guard.id, guard.trip_curve, guard.curve_source),
        fault_current_a=1000,
        stock=(Gauge(gauge_awg),),
    )
    short = size(request).constraint(ConstraintName.SHORT_CIRCUIT)
    assert short is not None
    assert short.ok


def test_slot_breakers_share_one_curve() -> None:
    """The shape counts in ratings, so it is the same for all of them."""
    curves = {shipped(f"breaker/snap-action-{rating}a").trip_curve for rating in (10, 20, 30, 40)}
    assert len(curves) == 1


def test_no_battery_resistance_without_its_test_currents() -> None:
    """A resistance that does not say its test currents gives no verdict."""
    for part in PARTS:
        if part.number("internal resistance") is not None:
            assert number(part, "low test current") < number(part, "high test current"), part.id


def test_every_word_of_the_vocabulary_is_used() -> None:
    """No kind, port class or value name that no part has, so that the tables can't grow stale."""
    assert {part.kind for part in PARTS} == set(part_kinds())
    assert {name for part in PARTS for name in part.values} == set(value_names()) - {"resistance", "works to"}
    held = {(port.kind, port.strip_m, port.stud_m) for part in PARTS for s in part.sockets for port in s.ports}
    unused = [c.name for c in port_classes().values() if (c.kind, c.strip_m, c.size_m) not in held]
    assert unused == []


def test_what_sits_on_a_board() -> None:
    """Wires on a device's board are not pulled; a block's slots and a captive lead's joint are."""

    def on_board(part_id: str, socket: str) -> bool:
        found = shipped(part_id).socket(socket)
        assert found is not None
        return found.ports[0].on_board

    assert on_board("computer/robot-controller", "supply")
    assert on_board("controller/clamp-brushed-30a", "motor")
    assert not on_board("controller/inline-40a", "supply")
    assert not on_board("block/6-heavy-10-light-2-fused", "H1")


def test_sockets_that_belong_together_can_be_joined() -> None:
    """Every special supply or signal finds a socket of the opposite role and the same use with its conductors."""
    opposite = {Role.SUPPLY: Role.OUTLET, Role.SIGNAL_OUT: Role.SIGNAL_IN, Role.SIGNAL_IN: Role.SIGNAL_OUT}
    sockets = [socket for part in PARTS for socket in part.sockets]
    for socket in sockets:
        if not socket.use or socket.role not in opposite:
            continue
        wanted = {port.polarity for port in socket.ports} & {Polarity.SIGNAL, Polarity.PLUS, Polarity.CABLE}
        partners = [s for s in sockets if s.role is opposite[socket.role] and s.use == socket.use]
        assert any(wanted & {port.polarity for port in partner.ports} for partner in partners), socket
