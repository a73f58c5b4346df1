"""Seats: a stranger can neither read nor write, a student can not rewrite history, and every address asks."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace

import pytest
from fastapi import FastAPI
from starlette.routing import BaseRoute

from loomwright.records.event import MENTORS_ONLY, Kind
from loomwright.web.guard import Guard
from tests.web.people import SECRETS, SHARED, WRITE, House, Visitor, event

OPEN = {("GET", "/join"), ("POST", "/api/v1/join"), ("GET", "/static/{whole}/{name:path}")}


def routes(app: object) -> Iterator[tuple[str, str]]:
    """Give method and path of everything that the application answers, from its own table."""
    assert isinstance(app, Guard)
    inner: FastAPI = app._app._app  # type: ignore[attr-defined]  # guard, admission, then the routes
    for route in inner.routes:
        yield from _of(route)


def _of(route: BaseRoute) -> Iterator[tuple[str, str]]:
    inside = getattr(route, "original_router", None)
    if inside is not None:
        for one in inside.routes:
            yield from _of(one)
    else:
        yield from ((method, getattr(route, "path", "")) for method in getattr(route, "methods", None) or ())


def test_a_stranger_reads_and_writes_nothing_at_any_address(house: House) -> None:
    """Every route there is, taken from the application itself, sends a stranger away; the door alone is open."""
    found = {(method, path) for method, path in routes(house.app) if method in ("GET", "POST")}
    assert len(found) > 15
    assert found >= OPEN
    for method, path in sorted(found - OPEN):
        path = re.sub(r"\{.*?\}", "x", path)  # noqa: PLW2901  as it is asked for
        answer = house.stranger.send(method, path, WRITE if method == "POST" else {})
        if path.startswith("/api/"):
            assert (answer.status, answer.data["code"]) == (401, "join-first")
        else:
            assert (answer.status, answer.field("location")) == (303, f"/join?to={path.replace('/', '%2F')}")
            assert answer.body == b""


def test_a_stranger_does_not_learn_what_is_there(house: House) -> None:
    """An address that nothing stands under is answered like any other."""
    assert house.stranger.get("/api/v1/nothing").status == 401
    assert house.stranger.get("/nothing").status == 303


def test_the_page_to_join_on_tells_nothing_of_the_robot(house: House) -> None:
    """Neither the robot's name nor the codes stand there."""
    page = house.stranger.get("/join").text.lower()
    assert house.desk.bench.plan.robot.name.lower() not in page
    assert SECRETS.join_code not in page
    assert SECRETS.mentor_code not in page


def test_joining_sets_a_cookie_that_scripts_and_other_sites_do_not_get(house: House) -> None:
    """It is for the server alone (HttpOnly), goes along from our pages alone (Strict), and ends with the day."""
    phone = Visitor(house.app)
    answer = phone.join()
    assert (answer.status, answer.data) == (200, {"role": "student", "who": "Kim"})
    told = answer.field("set-cookie").lower()
    assert told.startswith("bench-8340=")
    assert {"httponly", "samesite=strict", "path=/", "max-age=57600"} <= {part.strip() for part in told.split(";")}
    assert phone.get("/api/v1/bench").data["role"] == "student"


def test_a_wrong_code_sets_none_and_says_what_to_do(house: House) -> None:
    """In the words of the bench, with the status that programs look at."""
    answer = house.stranger.join("000000")
    assert (answer.status, answer.data["code"], answer.field("set-cookie")) == (401, "wrong-code", "")
    assert "laptop" in answer.data["fix"]


def test_after_five_wrong_codes_the_status_is_429_with_a_wait(house: House) -> None:
    """The limit holds through the API as it holds at the door."""
    stranger = house.stranger
    assert [stranger.join("000000").status for _ in range(6)] == [401] * 5 + [429]
    assert stranger.join().field("retry-after") == "60"
    assert Visitor(house.app).join().status == 200


@pytest.mark.parametrize("who", ["", "   ", "x" * 25, "a\nb", "a\u0000b", "\u2028", "\ue000", 5, None, ["Kim"]])
def test_a_name_that_nobody_can_print_is_refused(house: House, who: object) -> None:
    """With the field named, and without a cookie."""
    answer = Visitor(house.app).post("/api/v1/join", {"code": SECRETS.join_code, "who": who})
    assert (answer.status, answer.field("set-cookie")) == (422, "")
    assert "body.who" in answer.data["what"]


def test_a_cookie_of_a_former_run_is_sent_to_the_door(house: House, tmp_path_factory: pytest.TempPathFactory) -> None:
    """The bench was started again with another key: the phone is told to join again, and that it lost nothing."""
    fresh = replace(SHARED, secrets=replace(SECRETS, key=b"o" * 32))
    again = House.of(tmp_path_factory.mktemp("again"), fresh)
    phone = Visitor(again.app, cookie=house.mentor.cookie)
    answer = phone.get("/api/v1/bench")
    assert (answer.status, answer.data["code"]) == (401, "join-first")
    assert "stays there" in answer.data["fix"]
    assert phone.post("/api/v1/events", {"events": [event(1)]}).status == 401
    assert again.desk.bench.store.last_arrival == 0


def test_a_session_ends_with_its_time(house: House) -> None:
    """After sixteen hours the phone joins again."""
    phone = house.student
    house.hands.past_s = 16 * 3600.0
    assert phone.get("/api/v1/bench").status == 200
    house.hands.past_s += 1
    assert phone.get("/api/v1/bench").status == 401


def test_who_leaves_has_left_wherever_the_cookie_is_kept(house: House) -> None:
    """A mentor who lent a phone takes the role back; a copy of the cookie opens nothing."""
    mentor = house.mentor
    copy = mentor.cookie
    answer = mentor.post("/api/v1/leave", {})
    assert answer.status == 200
    assert "max-age=0" in answer.field("set-cookie").lower()
    assert Visitor(house.app, cookie=copy).get("/api/v1/bench").status == 401


def test_one_good_cookie_among_others_is_enough(house: House) -> None:
    """Cookies do not know ports: those of other programs on the laptop come along, and one may bear our name."""
    cookie = house.student.cookie
    phone = Visitor(house.app, cookie=f"a=b; bench-8340=nonsense; {cookie}; bench-9000=x.y; ;=; x")
    assert phone.get("/api/v1/bench").status == 200
    assert Visitor(house.app, cookie=cookie.replace("bench-8340", "bench-8341")).get("/api/v1/bench").status == 401


@pytest.mark.parametrize("kind", sorted(MENTORS_ONLY))
def test_a_student_can_not_do_what_only_mentors_may(house: House, kind: Kind) -> None:
    """Approve, take back, set: refused with the reason, and nothing is written down; a mentor may."""
    assert house.student.post("/api/v1/events", {"events": [event(1)]}).data["answers"][0]["outcome"] == "added"
    told = event(2, str(kind), about="licence", of=[f"{1:032x}", f"{7:032x}"], words="off")
    [answer] = house.student.post("/api/v1/events", {"events": [told]}).data["answers"]
    assert answer["outcome"] == "refused"
    assert "Only a mentor" in answer["why"][0]
    assert house.desk.bench.store.last_arrival == 1
    [answer] = house.mentor.post("/api/v1/events", {"events": [told]}).data["answers"]
    assert answer["outcome"] == "added"


def test_a_student_can_not_overwrite_what_is_signed(house: House) -> None:
    """The same key with other words is refused; what was signed first stands."""
    student = house.student
    student.post("/api/v1/events", {"events": [event(1, words="good")]})
    [answer] = student.post("/api/v1/events", {"events": [event(1, words="bad")]}).data["answers"]
    assert answer["outcome"] == "refused"
    [record] = house.laptop.get("/api/v1/records").data["records"]
    assert (record["words"], record["role"]) == ("good", "student")


def test_the_role_is_the_sessions_whatever_an_event_says(house: House) -> None:
    """Nobody becomes a mentor by writing so: `role` is no field of an event."""
    [answer] = house.student.post("/api/v1/events", {"events": [event(1, role="mentor")]}).data["answers"]
    assert answer["outcome"] == "refused"


@pytest.mark.parametrize("path", ["/api/v1/records", "/share", "/share.svg"])
def test_what_is_for_mentors_is_not_for_students(house: House, path: str) -> None:
    """Records and the code to join with; mentors and the laptop see them."""
    assert house.student.get(path).status == 403
    assert house.mentor.get(path).status == 200
    assert house.laptop.get(path).status == 200


def test_the_mentors_code_stands_on_no_page(house: House) -> None:
    """It is shown on the laptop's terminal alone, not even to mentors."""
    for path in (
        "/ends",
        "/pull",
        "/wake-up",
        "/plate",
        "/spine",
        "/team",
        "/share",
        "/join",
        "/share.svg",
        "/openapi.json",
    ):
        page = house.laptop.get(path).text
        assert SECRETS.mentor_code not in page.replace("-", "")
