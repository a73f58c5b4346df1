"""What is told of batteries and chargers: what is taken, and what is refused in which words."""

from __future__ import annotations

from typing import Any

import pytest

from loomwright.records.event import Kind, as_line
from loomwright.records.rack_kinds import LOOKS, PLACES
from tests.records.events import NOON, event, faults, key, recorded


def told(kind: str, **fields: Any) -> dict[str, Any]:  # noqa: ANN401
    """Return an event of the rack as it is sent."""
    return {"key": key(1), "kind": kind, "who": "AB", "measured_at": NOON, "about": "B3"} | fields


@pytest.mark.parametrize(
    "sent",
    [
        told("battery", words="battery/agm-12v-18ah", conditions={"year": 2025, "month": 9, "cycles": 40}),
        told("charger", conditions={"gentle_a": 2, "fast_a": 6}),
        told("rested", value=12.9, unit="V", conditions={"since_charge_h": 12, "temperature_c": 21.5}),
        told("loaded", value=11.8, unit="V", conditions={"load_a": 18}),
        told("loaded", value=12.4, unit="V", conditions={"load_a": 1, "other_load_a": 18, "other_v": 12.1}),
        told("resistance", value=0.0132, unit="ohm", conditions={"low_a": 1, "high_a": 18}),
        told("resistance", value=0.0132, unit="ohm"),
        told("load test", value=10.9, unit="V", conditions={"load_a": 200, "seconds": 10}),
        told("capacity", value=1.6, unit="h", conditions={"load_a": 7.5, "cutoff_v": 10.5}),
        told("warmth", value=31, unit="C"),
        told("charged", tool="C2", value=13.4, unit="V", conditions={"hours": 2.5, "amps": 6}),
        told("charged", tool="C2"),
        told("played", words="Q12", conditions={"before_v": 12.9, "after_v": 12.3}),
        told("released", of=[key(2)]),
        *(told("looked over", words=look) for look in LOOKS),
        *(told("moved", words=place, tool="C2") for place in PLACES),
        # 3 V at rest can't be, and is written down all the same: the rack says why it counts for nothing.
        told("rested", value=3, unit="V"),
        told("resistance", value=-0.01, unit="ohm"),
    ],
)
def test_every_reading_of_the_rack_is_taken(sent: dict[str, Any]) -> None:
    """With what it needs, and with nothing that it may leave out."""
    assert faults(sent) == ()


@pytest.mark.parametrize(
    ("sent", "words"),
    [
        (told("rested", unit="V"), "A `rested` has a `value` in V."),
        (told("rested", value=12.9, unit="mV"), "A value of the kind `rested` is in V."),
        (told("rested", value=12.9, unit="V", conditions={"rest": 3}), "has no condition `rest`; known are"),
        (told("rested", value=12.9, unit="V", build="practice"), "A battery belongs to no build"),
        (told("rested", value=12.9, unit="V", about=""), "`about` names what it is about."),
        (told("rested", value=12.9, unit="V", conditions={"temperature_c": "warm"}), "`temperature_c` is none."),
        (told("rested", value=12.9, unit="V", conditions=[1]), "`conditions` holds up to 12 numbers"),
        (told("rested", value=12.9, unit="V", conditions={f"c{n}": n for n in range(13)}), "up to 12 numbers"),
        (told("loaded", value=11, unit="V"), "`conditions` of `loaded` needs `load_a`."),
        (told("loaded", value=11, unit="V", conditions={"load_a": 1, "other_v": 11}), "`other_load_a` and `other_v`"),
        (told("resistance", value=0.01, unit="ohm", conditions={"low_a": 1}), "`low_a` and `high_a` together"),
        (told("load test", value=11, unit="V", conditions={"load_a": 200}), "needs `seconds`"),
        (told("capacity", value=2, unit="h", conditions={"load_a": 7.5}), "needs `cutoff_v`"),
        (told("looked over", words="tired"), "`words` of a look is one of sound, swollen"),
        (told("moved", words="under the bench"), "`words` of a move is one of rack, charger"),
        (told("moved", words="charger"), "`tool` names the charger."),
        (told("charged", value=13.4, unit="V"), "`tool` names the charger."),
        (told("released"), "`of` names the events"),
        (told("warmth", value=None, unit="C"), "A `warmth` has a `value` in C."),
    ],
)
def test_what_can_not_be_taken_says_how_to_put_it_right(sent: dict[str, Any], words: str) -> None:
    """Each fault is named in a sentence."""
    assert any(words in fault for fault in faults(sent)), faults(sent)


def test_what_is_no_event_of_the_rack_has_no_conditions() -> None:
    """A signature can't carry numbers that nobody reads."""
    sent = told("made", wire="W1", end="A", about="", conditions={"load_a": 3})
    assert faults(sent) == ("`made` has no conditions.",)


def test_a_record_without_conditions_is_written_as_ever() -> None:
    """Records of before keep their hash: an empty field stands nowhere."""
    assert "conditions" not in as_line(recorded(event(1, Kind.MADE))[0])
    held = recorded(event(1, Kind.RESISTANCE, about="B3", value=0.01, unit="ohm", conditions={"high_a": 18.0}))
    assert '"conditions":{"high_a":18.0}' in as_line(held[0])
