"""The door: codes as people type them, and guessing that takes too long."""

from __future__ import annotations

import contextlib
import hmac
import json

import pytest

from loomwright.records.event import Role
from loomwright.web import joining
from loomwright.web.joining import Door, spaced
from loomwright.web.refusal import RefusedError
from loomwright.web.settings import ALPHABET, Limits, fresh_secrets
from tests.web.people import SECRETS, Hands, House

PHONE, OTHER = "192.168.7.20", "192.168.7.21"


def door(hands: Hands, **limits: int) -> Door:
    """Return a door of today's codes."""
    return Door(SECRETS, hands.clock, Limits(**limits))


def refused(held: Door, code: str, address: str = PHONE) -> str:
    """Try a code that is not let in, and return the word for why."""
    with pytest.raises(RefusedError) as caught:
        held.role_for(code, address)
    return caught.value.refusal.code


@pytest.mark.parametrize("typed", ["7k3m9q", "7K3-M9Q", " 7k3 m9q ", "7k3\u2011m9q"])
def test_a_code_opens_however_it_is_typed(typed: str) -> None:
    """Capitals, spaces and the hyphens that it is read out with do not matter."""
    assert door(Hands()).role_for(typed, PHONE) is Role.STUDENT


def test_each_code_lets_in_as_its_own_role() -> None:
    """The mentor's code, as the terminal spells it, makes a mentor."""
    assert door(Hands()).role_for(spaced(SECRETS.mentor_code), PHONE) is Role.MENTOR


def test_a_sign_that_looks_like_another_is_taken_for_it() -> None:
    """Codes have no i, l, o or u, so what is typed for 1 and 0 can only mean these."""
    assert set("ilou").isdisjoint(ALPHABET)
    assert joining._digest("1o-IlO") == joining._digest("101 10")


def test_five_wrong_codes_close_the_door_to_one_address_alone() -> None:
    """Not even the right code opens then, or the limit would be none; another phone joins meanwhile."""
    held = door(Hands())
    assert [refused(held, f"{n}") for n in range(5)] == ["wrong-code"] * 5
    assert refused(held, SECRETS.join_code) == "too-many-codes"
    assert held.role_for(SECRETS.join_code, OTHER) is Role.STUDENT


def test_the_door_opens_again_when_the_first_try_is_a_minute_old() -> None:
    """And what was tried while it was shut does not count, so that a phone that insists is not shut out for ever."""
    hands = Hands()
    held = door(hands)
    for n in range(5):
        hands.past_s = n
        refused(held, "wrong")
    hands.past_s = 59.9
    assert refused(held, SECRETS.join_code) == "too-many-codes"
    hands.past_s = 60.0
    assert held.role_for(SECRETS.join_code, PHONE) is Role.STUDENT


def test_it_says_how_long_to_wait() -> None:
    """The wait is that for the oldest of the tries that fill the measure."""
    hands = Hands()
    held = door(hands)
    for n in range(5):
        hands.past_s = n
        refused(held, "wrong")
    hands.past_s = 20.5
    with pytest.raises(RefusedError) as caught:
        held.role_for(SECRETS.join_code, PHONE)
    assert dict(caught.value.refusal.headers)["Retry-After"] == "40"


def test_many_addresses_together_have_a_limit_too() -> None:
    """Whoever takes a new address for each try comes no further than forty tries a minute."""
    held = door(Hands())
    assert [refused(held, "wrong", f"10.0.0.{n}") for n in range(41)] == ["wrong-code"] * 40 + ["too-many-codes"]


def test_right_codes_do_not_count_as_tries() -> None:
    """A whole team joins in one minute."""
    held = door(Hands())
    assert {held.role_for(SECRETS.join_code, f"10.0.0.{n}") for n in range(100)} == {Role.STUDENT}


@pytest.mark.parametrize("code", [SECRETS.join_code, SECRETS.mentor_code, "wrong", "7k3m9", ""])
def test_every_code_is_compared_whole_whatever_it_is(code: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """The time of an answer tells nothing: both codes are always compared, at one length, in constant time."""
    seen: list[tuple[int, int]] = []

    def spy(one: bytes, other: bytes) -> bool:
        seen.append((len(one), len(other)))
        return one == other

    monkeypatch.setattr(hmac, "compare_digest", spy)
    with contextlib.suppress(RefusedError):
        door(Hands()).role_for(code, PHONE)
    assert seen == [(32, 32), (32, 32)]


def test_codes_and_key_are_new_at_every_start() -> None:
    """Two starts share nothing, and what is secret does not show where settings are printed."""
    one, other = fresh_secrets(), fresh_secrets()
    assert {one.join_code, one.mentor_code}.isdisjoint({other.join_code, other.mentor_code})
    assert one.key != other.key
    assert (len(one.join_code), len(one.mentor_code), len(one.key)) == (6, 12, 32)
    assert set(one.join_code + one.mentor_code) <= set(ALPHABET)
    assert one.join_code not in repr(one)


@pytest.mark.parametrize("who", ["AB\u200b", "\u2060", "--"])
def test_a_name_that_nobody_could_tell_apart_does_not_join(house: House, who: str) -> None:
    """Signs that can't be seen, and names without a letter or a digit, are refused in words."""
    answer = house.stranger.join(who=who)
    assert answer.status == 422
    assert "A name has" in json.dumps(answer.data)
