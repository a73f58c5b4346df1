"""Numbers and ends of data buses."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from loomwright.model.device import BusKey, Hookup
from loomwright.model.fact import Fact, State
from loomwright.model.part import Part, Polarity, PortKind, Role, Socket, Valued
from loomwright.model.robot import Bus, Doubt
from loomwright.plan.result import Plan
from tests.rulebook.factory import (
    CONTROLLER,
    MOTOR,
    OTHER_CONTROLLER,
    SENSOR,
    claims,
    device,
    finds,
    judged,
    mark,
    port,
    said,
    silent,
    sound_plan,
    unknown,
    with_device,
    with_robot,
)


def _numbered(number: object, **more: object) -> Plan:
    """Give the right drive's controller another key."""
    return with_device(sound_plan(), "right drive controller", key=BusKey(number=number, **more))  # type: ignore[arg-type]


# ---------------------------------------------------------------- unique numbers
def test_one_number_on_two_controllers_of_one_class_is_found() -> None:
    """Nothing suggests two makers; the finding points at the later number."""
    finding = finds("bus number unique", _numbered(said(1, 48)), "bus-id-used-twice")
    assert finding.what == "left drive and right drive share the number 1 on main chain, with one type and maker."
    assert finding.place.line == 48


def test_the_same_number_on_another_type_is_legal() -> None:
    """A heading sensor with number 1 beside a controller with number 1."""
    sensor = device("compass", SENSOR, 50, key=BusKey(bus=said("main chain"), number=said(1)))
    silent("bus number unique", with_robot(sound_plan(), devices=(*sound_plan().robot.devices, sensor)))


def test_two_classes_of_sensors_may_share_a_number() -> None:
    """An encoder and a heading sensor are two types."""
    encoder = replace(SENSOR, id="sensor/encoder")
    pair = [
        device(name, part, 50, key=BusKey(bus=said("main chain"), number=said(3)))
        for name, part in (("compass", SENSOR), ("encoder", encoder))
    ]
    silent("bus number unique", with_robot(sound_plan(), devices=(*sound_plan().robot.devices, *pair)))
    twins = [replace(pair[0], id=name, called=name) for name in ("one", "two")]
    finds(
        "bus number unique",
        with_robot(sound_plan(), devices=(*sound_plan().robot.devices, *twins)),
        "bus-id-used-twice",
    )


def test_two_makers_may_share_a_number() -> None:
    """Makers are words of the team's own."""
    plan = with_device(sound_plan(), "left drive controller", key=BusKey(number=said(1), maker=said("A")))
    silent(
        "bus number unique", with_device(plan, "right drive controller", key=BusKey(number=said(1), maker=said("B")))
    )
    same = with_device(plan, "right drive controller", key=BusKey(number=said(1), maker=said("a")))
    finds("bus number unique", same, "bus-id-used-twice")


def test_two_buses_may_share_a_number() -> None:
    """A number counts within one bus."""
    silent("bus number unique", _numbered(said(1), bus=said("second chain")))


def test_two_classes_of_controllers_with_one_number_are_a_question() -> None:
    """They may be of two makers; nobody said."""
    plan = with_device(_numbered(said(1)), "right drive controller", part=OTHER_CONTROLLER)
    finding = finds("bus number unique", plan, "bus-id-used-twice", "should")
    assert finding.what == "left drive and right drive may have the same number 1 on main chain."
    assert finding.place.line == 90


def test_a_motor_with_a_controller_built_in_counts_as_a_controller() -> None:
    """Its number clashes with a controller's of the same maker."""
    built_in = replace(MOTOR, sockets=CONTROLLER.sockets)
    plan = with_device(
        _numbered(said(1)), "right drive controller", part=built_in, key=BusKey(number=said(1), maker=said("A"))
    )
    plan = with_device(plan, "left drive controller", key=BusKey(number=said(1), maker=said("A")))
    finds("bus number unique", plan, "bus-id-used-twice")


def test_a_guessed_number_and_a_doubtful_pair_are_questions() -> None:
    """`7 (guessed)`, `maybe swapped`."""
    finds("bus number unique", _numbered(said(1, 48, State.GUESSED)), "bus-id-used-twice", "should")
    doubt = Doubt(("left drive", "right drive"), "id", mark(80))
    finds("bus number unique", with_robot(_numbered(said(1, 48)), doubts=(doubt,)), "bus-id-used-twice", "should")


def test_one_maker_told_and_one_not_is_a_question() -> None:
    """The silent one may be of another maker; so may one whose maker is unknown."""
    plan = with_device(_numbered(said(1)), "left drive controller", key=BusKey(number=said(1), maker=said("A")))
    finds("bus number unique", plan, "bus-id-used-twice", "should")
    plan = with_device(_numbered(said(1)), "left drive controller", key=BusKey(number=said(1), maker=unknown()))
    finds("bus number unique", plan, "bus-id-used-twice", "should")
    plan = with_device(_numbered(said(1), maker=unknown()), "left drive controller", key=BusKey(number=said(1)))
    finds("bus number unique", plan, "bus-id-used-twice", "should")


def test_two_controllers_known_only_by_family_are_a_question() -> None:
    """Nothing says that they are of one class."""
    family = replace(CONTROLLER, id="controller/any", family=True)
    plan = with_device(_numbered(said(1)), "left drive controller", part=family)
    finds("bus number unique", with_device(plan, "right drive controller", part=family), "bus-id-used-twice", "should")


def test_a_clash_with_a_thing_that_may_not_be_there_is_a_question() -> None:
    """`present: unknown`, or only guessed."""
    for doubt in (unknown(), said(value=True, state=State.GUESSED)):
        plan = with_device(_numbered(said(1)), "left drive controller", present=doubt)
        finds("bus number unique", plan, "bus-id-used-twice", "should")


def test_a_part_says_what_it_counts_as_on_a_bus() -> None:
    """Its `bus type` wins over its kind."""
    typed = replace(CONTROLLER, values={"bus type": Valued("motion hub", "word", "from memory")})
    plan = with_device(_numbered(said(1)), "right drive controller", part=typed)
    silent("bus number unique", plan)
    both = with_device(plan, "left drive controller", part=typed)
    finds("bus number unique", both, "bus-id-used-twice")


def test_the_number_that_is_written_last_is_pointed_at() -> None:
    """Whichever device comes first in the file."""
    plan = with_device(_numbered(said(1, 48)), "left drive controller", key=BusKey(number=said(1, 60)))
    assert finds("bus number unique", plan, "bus-id-used-twice").place.line == 60


def test_an_unknown_number_clashes_with_nothing() -> None:
    """It is asked for elsewhere."""
    silent("bus number unique", _numbered(unknown()))
    silent("bus number unique", _numbered(claims((1, "code"), (2, "notebook"))))


# ---------------------------------------------------------------- factory number
def test_a_controller_with_the_factory_number_is_found() -> None:
    """A spare plugged in beside it would clash."""
    finds("factory number", _numbered(said(0, 48)), "factory-id", "should")


def test_number_zero_of_a_block_or_computer_is_fine() -> None:
    """There is one of them on a bus."""
    silent("factory number", with_device(sound_plan(), "block", key=BusKey(number=said(0))))
    silent("factory number", _numbered(said(10)))


# ---------------------------------------------------------------- ends of a chain
def _chain(**changes: object) -> Plan:
    bus = replace(sound_plan().robot.buses[0], **changes)  # type: ignore[arg-type]
    return with_robot(sound_plan(), buses=(bus,))


def _ids(*names: str, line: int = 33) -> Fact[tuple[str, ...]]:
    fact: Fact[tuple[str, ...]] = said(names, line)
    return fact


CHAIN = ("robot controller", "left drive controller", "right drive controller", "block")


def test_an_end_without_a_terminator_is_found() -> None:
    """The robot controller has one built in; the block's switch is off."""
    finding = finds("chain terminated", _chain(terminators=_ids("robot controller")), "chain-not-terminated")
    assert finding.what == "main chain ends at block without a terminator."
    assert finding.place.line == 33


def test_a_terminator_inside_the_chain_is_found() -> None:
    """Three terminators make 40 ohm."""
    plan = _chain(terminators=_ids("block", "left drive controller"))
    finding = finds("chain terminated", plan, "terminator-inside-chain")
    assert finding.what == "The terminator of left drive, in the middle of main chain, is on."


def test_a_built_in_terminator_inside_the_chain_is_found() -> None:
    """It can't be switched off, so its device has to be an end."""
    order = ("left drive controller", "robot controller", "right drive controller", "block")
    plan = _chain(order=_ids(*order), terminators=_ids("left drive controller", "block"))
    assert "robot controller" in finds("chain terminated", plan, "terminator-inside-chain").what


def test_a_chain_that_says_nothing_of_its_ends_is_a_question() -> None:
    """Its far end can be switched on; nobody says that it is."""
    finding = finds("chain terminated", _chain(terminators=Fact()), "chain-ends-open", "should")
    assert finding.what == "The file does not say that main chain is terminated at block."
    assert finding.fix.startswith("Switch it on there, and write")


def test_two_built_in_terminators_need_no_words() -> None:
    """Both ends bring one that is always on."""
    block = sound_plan().robot.device("block")
    assert block is not None
    sockets = tuple(replace(s, terminator="built in") if s.role is Role.BUS_IN else s for s in block.part.sockets)
    plan = _chain(terminators=Fact())
    silent("chain terminated", with_device(plan, "block", part=replace(block.part, sockets=sockets)))


def test_unknown_order_is_a_question_and_no_alarm() -> None:
    """Whoever is at the ends, two terminators may be right."""
    plan = _chain(order=unknown(34), terminators=Fact())
    finding = finds("chain terminated", plan, "chain-order", "should")
    assert finding.place.line == 34


def test_a_built_in_terminator_counts_without_an_order_too() -> None:
    """The robot controller's own and the block's make two."""
    finds("chain terminated", _chain(order=unknown(34), terminators=_ids("block")), "chain-order", "should")


def test_a_bus_is_asked_for_its_order_from_two_devices_on() -> None:
    """Where nothing is said of it; or where somebody says that it is unknown."""
    finds("chain terminated", _chain(order=Fact(), members=CHAIN[:2]), "chain-order", "should")
    silent("chain terminated", _chain(order=Fact(), members=CHAIN[:1]))
    finds("chain terminated", _chain(order=unknown(), members=CHAIN[:1], terminators=Fact()), "chain-order", "should")


def test_a_chain_of_two_devices_has_two_ends() -> None:
    """The shortest chain there is."""
    plan = _chain(order=_ids("left drive controller", "block"), terminators=_ids("block"))
    assert "left drive" in finds("chain terminated", plan, "chain-not-terminated").what


def test_three_terminators_are_wrong_in_any_order() -> None:
    """Counting needs no order."""
    plan = _chain(order=unknown(34), terminators=_ids("left drive controller", "block"))
    codes = sorted((f.code, str(f.severity)) for f in judged("chain terminated", plan))
    assert codes == [("chain-order", "should"), ("terminator-count", "must")]


def test_a_network_needs_no_terminators() -> None:
    """Only chains do."""
    silent("chain terminated", _chain(kind="network", terminators=Fact()))


def test_a_chain_of_one_device_is_no_chain_yet() -> None:
    """Nothing to terminate."""
    silent("chain terminated", _chain(order=_ids("block"), terminators=Fact()))


def test_a_device_taken_off_the_robot_is_no_end() -> None:
    """Builds without the last device end one device earlier."""
    gone = with_device(_chain(order=_ids(*CHAIN, "compass")), "block", called="block")
    compass = device("compass", SENSOR, 50, present=said(value=False))
    silent("chain terminated", with_robot(gone, devices=(*gone.robot.devices, compass)))


# ---------------------------------------------------------------- reached
def _lone(name: str, part: Part, **more: Any) -> Plan:  # noqa: ANN401  whatever a test says of it
    lone = device(name, part, 55, **more)
    return with_robot(sound_plan(), devices=(*sound_plan().robot.devices, lone))


def test_a_sensor_that_is_on_no_bus_is_asked_about() -> None:
    """`bus:` forgotten; once for all such things."""
    plan = _lone("compass", SENSOR)
    finding = finds("reached", plan, "not-reached", "should")
    assert finding.what == "The file does not say how compass is reached: on no data bus and on no port."
    more = with_robot(plan, devices=(*plan.robot.devices, device("roller", CONTROLLER, 56)))
    assert "compass and roller are reached" in finds("reached", more, "not-reached", "should").what


def test_a_thing_with_a_bus_a_port_or_an_open_question_is_reached() -> None:
    """Also by the analog port of another controller, and where the bus is said to be unknown."""
    silent("reached", sound_plan())
    silent("reached", _lone("compass", SENSOR, key=BusKey(bus=said("main chain"))))
    silent("reached", _lone("compass", SENSOR, key=BusKey(bus=unknown())))
    silent("reached", _lone("compass", SENSOR, hookup=Hookup(sockets=said(("data",)))))
    silent("reached", _lone("compass", SENSOR, hookup=Hookup(on=said("left drive"))))


def test_a_pulse_driven_controller_needs_a_port() -> None:
    """It has no bus at all; a switch that only gives a signal is asked about by the wiring."""
    line = Socket("pulse", Role.SIGNAL_IN, (port(Polarity.SIGNAL, PortKind.HEADER),), use="pulse")
    plain = tuple(s for s in CONTROLLER.sockets if s.role not in (Role.BUS_IN, Role.BUS_OUT))
    pulse = replace(CONTROLLER, id="controller/pulse", sockets=(*plain, line))
    finds("reached", _lone("roller", pulse), "not-reached", "should")
    silent("reached", _lone("roller", pulse, hookup=Hookup(sockets=said(("pulse 0",)))))
    silent("reached", _lone("limit switch", replace(SENSOR, sockets=(replace(line, role=Role.SIGNAL_OUT),))))
    silent("reached", _lone("camera", replace(SENSOR, id="camera/plain")))


def test_a_robot_without_data_lines_is_not_asked_how_things_are_reached() -> None:
    """Ten lines of a robot file have not got that far."""
    silent("reached", with_robot(_lone("compass", SENSOR), buses=()))


# ---------------------------------------------------------------- maybe swapped
def test_what_may_be_swapped_is_asked() -> None:
    """Each doubt once."""
    plan = with_robot(sound_plan(), doubts=(Doubt(("left roller", "right roller"), "id", mark(80)),))
    finding = finds("maybe swapped", plan, "maybe-swapped", "should")
    assert finding.what == "The id of left roller and right roller may be swapped."
    silent("maybe swapped", sound_plan())
    plain = with_robot(sound_plan(), doubts=(Doubt(("left roller", "right roller"), "", mark(80)),))
    assert finds("maybe swapped", plain, "maybe-swapped", "should").what.startswith("The facts of left roller")


def test_a_bus_by_another_name_is_its_own() -> None:
    """A device may name a bus that no chain lists."""
    lone = Bus("other", "bus", (), Fact(), Fact(), (), mark(35), "data.other")
    silent("chain terminated", with_robot(sound_plan(), buses=(*sound_plan().robot.buses, lone)))
