"""The live stream: it says at once where the bench is, says it again when that changes, resumes, and ends."""

from __future__ import annotations

import asyncio
import json
from collections.abc import AsyncIterator, Iterator
from contextlib import aclosing
from pathlib import Path
from typing import Any

import pytest
from starlette.types import Message

from loomwright.records.event import Role
from loomwright.web.pulse import Beat
from loomwright.web.refusal import RefusedError
from loomwright.web.session import AT_THE_LAPTOP, Seat
from loomwright.web.stream import GOODBYE, message
from loomwright.web.watching import watch
from tests.web.asgi import scope_of
from tests.web.people import House, event

NEVER_S = 1e6
#: A stream that is not woken must fail its test, not hold it up for ever.
LOST_S = 20.0


@pytest.fixture
def house(tmp_path: Path) -> Iterator[House]:
    """Give a bench whose streams hear nothing but what they are woken for."""
    made = House.of(tmp_path, heartbeat_s=NEVER_S)
    yield made
    made.desk.bench.store.close()


async def next_beat(lines: AsyncIterator[str]) -> dict[str, Any]:
    """Read on until the next arrival, and return what it says."""
    async for line in lines:
        if line.startswith("id:"):
            fields = dict(part.split(": ", 1) for part in line.strip().splitlines())
            assert fields["event"] == "arrival"
            data: dict[str, Any] = json.loads(fields["data"])
            assert str(data["arrival"]) == fields["id"]
            return data
    raise AssertionError("the stream ended")


def test_a_stream_says_at_once_and_on_every_change_where_the_bench_is(house: House) -> None:
    """Two arrivals between two looks are one message: only the last counts."""

    async def listen() -> list[int]:
        desk, seen = house.desk, []
        async with (
            asyncio.timeout(LOST_S),
            aclosing(desk.streams.lines(AT_THE_LAPTOP)) as lines,  # type: ignore[type-var]  # a generator
        ):
            seen.append((await next_beat(lines))["arrival"])
            desk.pulse.tell(Beat(1, "r", stale=False))
            desk.pulse.tell(Beat(2, "r", stale=False))
            seen.append((await next_beat(lines))["arrival"])
            waiting = asyncio.create_task(next_beat(lines))
            await asyncio.sleep(0)
            desk.pulse.tell(Beat(3, "r", stale=True))
            seen.append((await waiting)["arrival"])
        return seen

    assert asyncio.run(listen()) == [0, 2, 3]


def test_a_screen_that_slept_resumes_with_what_it_missed(house: House) -> None:
    """It comes back with the last id that it saw, and its first message is the newest arrival, not a wait."""
    phone = house.student

    async def resume() -> str:
        told = [("Host", phone.host), ("Cookie", phone.cookie), ("Last-Event-ID", "1")]
        scope = scope_of("GET", "/api/v1/stream", told, client=phone.client, server=phone.server)
        got: asyncio.Queue[Message] = asyncio.Queue()

        async def receive() -> Message:
            await asyncio.Event().wait()
            raise AssertionError

        async def send(message: Message) -> None:
            await got.put(message)

        serving = asyncio.ensure_future(house.app(scope, receive, send))
        text = ""
        async with asyncio.timeout(LOST_S):
            while "event: arrival" not in text:
                text += (await got.get()).get("body", b"").decode()
            house.desk.pulse.stop()
            await serving
        while not got.empty():
            text += got.get_nowait().get("body", b"").decode()
        return text

    house.laptop.post("/api/v1/events", {"events": [event(n) for n in range(3)]})
    text = asyncio.run(resume())
    assert "id: 3\n" in text
    assert text.endswith(GOODBYE)


def test_what_is_signed_reaches_those_who_listen(house: House) -> None:
    """The write itself wakes the streams; nobody has to look for it."""
    house.student.post("/api/v1/events", {"events": [event(1)]})
    assert house.desk.pulse.beat.arrival == 1


def test_a_quiet_stream_says_that_it_is_still_there(tmp_path_factory: pytest.TempPathFactory) -> None:
    """The same message again tells the screen that it is heard; a comment would not reach it."""
    house = House.of(tmp_path_factory.mktemp("quiet"), heartbeat_s=0.0)

    async def listen() -> list[str]:
        async with aclosing(house.desk.streams.lines(AT_THE_LAPTOP)) as lines:  # type: ignore[type-var]  # a generator
            return [await anext(lines) for _ in range(4)]

    retry, first, *quiet = asyncio.run(listen())
    assert retry.startswith("retry: ")
    assert first == message(house.desk.pulse.beat)
    assert quiet == [first, first]


def test_a_stream_ends_with_the_session_of_its_reader(tmp_path_factory: pytest.TempPathFactory) -> None:
    """Who has left, or whose time is over, hears no more at the next heartbeat."""
    house = House.of(tmp_path_factory.mktemp("over"), heartbeat_s=0.0, session_s=60.0)
    seat = Seat(Role.STUDENT, "Kim", "nonce", 0.0)

    async def listen() -> list[str]:
        heard = []
        async for line in house.desk.streams.lines(seat):
            heard.append(line)
            assert len(heard) < 10, "it goes on and on"
            house.hands.past_s += 20.1
        return heard

    assert len(asyncio.run(listen())) == 1 + 3 - 1


def test_every_stream_ends_when_the_bench_stops(house: House) -> None:
    """All that listen, and those that come after, are told goodbye without waiting for a heartbeat."""

    async def stop() -> list[list[str]]:
        async def listen() -> list[str]:
            return [line async for line in house.desk.streams.lines(AT_THE_LAPTOP)]

        listening = [asyncio.create_task(listen()) for _ in range(8)]
        await asyncio.sleep(0)
        house.desk.pulse.stop()
        async with asyncio.timeout(LOST_S):
            return [*await asyncio.gather(*listening), await listen()]

    heard = asyncio.run(stop())
    assert len(heard) == 9
    assert all(lines[-1] == GOODBYE for lines in heard)


def test_so_many_streams_are_open_and_no_more(tmp_path_factory: pytest.TempPathFactory) -> None:
    """One that is closed makes room for another."""
    house = House.of(tmp_path_factory.mktemp("many"), streams=2)

    async def crowd() -> None:
        streams = house.desk.streams
        first, second = streams.lines(AT_THE_LAPTOP), streams.lines(AT_THE_LAPTOP)
        await anext(first)
        await anext(second)
        with pytest.raises(RefusedError) as caught:
            streams.lines(AT_THE_LAPTOP)
        assert caught.value.refusal.status == 503
        await first.aclose()  # type: ignore[attr-defined]  # a generator
        await anext(streams.lines(AT_THE_LAPTOP))

    asyncio.run(crowd())


def test_one_session_leaves_room_for_the_others(tmp_path_factory: pytest.TempPathFactory) -> None:
    """Whoever opens streams without end has their own share of them, and a neighbour still listens."""
    house = House.of(tmp_path_factory.mktemp("greedy"), streams=9, streams_each=2)
    greedy, other = (Seat(Role.STUDENT, who, who, 0.0) for who in ("Kim", "Sam"))

    async def crowd() -> None:
        streams = house.desk.streams
        held = [streams.lines(greedy) for _ in range(2)]
        for one in held:
            await anext(one)
        with pytest.raises(RefusedError):
            streams.lines(greedy)
        held.append(streams.lines(other))
        assert (await anext(held[-1])).startswith("retry: ")

    asyncio.run(crowd())


# ------------------------------------------------------------------ what did not come through the server


def looked(house: House, times: int) -> None:
    """Let the watch look so often, and no longer."""

    async def pause(_: float) -> None:
        nonlocal times
        times -= 1
        if times < 0:
            raise asyncio.CancelledError

    with pytest.raises(asyncio.CancelledError):
        asyncio.run(watch(house.desk.bench, house.desk.pulse, pause=pause))


def test_records_of_another_program_are_noticed(house: House) -> None:
    """An import while the bench is served shows on all screens within a second."""
    house.desk.bench.sign([event(1)], Role.STUDENT, now="2026-02-07T09:32:00Z")
    assert house.desk.pulse.beat.arrival == 0
    looked(house, 1)
    assert house.desk.pulse.beat.arrival == 1


def test_a_file_that_is_written_is_looked_at_once(house: House, monkeypatch: pytest.MonkeyPatch) -> None:
    """Reading the folder takes its time, so it is read when something in it has changed, and not otherwise."""
    reads: list[int] = []

    def look_again(_: object) -> bool:
        reads.append(1)
        return False

    monkeypatch.setattr(type(house.desk.bench), "look_again", look_again)
    written = iter([False, True, False, False])

    async def pause(_: float) -> None:
        if (now := next(written, None)) is None:
            raise asyncio.CancelledError
        if now:
            (house.desk.bench.folder / "plan.yaml").write_text("new", encoding="utf-8")

    with pytest.raises(asyncio.CancelledError):
        asyncio.run(watch(house.desk.bench, house.desk.pulse, pause=pause))
    assert len(reads) == 1


def test_what_can_not_be_read_now_is_looked_at_again(house: House, monkeypatch: pytest.MonkeyPatch) -> None:
    """The watch goes on after a trouble, as with a disk that was away for a moment."""
    calls: list[int] = []

    async def arrived(*_: object) -> int:
        calls.append(1)
        raise OSError("away")

    monkeypatch.setattr("loomwright.web.watching.arrived", arrived)
    looked(house, 3)
    assert len(calls) == 3
