"""What the bench's records raise: each reason alone, by its factor and for its own faults, and nothing else."""

from __future__ import annotations

from collections.abc import Iterable

import pytest

from loomwright.hunting.robot.faults import moving_trunks
from loomwright.hunting.robot.history import by_place, raised_by
from loomwright.hunting.robot.practice import raises
from loomwright.records.event import Event, Kind
from loomwright.records.fold import State, fold
from tests.hunting.robot.traced import planned, traced
from tests.records.events import event, recorded

ENDS = ("open", "poor", "loose", "shaky")
EARLY, NOON, LATE = "2026-02-07T11:00:00Z", "2026-02-07T12:00:00Z", "2026-02-07T13:00:00Z"


def signed(*, but: Iterable[str] = ()) -> list[Event]:
    """Return every end of Rockpool made and pulled by AB, but for some."""
    found: list[Event] = []
    for number, (wire, letter) in enumerate(_ends()):
        if f"{wire} {letter}" not in but:
            made = event(1000 + number, Kind.MADE, wire=wire, end=letter, measured_at=EARLY)
            pulled = event(2000 + number, Kind.PULLED, of=(1000 + number,), wire=wire, end=letter, measured_at=EARLY)
            found += [made, pulled]
    return found


def _ends() -> list[tuple[str, str]]:
    return [(w.id, end.letter) for w in planned("rockpool").wires for end in (w.a, w.b) if end.treatment is not None]


def state(*events: Event) -> State:
    """Return the state after some events of one laptop."""
    return fold(recorded(*events))


def by_records(*events: Event) -> dict[str, float]:
    """Return what records raise on Rockpool, beside what the places of its ends do."""
    plan = planned("rockpool")
    plain = raised_by(plan, state(), "")
    found = raised_by(plan, state(*events), "")
    assert set(plain) <= set(found)
    more = {fault: held.factor / (plain[fault].factor if fault in plain else 1.0) for fault, held in found.items()}
    return {fault: factor for fault, factor in more.items() if factor != pytest.approx(1.0)}


def at(*ends: str) -> set[str]:
    """Return the faults of some ends that this robot has."""
    return {f"{kind} {end}" for end in ends for kind in ENDS} & set(traced("rockpool").faults)


def test_an_end_that_was_made_and_pulled_is_no_suspect() -> None:
    """All signed, all pulled: nothing is raised."""
    assert by_records(*signed()) == {}


def test_without_any_signature_nothing_is_raised() -> None:
    """Who does not keep records is not told that nobody made anything; an event of another build is none of this."""
    assert by_records() == {}
    assert by_records(event(1, Kind.PLAYED, about="row", measured_at=LATE)) == {}
    assert by_records(event(1, Kind.MADE, wire="W6", end="A", build="practice")) == {}


@pytest.mark.parametrize(
    ("reason", "events"),
    [
        ("not made", []),
        ("not pulled", [event(1, Kind.MADE, wire="W6", end="A")]),
        (
            "redone",
            [
                event(1, Kind.MADE, wire="W6", end="A", measured_at=EARLY),
                event(2, Kind.REDONE, of=(1,), wire="W6", end="A"),
                event(3, Kind.PULLED, of=(2,), wire="W6", end="A", measured_at=LATE),
            ],
        ),
        (
            "failed pull",
            [
                event(1, Kind.MADE, wire="W6", end="A", measured_at=EARLY),
                event(2, Kind.FAILED, of=(1,), wire="W6", end="A"),
                event(3, Kind.PULLED, of=(1,), wire="W6", end="A", measured_at=LATE),
            ],
        ),
    ],
)
def test_a_reason_raises_its_end_by_its_factor(reason: str, events: list[Event]) -> None:
    """All four kinds of faults of that end, in the table's words; no other end, no wire, no device."""
    factor, words = raises()[reason]
    told = [*signed(but=["W6 A"]), *events]
    # Who made it made all of them, so that a failed pull says nothing of one hand beside others.
    assert by_records(*told) == pytest.approx(dict.fromkeys(at("W6 A"), factor))
    found = raised_by(planned("rockpool"), state(*told), "")
    assert words in found["open W6 A"].why
    assert "open W6 B" not in found or words not in found["open W6 B"].why


def test_five_matches_without_a_check() -> None:
    """After the fifth match since its last event every end is raised, not after the fourth."""
    factor, words = raises()["not checked"]
    played = [event(10 + n, Kind.PLAYED, about="row", measured_at=LATE) for n in range(5)]
    assert by_records(*signed(), *played[:4]) == {}
    raised = by_records(*signed(), *played)
    assert raised == pytest.approx(dict.fromkeys(at(*(f"{w} {x}" for w, x in _ends())), factor))
    again = event(
        90, Kind.PULLED, of=(1000,), wire=_ends()[0][0], end=_ends()[0][1], measured_at="2026-02-07T14:00:00Z"
    )
    checked = by_records(*signed(), *played, again)
    assert set(raised) - set(checked) == at(" ".join(_ends()[0]))
    assert words == "not checked for five matches or more"


def test_a_hand_whose_ends_fail() -> None:
    """Kim: 4 of 10 pulls failed; the team: 4 of all. Her ends are raised by that, drawn to the team's by ten pulls."""
    ends = _ends()
    kims = [f"{wire} {letter}" for wire, letter in ends[:5]]
    told = signed(but=kims)
    pulls, failed = len(ends) - 5, 0
    for number, name in enumerate(kims):
        wire, letter = name.split(" ")
        made = event(3000 + number, Kind.MADE, who="Kim", wire=wire, end=letter, measured_at=EARLY)
        told += [made, event(3100 + number, Kind.PULLED, of=(3000 + number,), wire=wire, end=letter, measured_at=LATE)]
        pulls += 1
        if number < 4:
            told.append(event(3200 + number, Kind.FAILED, of=(3000 + number,), wire=wire, end=letter))
            pulls, failed = pulls + 1, failed + 1
    team = failed / pulls
    rate = (failed + 10 * team) / (9 + 10) / team
    raised = by_records(*told)
    most = raises()["hand"][0]
    assert 1 < rate < most
    # The fifth of her ends never failed: her hand alone raises it.
    assert [raised[fault] for fault in at(kims[4])] == pytest.approx([rate] * len(at(kims[4])))
    assert set(raised) == at(*kims)
    # Who is better than the team lowers nothing.
    assert min(raised.values()) > 1


def test_a_hand_counts_for_no_more_than_its_cap() -> None:
    """Kim fails always, among many pulls that hold: at most four times."""
    told = signed(but=["W6 A", "W7 A"])
    told += [
        event(4000 + n, Kind.PULLED, of=(1000,), wire=_ends()[0][0], end=_ends()[0][1], measured_at=EARLY)
        for n in range(900)
    ]
    told += [event(1, Kind.MADE, who="kim", wire="W6", end="A", measured_at=EARLY)]
    told += [event(100 + n, Kind.FAILED, of=(1,), wire="W6", end="A") for n in range(30)]
    told += [event(2, Kind.MADE, who=" K I M", wire="W7", end="A", measured_at=NOON)]
    told += [event(3, Kind.PULLED, of=(2,), wire="W7", end="A", measured_at=LATE)]
    raised = by_records(*told)
    assert [raised[fault] for fault in at("W7 A")] == pytest.approx([raises()["hand"][0]] * len(at("W7 A")))


@pytest.mark.parametrize("ended", [True, False])
def test_what_was_mended_before_is_mended_again(ended: bool) -> None:  # noqa: FBT001  a parameter of the test
    """A seat that an ended hunt mended: all its faults, an end's, a circuit's; one that goes on raises nothing."""
    told = [
        event(1, Kind.HUNT, words="dead"),
        event(2, Kind.MENDED, of=(1,), about="left wheel"),
        event(3, Kind.MENDED, of=(1,), about="W6 A"),
    ]
    told += [event(4, Kind.HUNT_ENDED, of=(1,), words="found")] if ended else []
    raised = by_records(*told)
    seats = {"left wheel", "W6 A"}
    expected = {key for key, fault in traced("rockpool").faults.items() if fault.seat in seats} if ended else set()
    assert raised == pytest.approx(dict.fromkeys(expected, raises()["mended before"][0]))


def test_places_raise_by_themselves() -> None:
    """An end of a wire in a moving joint, an end that only friction holds: without any record, and multiplied."""
    plan = planned("tidepool")
    moving, friction = (raises()[reason][0] for reason in ("moving", "friction"))
    raised = raised_by(plan, State(), "")
    seen = set()
    for wire in plan.wires:
        for end in (wire.a, wire.b):
            joint, slips = bool(moving_trunks(plan, wire)), end.port is not None and end.port.friction_only
            factor = (moving if joint else 1.0) * (friction if slips else 1.0)
            held = raised.get(f"open {wire.id} {end.letter}")
            assert (held.factor if held else 1.0) == pytest.approx(factor), (wire.id, end.letter)
            assert [amount for amount, _ in by_place(plan, wire, end)] == [moving] * joint + [friction] * slips
            seen.add((joint, slips))
    assert {(True, False), (False, True), (False, False)} <= seen
    assert not [fault for fault in raised if not fault.startswith(ENDS)]


def test_reasons_multiply_and_are_all_told() -> None:
    """Made again and never pulled: 3 x 2, with both in words."""
    told = [*signed(but=["W6 A"]), event(1, Kind.MADE, wire="W6", end="A", measured_at=EARLY)]
    told.append(event(2, Kind.REDONE, of=(1,), wire="W6", end="A"))
    raised = raised_by(planned("rockpool"), state(*told), "")["open W6 A"]
    plain = raised_by(planned("rockpool"), State(), "").get("open W6 A")
    assert raised.factor == pytest.approx(6.0 * (plain.factor if plain else 1.0))
    assert {raises()["redone"][1], raises()["not pulled"][1]} <= set(raised.why)


def test_a_moving_joint_wears_its_wires_with_every_match() -> None:
    """Since a wire was made: 15 matches are half as much again, and it is never more than the table's most."""
    plan = planned("tidepool")
    wire = next(one for one in plan.wires if moving_trunks(plan, one))
    still = next(one for one in plan.wires if not moving_trunks(plan, one))
    faults = (f"shaky wire {wire.id}", f"broken {wire.id}", f"open {wire.id} A", f"open {still.id} A")

    def factors(*events: Event) -> list[float]:
        plain, found = raised_by(plan, state(), ""), raised_by(plan, state(*events), "")
        return [
            (found[fault].factor if fault in found else 1.0) / (plain[fault].factor if fault in plain else 1.0)
            for fault in faults
        ]

    played = [event(n, Kind.PLAYED, about=f"row {n}", measured_at=LATE) for n in range(1, 16)]
    assert factors(*played) == pytest.approx([1.5, 1.5, 1.5, 1.0])
    told = raised_by(plan, state(*played), "")[faults[0]].why
    assert told == ("its joint moved in 15 matches since it was made",)
    many = [event(n, Kind.PLAYED, about=f"row {n}", measured_at=LATE) for n in range(1, 100)]
    assert factors(*many)[:2] == pytest.approx([raises()["moved"][0]] * 2)
    # Made again at one end after them: its wear begins anew.
    made = event(500, Kind.MADE, wire=wire.id, end="A", measured_at="2026-02-07T14:00:00Z")
    assert factors(*played, made)[:2] == pytest.approx([1.0, 1.0])
