"""Facts that nobody may rely on yet; each kind is asked once a topic, not once a thing."""

from __future__ import annotations

from dataclasses import fields, replace

import pytest

from loomwright.model.device import BusKey, Device, Feed, Limit, Limits, Spot, Wishes
from loomwright.model.fact import Fact, Saying, State
from loomwright.model.robot import House, Mechanism, Remark
from loomwright.model.rules import RuleOff
from loomwright.plan.result import Plan
from loomwright.robotfile.rules.rulefile import read_rules
from loomwright.rulebook import judge
from loomwright.rulebook.topics import stated, topics
from loomwright.units import Gauge
from tests.rulebook.factory import (
    CONTROLLER,
    claims,
    common_practice,
    drive,
    finds,
    judged,
    mark,
    said,
    silent,
    sound_plan,
    unknown,
    with_circuit,
    with_device,
    with_robot,
)

LEFT, RIGHT = "left drive controller", "right drive controller"


# ---------------------------------------------------------------- unknown, none found
def test_an_unknown_fact_is_asked_once_for_all_things() -> None:
    """The first by its place, the others by their line."""
    plan = with_device(sound_plan(), LEFT, feed=Feed(slot=unknown(51)))
    plan = with_device(plan, RIGHT, feed=Feed(slot=unknown(52)))
    finding = finds("unknown facts", plan, "unknown", "should")
    assert finding.what == "The file says that the slot is unknown for left drive and right drive (line 52)."
    assert finding.place.line == 51
    assert finding.fix == "Follow its wires to the block, and write `slot:`."


def test_many_unknown_facts_stay_one_line() -> None:
    """Seventeen motors do not make seventeen questions."""
    block = sound_plan().robot.device("block")
    assert block is not None
    many: list[Device] = []
    for n in range(17):
        made, _ = drive(f"motor {n}", n + 10, "H1", 100 + n, block)
        many.append(replace(made[0], feed=Feed(slot=unknown(100 + n))))
    plan = with_robot(sound_plan(), devices=(*sound_plan().robot.devices, *many))
    assert finds("unknown facts", plan, "unknown", "should").what.endswith("and 9 more.")


def test_an_unknown_length_is_asked_for_by_sizing() -> None:
    """That question can say how far each gauge would reach."""
    silent("unknown facts", with_device(sound_plan(), LEFT, wishes=Wishes(length=unknown(54))))


def test_left_out_is_not_unknown() -> None:
    """Absent means decide."""
    silent("unknown facts", with_device(sound_plan(), LEFT, feed=Feed()))


def test_a_motor_and_its_controller_share_a_fact_that_is_asked_once() -> None:
    """Both carry the same `present:` of the file."""
    fact: Fact[bool] = unknown(55)
    plan = with_device(with_device(sound_plan(), LEFT, present=fact), "left drive", present=fact)
    finding = finds("unknown facts", plan, "unknown", "should")
    assert finding.what == "The file says that the presence on the robot is unknown for left drive."


def test_none_found_is_a_question_of_its_own() -> None:
    """Somebody looked for the limit; that is no answer."""
    none: Fact[Limit] = Fact(Saying.NONE_FOUND, (), mark(56))
    plan = with_device(sound_plan(), LEFT, limits=Limits(none, said(Limit(80.0))))
    finding = finds("nothing found", plan, "none-found", "should")
    assert finding.what == "Somebody looked for the supply-side limit of left drive and found none."
    silent("nothing found", sound_plan())


# ---------------------------------------------------------------- guesses, claims
def test_guesses_are_asked_by_topic() -> None:
    """Two topics, two questions."""
    plan = with_device(sound_plan(), LEFT, wishes=Wishes(length=said(0.8, 57, State.GUESSED)))
    plan = with_device(plan, RIGHT, wishes=Wishes(length=said(0.9, 58, State.GUESSED)))
    plan = with_device(plan, "radio", feed=Feed(source=said("regulator", 59, State.GUESSED)))
    told = [f.what for f in judged("guessed facts", plan)]
    assert told == [
        "The wire length is only guessed for left drive and right drive (line 58).",
        "The feed is only guessed for radio.",
    ]


@pytest.mark.parametrize("state", [State.PLANNED, State.FITTED, State.TRACED])
def test_what_is_planned_fitted_or_traced_is_no_guess(state: State) -> None:
    """Those states are as good as the word of the team."""
    silent("guessed facts", with_device(sound_plan(), LEFT, wishes=Wishes(length=said(0.8, 57, state))))


CLAIMS = [
    (
        {"ramp": claims(((0.2, 0.3), "code", "0.2 s to 0.3 s"), ((0.5, 0.5), "notebook", "0.5 s"))},
        "ramp of left drive is said to be 0.2 s to 0.3 s (code) or 0.5 s (notebook).",
    ),
    (
        {"limits": Limits(claims((Limit(35.0, 60.0, 0.3), "code"), (Limit(40.0), "notebook")), said(Limit(80.0)))},
        "supply-side limit of left drive is said to be hold 35 A, peak 60 A for 0.3 s (code) or 40 A (notebook).",
    ),
    (
        {"key": BusKey(number=claims((7, "code"), (8, "sticker")))},
        "number on the data bus of left drive is said to be 7 (code) or 8 (sticker).",
    ),
    (
        {"spot": Spot(at=claims(((0.12, 0.3), "a"), ((0.2, 0.3), "b")))},
        "place of left drive is said to be [12 cm, 30 cm] (a) or [20 cm, 30 cm] (b).",
    ),
    (
        {"wishes": Wishes(gauge=claims((Gauge(12), "a", "12 AWG"), (Gauge(14), "b", "14 AWG")))},
        "wire gauge of left drive is said to be 12 AWG (a) or 14 AWG (b).",
    ),
]


@pytest.mark.parametrize(("changes", "words"), CLAIMS, ids=["ramp", "limit", "number", "place", "gauge"])
def test_each_disagreement_is_told_with_both_sides(changes: dict[str, object], words: str) -> None:
    """In the words that people wrote, whatever kind of fact it is."""
    plan = with_device(sound_plan(), LEFT, **changes)
    assert finds("disputed facts", plan, "claims-disagree", "should").what == f"The {words}"


def test_two_sources_that_agree_are_no_dispute() -> None:
    """0.5 s twice is 0.5 s."""
    silent("disputed facts", with_device(sound_plan(), LEFT, ramp=claims(((0.5, 0.5), "a"), ((0.5, 0.5), "b"))))


def test_an_open_choice_is_the_tools_to_make() -> None:
    """`any of` asks nobody."""
    choice = Fact(Saying.ANY_OF, claims(("H1", ""), ("H3", "")).said, mark(41))
    plan = with_device(sound_plan(), LEFT, feed=Feed(slot=choice))
    assert not [f for f in judge(plan) if f.place.line == 41]


# ---------------------------------------------------------------- left out
def test_a_robot_that_asks_gets_one_question_for_each_topic() -> None:
    """Slot, limits, number, gauge, protection: each once, with the things that lack it."""
    plan = with_robot(sound_plan(), asks=True)
    for name in (LEFT, RIGHT):
        plan = with_device(plan, name, feed=Feed(), limits=Limits(), key=BusKey())
    plan = with_circuit(with_circuit(plan, "left drive", pinned=Fact()), "right drive", pinned=Fact())
    told = [f.what.removeprefix("The file leaves out the ") for f in judged("facts left out", plan)]
    fed = "left drive, right drive, robot controller and regulator."
    drives = "left drive and right drive."
    assert sorted(told) == [
        f"breaker or fuse of {fed}",
        f"motor-side limit of {drives}",
        f"number on the data bus of {drives}",
        f"slot of {fed}",
        f"supply-side limit of {drives}",
        f"wire gauge of {fed}",
    ]
    assert {str(f.severity) for f in judged("facts left out", plan)} == {"should"}


def test_a_robot_that_asks_is_not_asked_for_what_it_does_not_need() -> None:
    """No limits of a drive that nothing feeds, no number of what is on no bus, no slot that channels pin."""
    plan = with_robot(sound_plan(), asks=True, buses=())
    plan = with_device(plan, LEFT, limits=Limits(), key=BusKey())
    plan = replace(plan, circuits=tuple(c for c in plan.circuits if c.id != "left drive"))
    assert not any("limit" in f.what or "number" in f.what for f in judged("facts left out", plan))
    pinned = with_circuit(with_robot(sound_plan(), asks=True), "regulator", pinned=said("F2"))
    [slots] = [f.what for f in judged("facts left out", pinned) if " slot of " in f.what]
    assert slots == "The file leaves out the slot of robot controller."


def test_a_robot_that_is_planned_is_not_asked_what_it_leaves_out() -> None:
    """Absent means decide, unless the file says `unsaid: ask`."""
    silent("facts left out", with_device(sound_plan(), LEFT, limits=Limits(), key=BusKey()))


# ---------------------------------------------------------------- half known
def test_parts_known_only_by_family_are_asked_for_together() -> None:
    """`motor: motor/brushed` names a family."""
    family = replace(CONTROLLER, id="controller/any", title="Any controller", family=True)
    plan = with_device(with_device(sound_plan(), LEFT, part=family), RIGHT, part=family)
    finding = finds("half-known parts", plan, "half-known", "should")
    assert finding.what.startswith("Only the family is known of left drive (Any controller) and right drive")
    silent("half-known parts", sound_plan())


def test_a_family_is_asked_for_whether_written_or_left_out() -> None:
    """A planned robot that leaves the part out; a robot that asks and names a family."""
    family = replace(CONTROLLER, id="controller/any", title="", family=True)
    left_out = with_device(sound_plan(), LEFT, part=family, part_said=Fact())
    assert "left drive (controller/any)" in finds("half-known parts", left_out, "half-known", "should").what
    written = with_robot(with_device(sound_plan(), LEFT, part=family), asks=True)
    finds("half-known parts", written, "half-known", "should")


def test_a_part_that_is_unknown_is_asked_once() -> None:
    """`part: unknown` is told among the unknown facts."""
    family = replace(CONTROLLER, id="controller/any", family=True)
    plan = with_device(sound_plan(), LEFT, part=family, part_said=unknown(60))
    silent("half-known parts", plan)
    finds("unknown facts", plan, "unknown", "should")


def test_a_family_in_a_robot_that_asks_is_asked_once() -> None:
    """A part left out is one of the things left out."""
    family = replace(CONTROLLER, id="controller/any", family=True)
    plan = with_device(with_robot(sound_plan(), asks=True), LEFT, part=family, part_said=Fact())
    silent("half-known parts", plan)
    assert any("part class of left drive" in f.what for f in judged("facts left out", plan))


# ---------------------------------------------------------------- remarks, conventions, rules off
def test_a_stale_remark_is_told_with_where_it_stands() -> None:
    """Advice; other remarks are kept and not told."""
    remark = Remark("stale", "label on the block", "slot 3 is the lift", mark(70))
    finding = finds("stale remarks", with_robot(sound_plan(), remarks=(remark,)), "stale-remark", "consider")
    assert finding.what == "A remark is known to be out of date: slot 3 is the lift."
    assert "(label on the block)" in finding.fix
    silent("stale remarks", with_robot(sound_plan(), remarks=(Remark("notes", "", "all is well", mark(71)),)))


def test_a_stale_remark_may_say_only_what_or_only_where() -> None:
    """Half a remark is still one."""
    for remark in (Remark("stale", "", "slot 3 is the lift", mark(70)), Remark("stale", "the lid", "", mark(70))):
        finding = finds("stale remarks", with_robot(sound_plan(), remarks=(remark,)), "stale-remark", "consider")
        assert finding.what.endswith(f"out of date: {remark.text or remark.subject}.")
        assert finding.fix == "Put it right where it stands, then take it out of `stale`."


CONVENTION = Remark("conventions", "id of a motor controller", "its slot", mark(72))


def test_a_number_that_breaks_the_teams_convention_is_found() -> None:
    """Number 9 on slot H2, where numbers follow slots."""
    plan = with_device(_convention(sound_plan()), RIGHT, key=BusKey(number=said(9, 49)))
    finding = finds("number is slot", plan, "convention-broken", "should")
    assert finding.what == (
        "right drive has the number 9 and is on slot H2; "
        "the team's convention is that the id of a motor controller is its slot."
    )
    assert finding.place.line == 49


def test_numbers_that_follow_the_slots_are_fine_and_so_is_having_no_convention() -> None:
    """Left is 1 on H1, right is 2 on H2."""
    silent("number is slot", _convention(sound_plan()))
    silent("number is slot", with_device(sound_plan(), RIGHT, key=BusKey(number=said(9, 49))))


def test_a_slot_that_the_plan_chose_breaks_no_convention() -> None:
    """The plan may still choose another one."""
    plan = with_device(_convention(sound_plan()), RIGHT, key=BusKey(number=said(9, 49)), feed=Feed())
    silent("number is slot", plan)


def test_a_number_that_counts_the_slots_along_the_block_keeps_the_convention() -> None:
    """F2 is the sixth slot, or the fifth from zero: numbers 2, 5 and 6 all follow it."""
    plan = with_device(_convention(sound_plan()), RIGHT, feed=Feed(slot=said("F2")))
    for number in (2, 5, 6):
        silent("number is slot", with_device(plan, RIGHT, key=BusKey(number=said(number))))
    finds(
        "number is slot",
        with_device(plan, RIGHT, key=BusKey(number=said(4))),
        "convention-broken",
        "should",
    )


@pytest.mark.parametrize(
    "remark",
    [
        replace(CONVENTION, topic="notes"),
        replace(CONVENTION, subject="colour of a motor controller"),
        replace(CONVENTION, text="its age"),
    ],
)
def test_another_remark_is_no_convention_about_slots(remark: Remark) -> None:
    """Conventions that no check knows are kept and not judged."""
    plan = with_device(with_robot(sound_plan(), remarks=(remark,)), RIGHT, key=BusKey(number=said(9, 49)))
    silent("number is slot", plan)


def test_a_convention_speaks_of_drives_with_a_number() -> None:
    """Neither of the radio on a slot, nor of a drive without a number."""
    plan = with_device(_convention(sound_plan()), "regulator", key=BusKey(number=said(9)), feed=Feed(slot=said("F2")))
    silent("number is slot", plan)
    silent("number is slot", with_device(_convention(sound_plan()), RIGHT, key=BusKey()))


def test_a_guessed_number_breaks_no_convention_for_sure() -> None:
    """Look first."""
    guess = with_device(_convention(sound_plan()), RIGHT, key=BusKey(number=said(9, 49, State.GUESSED)))
    assert finds("number is slot", guess, "convention-broken", "should").fix.startswith("Look first")


def _convention(plan: Plan) -> Plan:
    return with_robot(plan, remarks=(CONVENTION,))


def test_a_rule_that_is_off_stays_in_sight() -> None:
    """With its reason, and what it would have said."""
    rule = common_practice().rule("signal-light-present")
    assert rule is not None
    book = replace(common_practice(), off=(RuleOff(rule, "a bench trainer", mark(4, "rules.yaml")),))
    finding = finds("rules switched off", replace(sound_plan(), rules=book), "rule-off", "consider")
    assert finding.what == "The rule signal-light-present is switched off: a bench trainer."
    assert (finding.place.file, finding.place.line) == ("rules.yaml", 4)
    silent("rules switched off", sound_plan())


def test_what_a_shipped_book_switches_off_is_one_line() -> None:
    """The team chose the book, not each of its rules."""
    plan = replace(sound_plan(), rules=read_rules(None, name="bench-trainer"))
    finding = finds("rules switched off", plan, "rule-off", "consider")
    assert "robot-controller-present, signal-light-present and battery-strapped" in finding.what


# ---------------------------------------------------------------- the table of topics
def test_every_fact_of_a_device_is_a_topic() -> None:
    """A new fact in the model without a topic would never be asked about."""
    held = {topic.fact.split(".")[0] for topic in topics() if topic.of == "device"}
    plain = {"id", "part", "mark", "path", "called", "mechanism", "driven_by", "also_called", "note"}
    looked_at_elsewhere = {"checks"}
    assert held == {field.name for field in fields(Device)} - plain - looked_at_elsewhere
    groups = {"feed": Feed, "limits": Limits, "key": BusKey, "spot": Spot, "wishes": Wishes}
    for name, group in groups.items():
        told = {topic.fact.split(".")[1] for topic in topics() if topic.fact.startswith(f"{name}.")}
        assert told == {field.name for field in fields(group)}, name


def test_every_fact_of_a_mechanism_and_of_the_house_is_a_topic() -> None:
    """What a mechanism does, and what holds for every wire."""
    house = {topic.fact for topic in topics() if topic.of == "house"}
    assert house == {field.name for field in fields(House)}
    assert {topic.fact for topic in topics() if topic.of == "mechanism"} == {"kind", "does"}


def test_doubt_about_a_mechanism_or_all_wires_is_asked_too() -> None:
    """Each at its own place."""
    lift = Mechanism("lift", said("lift"), {"carries": said(6.0, 75, State.GUESSED)}, mark(74), "mechanisms.lift")
    plan = with_robot(sound_plan(), mechanisms=(lift,), house=House(ambient=unknown(76)))
    guess = finds("guessed facts", plan, "guessed", "should")
    assert (guess.what, guess.place.line) == ("The load is only guessed for lift (carries).", 75)
    assert guess.place.thing == "mechanisms.lift.does.carries"
    finding = finds("unknown facts", plan, "unknown", "should")
    assert finding.what == "The file says that the warmest air around the wires is unknown for the whole robot."
    assert finding.place.thing == "wires.ambient"


def test_a_build_that_differs_in_unknown_ways_is_asked_about() -> None:
    """`differs: unknown` of the practice robot; a build's note is kept and not told."""
    differs = Remark("build differs", "practice", "unknown", mark(77))
    finding = finds("builds that differ", with_robot(sound_plan(), remarks=(differs,)), "build-differs", "should")
    assert finding.what == "How the build practice differs from the design is not written down (unknown)."
    silent("builds that differ", with_robot(sound_plan(), remarks=(replace(differs, topic="build note"),)))


def test_facts_of_slots_are_named_with_their_slot() -> None:
    """A label, a reservation and a setting each have a word of their own."""
    plan = with_device(sound_plan(), "block", labels={"H1": said("lift", 70, State.GUESSED)})
    told = [held for held in stated(plan.robot) if held.topic.topic == "label"]
    assert [(held.name, held.path) for held in told] == [("block (H1)", "things.block.labels.H1")]
