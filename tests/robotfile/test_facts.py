"""A fact is read in every way that people state it, and nothing that they say of it is lost."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from loomwright.model.device import Device, Limit
from loomwright.model.fact import Claim, Fact, Saying, State
from loomwright.units import Gauge
from tests.robotfile.fault_cases import fault_cases
from tests.robotfile.robot_texts import device, told
from tests.robots import robot_of

MOTOR = "motor: motor/brushed-340w, controller: controller/inline-40a"
G, T, F = State.GUESSED, State.TRACED, State.FITTED
VALUE, ANY, CLAIMS = Saying.VALUE, Saying.ANY_OF, Saying.CLAIMS

STATED = [
    ("H7", VALUE, [("H7", State.PLANNED, "", "")]),
    ("7", VALUE, [("7", State.PLANNED, "", "")]),
    ("H7 (guessed)", VALUE, [("H7", G, "", "")]),
    ("H7(Traced )", VALUE, [("H7", T, "", "")]),
    ("{value: H7}", VALUE, [("H7", State.PLANNED, "", "")]),
    ("{value: H7, state: fitted, source: Mia, note: seen}", VALUE, [("H7", F, "Mia", "seen")]),
    ("{value: H7 (guessed), source: label}", VALUE, [("H7", G, "label", "")]),
    ("{any of: [H7, H8 (guessed)]}", ANY, [("H7", State.PLANNED, "", ""), ("H8", G, "", "")]),
    (
        "{claims: [{value: H7, source: code}, {value: H8, source: notebook, state: guessed}, H9]}",
        CLAIMS,
        [("H7", State.PLANNED, "code", ""), ("H8", G, "notebook", ""), ("H9", State.PLANNED, "", "")],
    ),
    ("unknown", Saying.UNKNOWN, []),
    ("Unknown", Saying.UNKNOWN, []),
    ("none  found", Saying.NONE_FOUND, []),
    ("{value: unknown, note: ask Tom}", Saying.UNKNOWN, []),
    ('"H7 (guessed)"', VALUE, [("H7 (guessed)", State.PLANNED, "", "")]),
    ('"unknown"', VALUE, [("unknown", State.PLANNED, "", "")]),
    ('{value: "pump (old)", state: guessed}', VALUE, [("pump (old)", G, "", "")]),
]


def stated(written: str, key: str = "slot") -> Fact[Any]:
    """Read one fact of a thing."""
    names = {"slot": "feed.slot", "port": "hookup.sockets", "at": "spot.at", "id": "key.number", "wire": "wishes.gauge"}
    found: Any = device(f"robot: T\nsensors:\n  a:\n    {key}: {written}\n")
    for step in names.get(key, key).split("."):
        found = getattr(found, step)
    assert isinstance(found, Fact)
    return found


@pytest.mark.parametrize(("written", "saying", "said"), STATED)
def test_every_way_to_state_a_fact(written: str, saying: Saying, said: list[tuple[str, State, str, str]]) -> None:
    """Value, state, source and note arrive as written; quoted text is never a short form."""
    fact = stated(written)
    assert fact.saying is saying
    assert [(c.value, c.state, c.source, c.note) for c in fact.said] == said


def test_what_is_left_out_is_absent() -> None:
    """Nothing said is neither unknown nor none found: the tool may decide."""
    fact = device("robot: T\nsensors: {a: {part: sensor/any}}\n").feed.slot
    assert fact == Fact()
    assert fact.open_to_decide


@pytest.mark.parametrize("written", ["{value: unknown, note: ask Tom}", "{claims: [H1, H2], note: ask Tom}"])
def test_the_note_of_an_open_fact_is_kept(written: str) -> None:
    """Whom to ask is worth most where nothing is known."""
    assert stated(written).note == "ask Tom"


def test_every_claim_knows_where_it_stands_and_how_it_was_written() -> None:
    """A finding about the second claim points at the second claim, in the words of the file."""
    claims = stated("{claims: [H7 (guessed), {value: H8, source: code}]}").said
    assert [(str(c.mark), c.written) for c in claims] == [("robot.yaml:4:21", "H7"), ("robot.yaml:4:43", "H8")]


@pytest.mark.parametrize(
    ("key", "written", "value", "words"),
    [
        ("at", "[120 mm, 4 in]", (0.12, 0.1016), "[120 mm, 4 in]"),
        ("at", "[0, -5 cm]", (0.0, -0.05), "[0, -5 cm]"),
        ("port", "digital 2-4", ("digital 2", "digital 3", "digital 4"), "digital 2-4"),
        ("port", "[digital 0, analog 1-2]", ("digital 0", "analog 1", "analog 2"), "[digital 0, analog 1-2]"),
        ("port", "4", ("4",), "4"),
        ("id", "010", 10, "010"),
        ("wire", "1/0 AWG", Gauge(0), "1/0 AWG"),
    ],
)
def test_lists_and_sizes(key: str, written: str, value: object, words: str) -> None:
    """What is written as a list or a size is read in SI, and the words are kept."""
    [claim] = stated(written, key).said
    assert claim.value == pytest.approx(value) if key == "at" else claim.value == value
    assert claim.written == words


@pytest.mark.parametrize("written", ["on", "off", "12:30", "1_0", "0x10", "2024-05-01", "~x", "No. 5", "1e3"])
def test_yaml_changes_no_text(written: str) -> None:
    """Words that YAML likes to turn into something else stay what was typed."""
    assert stated(written).value == written


@pytest.mark.parametrize(
    ("written", "limit", "state"),
    [
        ("40 A", Limit(40.0), State.PLANNED),
        ("40 A (guessed)", Limit(40.0), G),
        ("{hold: 35 A, peak: 60 A, for: 300 ms}", Limit(35.0, 60.0, 0.3), State.PLANNED),
        ("{peak: 60 A}", Limit(60.0, 60.0), State.PLANNED),
        ("{value: {hold: 35 A, peak: 60 A}, state: guessed}", Limit(35.0, 60.0), G),
    ],
)
def test_limits_hold_and_peak(written: str, limit: Limit, state: State) -> None:
    """A limit is one amount, or what is held with a peak for a time; either may be doubtful."""
    text = f"robot: T\nmechanisms: {{a: {{motor: motor/brushed, limit: {{supply: {written}}}}}}}\n"
    [claim] = device(text, "a controller").limits.supply.said
    assert (claim.value, claim.state) == (limit, state)


def test_limit_claims_may_mix_plain_and_peak() -> None:
    """Two people may say it in two forms."""
    text = (
        "robot: T\n"
        "mechanisms: {a: {motor: motor/brushed, limit: {motor: {claims: [40 A, {hold: 35 A, peak: 60 A}]}}}}\n"
    )
    limit = device(text, "a controller").limits.motor
    assert limit.values == (Limit(40.0), Limit(35.0, 60.0))
    assert [c.written for c in limit.said] == ["40 A", "{hold: 35 A, peak: 60 A}"]


@pytest.mark.parametrize(
    ("written", "ends", "saying"),
    [
        ("0.2 s", (0.2, 0.2), VALUE),
        ("0.2 s to 0.3 s", (0.2, 0.3), VALUE),
        ("0 s", (0.0, 0.0), VALUE),
        ("none found", None, Saying.NONE_FOUND),
    ],
)
def test_no_ramp_and_a_ramp_of_nothing_are_two_things(
    written: str, ends: tuple[float, float] | None, saying: Saying
) -> None:
    """`0 s` says that the code goes to full output at once; `none found` says that somebody looked."""
    ramp = device(f"robot: T\nmechanisms: {{a: {{motor: motor/brushed, ramp: {written}}}}}\n", "a controller").ramp
    assert (ramp.value, ramp.saying) == (ends, saying)


@pytest.mark.parametrize(("written", "told_words"), fault_cases("robot_fact_faults.txt"))
def test_what_is_no_fact_is_told_whole(written: str, told_words: str) -> None:
    """Each slip in a fact is told at its character, with what to write instead."""
    assert told(written) == told_words


def test_a_fact_keeps_state_source_and_place_when_its_value_is_turned_into_another() -> None:
    """What follows from a doubtful value is as doubtful, and still points at the file."""
    fact = stated("{value: H7, state: guessed, source: Mia, note: seen}")
    [claim] = fact.map(len).said
    assert claim == Claim(2, G, "Mia", "seen", "H7", fact.said[0].mark)


@pytest.mark.parametrize(
    ("line", "fact"),
    [
        ("slot: H3 (fitted)", lambda found: found.feed.slot),
        ("length: 85 cm (fitted)", lambda found: found.wishes.length),
        ("wire: 12 AWG (fitted)", lambda found: found.wishes.gauge),
        ("slot: {value: H3, state: fitted, source: Mia}", lambda found: found.feed.slot),
    ],
)
def test_what_is_made_already_is_called_fitted(line: str, fact: Callable[[Device], Fact[Any]]) -> None:
    """The short form and the long one say that this circuit's wires are made."""
    blocks = "blocks: {block: {part: block/6-heavy-10-light-2-fused}}"
    found = device(f"robot: T\n{blocks}\nmechanisms: {{a: {{{MOTOR}, {line}}}}}\n", "a controller")
    assert fact(found).state is State.FITTED


def test_a_chain_that_is_made_already_is_fitted_in_its_long_form() -> None:
    """A list has no brackets behind it, so its state stands beside it."""
    text = (
        f"robot: T\nmechanisms: {{a: {{{MOTOR}}}, b: {{{MOTOR}}}}}\n"
        "data: {main: {order: {value: [a, b], state: fitted}}}\n"
    )
    [bus] = robot_of(text).buses
    assert (bus.order.value, bus.order.state) == (("a controller", "b controller"), State.FITTED)
