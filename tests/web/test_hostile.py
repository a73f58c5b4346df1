"""Hostile requests: what pages of other sites, strangers of the same network and odd programs try, and do not get."""

from __future__ import annotations

import asyncio
from collections.abc import AsyncIterator, Iterator

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from starlette.types import Message

from tests.web.asgi import exchange, scope_of
from tests.web.people import ALONE, OURS, WRITE, House, Visitor, event

EVENTS = "/api/v1/events"
BENCH = "/api/v1/bench"


@pytest.fixture(scope="module")
def house(tmp_path_factory: pytest.TempPathFactory) -> House:
    """Give one bench to all who are refused: they leave no trace in it, which each test that writes looks for."""
    return House.of(tmp_path_factory.mktemp("hostile"))


def refused(visitor: Visitor, **fields: str) -> tuple[int, str]:
    """Send a good event with some headers changed; return the status and the word for why."""
    answer = visitor.post(EVENTS, {"events": [event(1)]}, **fields)
    return answer.status, answer.data.get("code", "")


# ------------------------------------------------------------------ who is spoken to: Host


@pytest.mark.parametrize(
    "host",
    [
        *(
            "evil.example",
            "evil.example:8340",
            "127.0.0.1",
            "127.0.0.1:80",
            "127.0.0.1:8340.evil.example",
            "0.0.0.0:8340",
        ),
        *(
            "localhost:8341",
            "localhost.:8340",
            "127.0.0.1:8340:8340",
            "user@127.0.0.1:8340",
            "[::1]:8340",
            "2130706433:8340",
        ),
        *("bench.test.evil.example:8340", f"{OURS}:8340", ""),
    ],
)
def test_a_name_that_was_made_to_lead_here_is_refused(house: House, host: str) -> None:
    """A page that had its own name point at this laptop (rebinding) calls it by that name, and gets nothing."""
    answer = Visitor(house.app, "127.0.0.1", host, "127.0.0.1").get(BENCH)
    assert (answer.status, answer.data["code"]) == (421, "other-host")


@pytest.mark.parametrize("host", ["127.0.0.1:8340", "localhost:8340", "LOCALHOST:8340"])
def test_the_laptops_own_browser_is_let_in_as_mentor(house: House, host: str) -> None:
    """Under the names that no network answers for, and without any code."""
    answer = Visitor(house.app, "127.0.0.1", host, "127.0.0.1").get(BENCH)
    assert (answer.status, answer.data["role"]) == (200, "mentor")


def test_a_name_of_the_network_makes_nobody_a_mentor(house: House) -> None:
    """A name like the laptop's own can be answered for by a neighbour and then lead home; it still needs a code."""
    answer = Visitor(house.app, "127.0.0.1", "bench.test:8340", "127.0.0.1").get(BENCH)
    assert (answer.status, answer.data["code"]) == (401, "join-first")


@pytest.mark.parametrize("host", ["127.0.0.1:8340", "localhost:8340"])
def test_a_phone_is_not_the_laptop_by_saying_so(house: House, host: str) -> None:
    """The laptop's names count from the laptop alone."""
    assert Visitor(house.app, "192.168.7.66", host).get(BENCH).status == 421


@pytest.mark.parametrize("name", ["X-Forwarded-For", "X-Real-IP", "Forwarded", "X-Forwarded-Host", "X-Client-IP"])
def test_nobody_comes_from_the_laptop_by_a_header(house: House, name: str) -> None:
    """Where a request comes from is what its connection says, whatever it calls the bench beside."""
    stranger = house.stranger
    stranger.more = {name: "127.0.0.1"}
    assert stranger.get(BENCH).status == 401
    stranger.host = "127.0.0.1:8340"
    assert stranger.get(BENCH).status == 421


def test_without_share_nobody_else_is_answered(tmp_path_factory: pytest.TempPathFactory) -> None:
    """Even if a request came in from outside, no name and no address of the network is served."""
    alone = House.of(tmp_path_factory.mktemp("alone"), ALONE)
    for host in (f"{OURS}:8340", "bench.test:8340", "127.0.0.1:8340"):
        assert Visitor(alone.app, "192.168.7.66", host).get("/join").status == 421
    assert Visitor(alone.app, "127.0.0.1", "127.0.0.1:8340", "127.0.0.1").get("/ends").status == 200


def test_two_hosts_are_none(house: House) -> None:
    """A request with two Host headers is refused, whatever they say."""
    fields = [("Host", "127.0.0.1:8340"), ("Host", "127.0.0.1:8340")]
    assert house.laptop.ask_with(fields).status == 421


# ------------------------------------------------------------------ whose page sends it: Origin


@pytest.mark.parametrize(
    "fields",
    [
        {"Origin": "http://evil.example"},
        {"Origin": "null"},
        {"Origin": "http://127.0.0.1:9999"},
        {"Origin": "https://127.0.0.1:8340"},
        {"Origin": "http://127.0.0.1:8340.evil.example"},
        {"Origin": "http://localhost:8340"},
        {"Sec-Fetch-Site": "cross-site"},
        {"Sec-Fetch-Site": "same-site"},
        {"Sec-Fetch-Site": "cross-site", "Sec-Fetch-Mode": "navigate"},
        {"Origin": "", "Sec-Fetch-Site": "cross-site"},
    ],
)
def test_another_sites_page_can_not_write_here(house: House, fields: dict[str, str]) -> None:
    """The laptop's browser opens other pages too; another port is another site. Nothing of it is signed."""
    before = house.desk.bench.store.last_arrival
    assert refused(house.laptop, **fields) == (403, "other-site")
    assert house.desk.bench.store.last_arrival == before


@pytest.mark.parametrize("mode", ["no-cors", "cors", "same-origin", "websocket", ""])
def test_another_sites_page_can_not_read_here(house: House, mode: str) -> None:
    """Not as a script, picture or fetch, so that not even the size of an answer shows."""
    for path in (BENCH, "/plate.svg", "/ends"):
        answer = house.laptop.get(path, Sec_Fetch_Site="cross-site", Sec_Fetch_Mode=mode)
        assert answer.status == 403
        assert answer.field("access-control-allow-origin") == ""


def test_a_link_on_another_page_leads_here(house: House) -> None:
    """Who follows one opens a page as if typed; data of the API are no page."""
    visit = {"Sec_Fetch_Site": "cross-site", "Sec_Fetch_Mode": "navigate"}
    assert house.laptop.get("/ends", **visit).status == 200
    assert house.laptop.get(BENCH, **visit).status == 403


def test_a_script_of_the_team_needs_no_origin(house: House) -> None:
    """A program that is no browser sends none, and says by the bench's own header that it means it."""
    assert refused(house.laptop, Origin="")[0] == 200


@pytest.mark.parametrize("value", ["", "0", "1, 1", "true"])
def test_a_write_without_our_header_is_refused(house: House, value: str) -> None:
    """A form on another page can't send it."""
    assert refused(house.laptop, X_Bench=value) == (403, "no-own-header")


@pytest.mark.parametrize(
    "kind",
    [
        *("text/plain", "application/x-www-form-urlencoded", "multipart/form-data; boundary=x", "application/jsonp"),
        *("text/json", "application/json, text/plain", "*/*", "application/json/x"),
    ],
)
def test_only_json_is_read(house: House, kind: str) -> None:
    """What a form of another page can send is not even looked at."""
    told = {**WRITE, "Content-Type": kind}
    answer = house.laptop.send("POST", EVENTS, told, body=[b'{"events":[]}'])
    assert (answer.status, answer.data["code"]) == (415, "not-json")


def test_json_with_a_charset_is_json_and_compressed_json_is_not(house: House) -> None:
    """Some scripts name the charset. What is compressed could grow, so it is not taken."""
    assert refused(house.laptop, Content_Type="Application/JSON; charset=utf-8")[0] == 200
    assert refused(house.laptop, Content_Encoding="gzip") == (415, "not-json")


# ------------------------------------------------------------------ how it is sent: method, path, body


@pytest.mark.parametrize(
    "method", ["PUT", "DELETE", "PATCH", "OPTIONS", "TRACE", "CONNECT", "HEAD", "BREW", "get", "QUERY"]
)
@pytest.mark.parametrize("path", ["/ends", EVENTS])
def test_no_other_method_does_anything(house: House, method: str, path: str) -> None:
    """A browser that asks whether another site may write (OPTIONS) gets no leave either."""
    answer = house.laptop.send(method, path, {**WRITE, "Access-Control-Request-Method": "POST"})
    assert answer.status == 405
    assert answer.field("allow") == ("GET" if path == "/ends" else "GET, POST")
    assert not [name for name, _ in answer.fields if name.startswith("access-control")]


@pytest.mark.parametrize("name", ["X-HTTP-Method-Override", "X-HTTP-Method", "X-Method-Override", "_method"])
def test_a_read_does_not_become_a_write_by_a_header(house: House, name: str) -> None:
    """A link that somebody follows signs nothing."""
    laptop = house.laptop
    laptop.more = {name: "POST"}
    assert laptop.send("GET", EVENTS, WRITE).status == 405
    assert laptop.send("GET", "/api/v1/leave", WRITE).status == 405


def test_pages_are_not_written_to(house: House) -> None:
    """POST is for the API alone."""
    assert house.laptop.post("/join", {}).status == 405


@pytest.mark.parametrize(
    "name",
    [
        *("../settings.py", "../../robot.yaml", "..%2f..%2frobot.yaml", "%2e%2e/%2e%2e/etc/passwd", "/etc/passwd"),
        *(
            "//etc/passwd",
            "..\\..\\robot.yaml",
            "join.js/../../settings.py",
            "join.js%00.css",
            "./join.js",
            "~root",
            "",
        ),
        *("C:/Windows/win.ini", "file:///etc/passwd", "join.js/", "JOIN.JS"),
    ],
)
def test_no_path_leaves_the_table_of_files(house: House, name: str) -> None:
    """What is not one of its names is not there, whatever the disk has."""
    whole = house.desk.static.hash
    for path in (f"/static/{whole}/{name}", f"/static/{name}", f"/x/{name}"):
        assert house.laptop.get(path).status == 404


def test_no_path_of_a_request_reaches_the_disk(house: House, monkeypatch: pytest.MonkeyPatch) -> None:
    """With every way to open a file watched, all static files and pictures are served and none is opened."""
    house.laptop.get("/plate.svg")
    house.laptop.get("/spine.svg")
    paths = ["/plate.svg", "/spine.svg", "/share.svg", BENCH, "/static/x/../../etc/passwd"]
    paths += [house.desk.static.url(name) for name in house.desk.static.files]
    opened: list[object] = []

    def watched(path: object, *_: object, **__: object) -> object:
        opened.append(path)
        raise OSError(str(path))

    with monkeypatch.context() as cut:
        for name in ("io.open", "builtins.open", "os.open", "os.stat"):
            cut.setattr(name, watched)
        found = {path: house.laptop.get(path).status for path in paths}
    # The framework looks at where a route's own source stands, for its error messages.
    assert [path for path in opened if not str(path).endswith(("web/api.py", "web/pages.py"))] == []
    assert found.pop("/static/x/../../etc/passwd") == 404
    assert set(found.values()) == {200}


def test_a_body_that_says_it_is_too_large_is_not_read(house: House) -> None:
    """One byte more than the limit is refused by its head alone."""
    most = house.desk.settings.limits.body_bytes

    def never() -> Iterator[bytes]:
        yield pytest.fail("the body was read")

    told = {**WRITE, "Content-Length": str(most + 1)}
    answer = house.student.send("POST", EVENTS, told, body=never())
    assert (answer.status, answer.data["code"]) == (413, "too-large")
    assert answer.field("connection") == "close"


@pytest.mark.parametrize("length", [None, "10"])
def test_a_body_that_does_not_say_how_large_it_is_is_cut_off(house: House, length: str | None) -> None:
    """Without a length, or with one that is a lie, no more than one piece over the limit is taken in."""
    taken = 0

    def endless() -> Iterator[bytes]:
        nonlocal taken
        while True:
            taken += 1
            assert taken < 100, "it reads on and on"
            yield b" " * 64_000

    told = {**WRITE, **({"Content-Length": length} if length else {"Transfer-Encoding": "chunked"})}
    assert house.student.send("POST", EVENTS, told, body=endless()).status == 413
    assert taken * 64_000 <= house.desk.settings.limits.body_bytes + 2 * 64_000


def test_a_body_of_the_largest_size_is_taken(house: House) -> None:
    """The limit itself is within the limit."""
    most = house.desk.settings.limits.body_bytes
    body = b'{"events":[]}'.ljust(most)
    assert house.student.send("POST", EVENTS, {**WRITE, "Content-Length": str(most)}, body=[body]).status == 200


@pytest.mark.parametrize(
    "length", ["-1", "1e3", "0x10", "\u0661".encode().decode("latin-1"), "9" * 30, "1, 2", "+5", " "]
)
def test_a_length_that_is_no_number_is_refused(house: House, length: str) -> None:
    """It is neither guessed nor an error of the program."""
    assert house.student.send("POST", EVENTS, {**WRITE, "Content-Length": length}, body=[b"{}"]).status in (400, 413)


def test_a_body_that_comes_too_slowly_is_given_up(tmp_path_factory: pytest.TempPathFactory) -> None:
    """The time is over while it waits for the next byte: the sender is told, and nothing is signed."""
    house = House.of(tmp_path_factory.mktemp("slow"), body_within_s=0.0)

    async def slow() -> AsyncIterator[bytes]:
        yield b'{"events": ['
        await asyncio.Event().wait()

    laptop = house.laptop
    told = [("Host", laptop.host), *WRITE.items()]
    scope = scope_of("POST", EVENTS, told, client="127.0.0.1", server="127.0.0.1")
    answer = asyncio.run(exchange(house.app, scope, slow()))
    assert (answer.status, answer.data["code"]) == (408, "too-slow")
    assert answer.field("connection") == "close"
    assert house.desk.bench.store.last_arrival == 0


def test_a_sender_that_goes_away_signs_nothing(house: House) -> None:
    """Half of a body is no event, even if what is there could be read."""
    sent: list[Message] = []
    coming: list[Message] = [
        {"type": "http.request", "body": b'{"events": []}', "more_body": True},
        {"type": "http.disconnect"},
    ]

    async def receive() -> Message:
        return coming.pop(0)

    async def send(message: Message) -> None:
        sent.append(message)

    async def half() -> None:
        told = [("Host", "127.0.0.1:8340"), *WRITE.items()]
        await house.app(scope_of("POST", EVENTS, told, client="127.0.0.1", server="127.0.0.1"), receive, send)

    asyncio.run(half())
    assert sent == []


def test_a_read_brings_no_body(house: House) -> None:
    """A body that nobody reads could be taken for the next request."""
    assert house.laptop.send("GET", BENCH, {"Content-Length": "5"}, body=[b"hello"]).status == 400
    assert house.laptop.send("GET", BENCH, {"Transfer-Encoding": "chunked"}).status == 400
    assert house.laptop.send("GET", BENCH, {"Content-Length": "0"}).status == 200


@settings(max_examples=60)
@given(
    method=st.sampled_from(["GET", "POST"]),
    path=st.text(st.characters(codec="latin-1", exclude_characters="?"), max_size=40).map(lambda text: f"/{text}"),
    fields=st.lists(
        st.tuples(
            st.sampled_from(
                [
                    "Host",
                    "Origin",
                    "Cookie",
                    "Content-Type",
                    "Content-Length",
                    "X-Bench",
                    "If-None-Match",
                    "Accept-Encoding",
                ]
            ),
            st.text(st.characters(codec="latin-1"), max_size=30),
        ),
        max_size=6,
    ),
    body=st.binary(max_size=60),
)
def test_no_request_at_all_is_an_error_of_the_program(
    house: House, method: str, path: str, fields: list[tuple[str, str]], body: bytes
) -> None:
    """Whatever stands in head and body, from the laptop or a stranger, the answer is one that was meant."""
    for visitor in (house.laptop, house.stranger):
        told = (
            [("Host", visitor.host), *fields] if method == "GET" else [("Host", visitor.host), *WRITE.items(), *fields]
        )
        assert visitor.ask_with(told, method=method, path=path, body=body).status < 500
