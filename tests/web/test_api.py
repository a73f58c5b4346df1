"""The API: the bench as data, events in, records out; nothing is told to be there that is not on the disk."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import pytest

from loomwright.findings import Finding, Place, Severity, UnreadableInputError
from loomwright.jobs.bench import MOST_AT_ONCE
from loomwright.records.event import Record
from loomwright.store import StoreError, StoreFullError
from loomwright.web.bench_forms import BenchTold
from loomwright.web.forms import RecordsTold
from tests.web.people import WRITE, House, an_end, event

EVENTS, BENCH, RECORDS = "/api/v1/events", "/api/v1/bench", "/api/v1/records"


@pytest.mark.parametrize("robot", ["rockpool", "tidepool"])
def test_the_bench_is_what_its_description_says(robot: str, tmp_path: Path) -> None:
    """Every field of every example, with things signed and measured, fits the form that OpenAPI tells."""
    house = House.of(tmp_path, robot=robot)
    view = house.desk.bench.view()
    wire, end = an_end(view)
    row = view.wake_up.measurements[0]
    told = [
        event(1, wire=wire, end=end, tool="crimper", words="first"),
        event(2, "pulled", wire=wire, end=end, who="Lee", of=[f"{1:032x}"]),
        event(3, "failed", wire=wire, end=end, of=[f"{1:032x}"], words="slips"),
        event(4, "measured", about=row.key, value=0.2, unit="ohm"),
        event(5, "measured", about=row.key, words="open", of=[f"{4:032x}"]),
        event(6, "power on", about="main"),
        event(7, "confirmed", about=view.wake_up.looks[0].key, of=[f"{6:032x}"]),
    ]
    answers = house.laptop.post(EVENTS, {"events": told}).data["answers"]
    assert {answer["outcome"] for answer in answers} == {"added"}
    data = house.laptop.get(BENCH).data
    held = BenchTold.model_validate(data)
    assert held.arrival == 7
    assert json.loads(held.model_dump_json(exclude_unset=True)) == data


def test_what_is_signed_shows_on_the_bench(house: House) -> None:
    """A phone signs an end with what it saw of it; the next look at the bench tells who made it."""
    student = house.student
    wire, letter = an_end(house.desk.bench.view())
    answer = student.post(EVENTS, {"events": [event(1, wire=wire, end=letter)]})
    assert answer.data == {"answers": [{"key": f"{1:032x}", "outcome": "added", "why": []}], "arrival": 1}
    ends = [
        end for group in student.get(BENCH).data["ends"]["groups"] for step in group["steps"] for end in step["ends"]
    ]
    [made] = [end["made"] for end in ends if (end["wire"], end["end"]) == (wire, letter)]
    assert [one["who"] for one in made] == ["Kim"]


def test_a_hunt_is_kept_and_can_be_taken_up_again(house: House) -> None:
    """A phone begins a hunt and tells what it saw; the bench's state holds both, and a bare reading is refused."""
    hub = "volts hub B"
    told = [
        event(1, "hunt", words="hub is dark"),
        event(2, "observed", of=[f"{1:032x}"], about=hub, value=0.1, unit="V", words="none"),
        event(3, "observed", of=[f"{1:032x}"], about=hub, value=0.1),
    ]
    answers = house.student.post(EVENTS, {"events": told}).data["answers"]
    assert [answer["outcome"] for answer in answers] == ["added", "added", "refused"]
    assert answers[2]["why"] == ["A value of the kind `observed` is in V or A or ohm."]
    hunt = house.desk.bench.view().state.hunt("")
    assert hunt is not None
    assert (hunt.begun.words, [one.key for one in hunt.observations]) == ("hub is dark", [f"{2:032x}"])


def test_each_event_is_answered_for_itself_and_in_order(house: House) -> None:
    """One that can't be taken keeps no other one out; one that came before is known, in the same batch or later."""
    told = [event(1), {"key": "no"}, 7, None, event(1), event(2, wire="nothing"), event(3)]
    outcomes = [answer["outcome"] for answer in house.student.post(EVENTS, {"events": told}).data["answers"]]
    assert outcomes == ["added", "refused", "refused", "refused", "known", "refused", "added"]
    again = house.student.post(EVENTS, {"events": told}).data
    assert [answer["outcome"] for answer in again["answers"]] == [
        *("known", "refused", "refused", "refused", "known", "refused", "known")
    ]
    assert again["arrival"] == 2


def test_the_laptops_clock_tells_when_a_record_was_received(house: House) -> None:
    """Whatever the phone's clock says beside it."""
    house.hands.past_s = 61.5
    house.student.post(EVENTS, {"events": [event(1, measured_at="1999-01-01T00:00:00Z")]})
    [record] = house.laptop.get(RECORDS).data["records"]
    assert record["received_at"] == "2026-02-07T09:31:01.500Z"
    assert record["measured_at"] == "1999-01-01T00:00:00Z"


def test_a_screen_that_is_up_to_date_is_told_so(house: House) -> None:
    """The tag changes with an arrival and with the role, and with nothing else."""
    student = house.student
    first = student.get(BENCH)
    same = student.get(BENCH, If_None_Match=first.field("etag"))
    assert (same.status, same.raw) == (304, b"")
    assert same.field("etag") == first.field("etag")
    assert house.mentor.get(BENCH, If_None_Match=first.field("etag")).status == 200
    student.post(EVENTS, {"events": [event(1)]})
    new = student.get(BENCH, If_None_Match=first.field("etag"))
    assert (new.status, new.data["arrival"]) == (200, 1)


@pytest.mark.parametrize("tag", ['"x", {}', "{}", "*", '{} , "y"'])
def test_a_tag_is_known_in_any_form_that_it_may_have(house: House, tag: str) -> None:
    """One of several, weak or strong, or any at all."""
    etag = house.laptop.get(BENCH).field("etag")
    assert house.laptop.get(BENCH, If_None_Match=tag.format(etag)).status == 304
    assert house.laptop.get(BENCH, If_None_Match=tag.format(etag.removeprefix("W/"))).status == 304
    assert house.laptop.get(BENCH, If_None_Match='"other"').status == 200


@pytest.mark.parametrize(
    ("accepts", "packed"),
    [
        ("gzip", True),
        ("br, GZIP;q=0.5", True),
        ("", False),
        ("gzip;q=0", False),
        ("gzip; q = 0.0", False),
        ("br", False),
    ],
)
def test_the_bench_is_compressed_for_whoever_can_unpack_it(house: House, accepts: str, *, packed: bool) -> None:
    """The same data either way; a cache is told that the two differ."""
    answer = house.laptop.get(BENCH, Accept_Encoding=accepts)
    assert (answer.field("content-encoding") == "gzip") is packed
    assert answer.data == house.laptop.get(BENCH).data
    assert answer.field("vary") == "Accept-Encoding"
    assert not packed or len(answer.raw) < len(answer.body) / 4


@pytest.mark.parametrize(
    "body",
    [
        *(b"", b"{", b"[]", b"null", b'"events"', b'{"events": 1}', b'{"events": {}}', b'{"event": []}', b"{}"),
        *(b'{"events": [], "more": 1}', b"\xff\xfe", b'{"events": [' + b"[" * 100_000 + b"]" * 100_000 + b"]}"),
        *(b'{"events": [' + b"1" * 5000 + b"]}", b'{"events": ["\\ud800"]}', b'{"events": [{"\\udfff": 1}]}'),
    ],
)
def test_a_body_that_is_no_batch_of_events_is_refused_in_words(house: House, body: bytes) -> None:
    """Whatever it is: broken JSON, other JSON, depths, numbers without end, half characters; never an error of ours."""
    answer = house.laptop.send("POST", EVENTS, WRITE, body=[body])
    assert answer.status in (400, 422)
    assert set(answer.data) == {"code", "what", "fix"}
    assert house.desk.bench.store.last_arrival == 0


def test_a_refusal_names_the_place_and_does_not_say_back_what_was_sent(house: House) -> None:
    """A fault tells which field; the text that somebody made up does not come back."""
    answer = house.laptop.post(EVENTS, {"events": "<script>alert(1)</script>"})
    assert "body.events" in answer.data["what"]
    assert "script" not in answer.text


@pytest.mark.parametrize("value", ["NaN", "Infinity", "-Infinity", "1e999"])
def test_a_value_that_is_no_number_is_refused(house: House, value: str) -> None:
    """JSON readers take these words; a meter does not show them."""
    told = json.dumps({"events": [event(1, "measured", about="row", unit="ohm", value=0.5)]}).replace("0.5", value)
    answer = house.laptop.send("POST", EVENTS, WRITE, body=[told.encode()])
    assert answer.status == 200
    assert answer.data["answers"][0]["outcome"] == "refused"


def test_so_many_events_come_at_once_and_no_more(house: House) -> None:
    """500 are taken, 501 are not, and none of them is."""
    many = [event(n) for n in range(MOST_AT_ONCE + 1)]
    assert house.laptop.post(EVENTS, {"events": many}).status == 422
    assert house.desk.bench.store.last_arrival == 0
    assert house.laptop.post(EVENTS, {"events": many[:-1]}).data["arrival"] == MOST_AT_ONCE


def test_records_come_in_pieces_that_join(house: House, monkeypatch: pytest.MonkeyPatch) -> None:
    """A script that asks on after the last arrival gets every record once, each with its hash and in its form."""
    monkeypatch.setattr("loomwright.web.api.MOST_TOLD", 2)
    house.laptop.post(EVENTS, {"events": [event(n) for n in range(5)]})
    after, keys, more = 0, [], True
    while more:
        data = house.laptop.get(f"{RECORDS}?after={after}").data
        told = RecordsTold.model_validate(data)
        keys += [record.key for record in told.records]
        assert [record["hash"] for record in data["records"]] == [
            record.hash for _, record in house.desk.bench.store.since(after)[:2]
        ]
        after, more = told.arrival, told.more
    assert keys == [f"{n:032x}" for n in range(5)]
    assert house.laptop.get(f"{RECORDS}?after=5").data == {"records": [], "arrival": 5, "more": False}


def test_a_record_is_what_its_description_says(house: House) -> None:
    """Every field that a record can have is one that OpenAPI tells: what was planned, what a reading rests on."""
    wire, end = an_end(house.desk.bench.view())
    told = [
        event(1, wire=wire, end=end, tool="crimper", words="first", as_planned={"gauge": "12 AWG"}),
        event(2, "pulled", wire=wire, end=end, who="Lee", of=[f"{1:032x}"]),
        event(3, "battery", about="B1"),
        event(4, "rested", about="B1", value=12.8, unit="V", conditions={"since_charge_h": 2.0}),
    ]
    answers = house.laptop.post(EVENTS, {"events": told}).data["answers"]
    assert [(answer["outcome"], answer["why"]) for answer in answers] == [("added", [])] * 4
    data = house.laptop.get(RECORDS).data
    assert {"as_planned", "of", "conditions", "value"} <= {name for record in data["records"] for name in record}
    held = RecordsTold.model_validate(data)
    assert json.loads(held.model_dump_json(exclude_unset=True)) == data


@pytest.mark.parametrize("after", ["-1", "x", "1.5", str(2**70), "", "1&after=x"])
def test_records_after_no_arrival_are_refused(house: House, after: str) -> None:
    """Neither negative nor larger than the database can count."""
    assert house.laptop.get(f"{RECORDS}?after={after}").status == 422


# ------------------------------------------------------------------ when nothing can be written


@dataclass(slots=True)
class Broken:
    """A store with the same surface as the real one, in which one kind of trouble waits."""

    trouble: Exception
    last_arrival: int = 0

    def append(self, *_: object, **__: object) -> list[str]:
        """Write nothing."""
        raise self.trouble

    def records(self) -> list[Record]:
        """Return none."""
        return []

    def since(self, *_: object) -> list[tuple[int, Record]]:
        """Read nothing."""
        raise self.trouble


FINDING = Finding("bench-full", Severity.MUST, Place("bench.db"), "The disk is full.", "Make room.")


@pytest.fixture
def broken(house: House) -> Iterator[House]:
    """Give the bench with a store in which something is wrong."""
    real = house.desk.bench.store
    house.desk.bench.store = Broken(StoreFullError(FINDING))  # type: ignore[assignment]  # the same surface
    yield house
    house.desk.bench.store = real


@pytest.mark.parametrize(
    ("trouble", "status"),
    [(StoreFullError(FINDING), 507), (StoreError(FINDING), 503), (UnreadableInputError([FINDING]), 503)],
)
def test_a_full_disk_is_told_in_the_stores_words(broken: House, trouble: Exception, status: int) -> None:
    """Nothing is called kept; the phone sends it again, and a person reads what to do."""
    broken.desk.bench.store = Broken(trouble)  # type: ignore[assignment]  # the same surface
    answer = broken.laptop.post(EVENTS, {"events": [event(1)]})
    assert (answer.status, answer.data) == (
        status,
        {"code": "bench-full", "what": "The disk is full.", "fix": "Make room."},
    )
    assert broken.laptop.get(RECORDS).status == status


def test_a_mistake_of_our_own_is_told_without_its_inside(broken: House) -> None:
    """The traceback is for the laptop's terminal; the answer has plain words and all headers."""
    broken.desk.bench.store = Broken(ZeroDivisionError("secret inside"))  # type: ignore[assignment]  # the same surface
    answer = broken.laptop.post(EVENTS, {"events": [event(1)]})
    assert (answer.status, answer.data["code"]) == (500, "our-mistake")
    assert "secret inside" not in answer.text
    assert "default-src 'none'" in answer.field("content-security-policy")


def test_a_key_that_clashes_is_refused_and_can_be_sent_anew(house: House) -> None:
    """Two phones made the same key for different things: the second is told to take a new one."""
    house.student.post(EVENTS, {"events": [event(1)]})
    other = replace_key(event(1, who="Lee"), 9)
    [clash] = house.student.post(EVENTS, {"events": [event(1, who="Lee")]}).data["answers"]
    assert (clash["outcome"], "new key" in clash["why"][0]) == ("refused", True)
    [added] = house.student.post(EVENTS, {"events": [other]}).data["answers"]
    assert added["outcome"] == "added"


def replace_key(told: dict[str, Any], number: int) -> dict[str, Any]:
    """Return an event with another key."""
    return {**told, "key": f"{number:032x}"}


def test_the_description_is_served_and_names_every_route(house: House) -> None:
    """/openapi.json has each address of the API with its refusals, and no page."""
    told = house.laptop.get("/openapi.json").data
    assert set(told["paths"]) == {
        f"/api/v1/{name}" for name in ("join", "leave", "bench", "events", "stream", "records")
    }
    for path in told["paths"].values():
        for operation in path.values():
            assert {"200", "401", "403", "421"} <= set(operation["responses"])
            assert operation["summary"]
            assert operation["description"]


def test_the_clock_gives_times_as_records_tell_them(house: House) -> None:
    """In UTC with milliseconds, as the reader of records wants them."""
    assert house.desk.clock.stamp() == "2026-02-07T09:30:00.000Z"
    assert replace(house.desk.settings, port=80).laptop_url == "http://127.0.0.1:80/"


def test_looks_grow_old_at_the_laptop_though_nothing_arrives(house: House) -> None:
    """Answered by two: the lock's sentence goes. Half an hour later, by the laptop's clock, it is back."""
    told = house.laptop.get(BENCH).data["wake_up"]
    asked = [look for look in told["looks"] if look["before"] == "measuring"]
    answers = [
        event(100 + n, "confirmed", about=look["key"], of=look["of"], who=who)
        for n, (look, who) in enumerate((look, who) for look in asked for who in ("AB", "CD"))
    ]
    house.laptop.post(EVENTS, {"events": answers})

    def lock() -> tuple[bool, str, bool]:
        seen = house.laptop.get(BENCH)
        words = "Two people look"
        page = house.laptop.get("/wake-up").text.split('data-lock-measuring="')[1].split('"')[0]
        locked = any(words in one for one in seen.data["wake_up"]["locks"]["measuring"])
        return locked, seen.field("etag"), words in page

    before, tag, shown = lock()
    assert (before, shown) == (False, False)
    house.hands.past_s += 29 * 60
    assert lock() == (False, tag, False)
    house.hands.past_s += 2 * 60
    after, other, shown = lock()
    assert (after, shown) == (True, True)
    assert other != tag


def test_the_robots_state_is_told_by_when_the_laptop_heard_of_it(house: House) -> None:
    """A phone of 2031 looked first, another later: the later one is told, with the laptop's time of day."""
    looks = [look["key"] for look in house.laptop.get(BENCH).data["wake_up"]["looks"]]
    for n, (who, at) in enumerate((("FU", "2031-01-01T05:05:00Z"), ("AB", "2026-02-07T09:31:00Z"))):
        told = [event(100 * n + m, "confirmed", about=key, who=who, measured_at=at) for m, key in enumerate(looks, 1)]
        house.student.post(EVENTS, {"events": told})
        house.hands.past_s += 60
    page = house.laptop.get("/ends").text
    assert "AB looked" in page
    assert 'datetime="2026-02-07T09:31:00.000Z"' in page
    assert "2031" not in page.split("<main")[0]


def test_nothing_is_refused_in_a_danger_and_the_bench_says_what_is_locked(house: House) -> None:
    """A signature that comes late is kept, and counts: the end was made. Who measures, signs or switches is told."""
    wire, letter = an_end(house.desk.bench.view())
    danger = [event(1, "hunt"), event(2, "danger", of=[f"{1:032x}"], words="smoke")]
    late = [event(3, wire=wire, end=letter), event(4, "measured", about="left wheel: plus", value=0.2, unit="ohm")]
    answers = house.student.post(EVENTS, {"events": [*danger, *late]}).data["answers"]
    assert [one["outcome"] for one in answers] == ["added"] * 4
    told = house.laptop.get(BENCH).data["wake_up"]
    assert all(any("Danger: smoke" in words for words in told["locks"][name]) for name in told["locks"])
    row = next(row for row in told["rows"] if row["key"] == "left wheel: plus")
    assert row["verdict"] == "to do"
    assert [one["value"] for one in row["readings"]] == [0.2]
