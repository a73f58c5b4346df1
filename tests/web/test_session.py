"""Sessions: a cookie that this run signed tells who somebody is, and no other cookie tells anything."""

from __future__ import annotations

import hashlib
import hmac
import json
from base64 import urlsafe_b64decode, urlsafe_b64encode

from hypothesis import given
from hypothesis import strategies as st

from loomwright.records.event import Role
from loomwright.web.session import AT_THE_LAPTOP, Seat, Sessions
from tests.web.people import Hands

KEY = b"k" * 32
ANY_TEXT = st.text(max_size=300)


def sessions(hands: Hands | None = None, key: bytes = KEY) -> Sessions:
    """Return the sessions of a run, each an hour long."""
    return Sessions(key, (hands or Hands()).clock, lifetime_s=3600.0)


@given(role=st.sampled_from(Role), who=st.text(min_size=1, max_size=24).filter(lambda who: who.isprintable()))
def test_a_cookie_tells_who_somebody_is(role: Role, who: str) -> None:
    """Whatever name somebody has, it comes back, and the cookie is plain ASCII that a header can carry."""
    held = sessions()
    cookie = held.begin(role, who)
    seat = held.seat(cookie)
    assert seat is not None
    assert (seat.role, seat.who) == (role, who)
    assert cookie.isascii()
    assert not set(cookie) & set(' ",;=\\')


@given(data=st.data())
def test_a_cookie_with_one_sign_changed_tells_nothing(data: st.DataObject) -> None:
    """Neither what it says nor its signature can be edited."""
    held = sessions()
    cookie = held.begin(Role.STUDENT, "Kim")
    at = data.draw(st.integers(0, len(cookie) - 1))
    other = data.draw(st.characters(codec="ascii").filter(lambda sign: sign != cookie[at]))
    assert held.seat(f"{cookie[:at]}{other}{cookie[at + 1 :]}") is None


@given(cookie=ANY_TEXT)
def test_no_text_that_somebody_makes_up_is_a_cookie(cookie: str) -> None:
    """Anything at all may stand in a header, and none of it is an error."""
    assert sessions().seat(cookie) is None


def test_a_student_can_not_sign_a_mentors_cookie() -> None:
    """The old signature does not fit the new words, and the key of the signature is nobody's but the run's."""
    held = sessions()
    body, _, signature = held.begin(Role.STUDENT, "Kim").partition(".")
    told = json.loads(urlsafe_b64decode(f"{body}=="))
    forged = urlsafe_b64encode(json.dumps(["mentor", *told[1:]]).encode())
    guessed = hmac.new(b"", b"loomwright bench session 1\0" + forged, hashlib.sha256).hexdigest()
    assert held.seat(f"{forged.decode()}.{signature}") is None
    assert held.seat(f"{forged.decode()}.{guessed}") is None


def test_a_cookie_of_a_former_run_opens_nothing() -> None:
    """The key is another one after each start."""
    assert sessions(key=b"o" * 32).seat(sessions().begin(Role.MENTOR, "Ada")) is None


def test_a_session_runs_out() -> None:
    """It counts to the end of its hour, not after; and not where the clock says that it was not begun yet."""
    hands = Hands(past_s=100.0)
    held = sessions(hands)
    cookie = held.begin(Role.STUDENT, "Kim")
    hands.past_s = 3700.0
    assert held.seat(cookie) is not None
    hands.past_s = 3700.1
    assert held.seat(cookie) is None
    hands.past_s = 99.0
    assert held.seat(cookie) is None


def test_a_session_that_was_ended_does_not_come_back() -> None:
    """Its cookie may be kept and played again; the other session of the same person goes on."""
    held = sessions()
    one, other = held.begin(Role.STUDENT, "Kim"), held.begin(Role.STUDENT, "Kim")
    seat = held.seat(one)
    assert seat is not None
    held.end(seat)
    assert held.seat(one) is None
    assert not held.counts(seat)
    assert held.seat(other) is not None


def test_the_laptops_own_seat_lasts() -> None:
    """Nobody can end it, and it needs no clock."""
    held = sessions(Hands(past_s=1e9))
    held.end(AT_THE_LAPTOP)
    assert held.counts(AT_THE_LAPTOP)
    assert Seat(Role.MENTOR) == AT_THE_LAPTOP
