"""Drawings by this process and its helper: the same papers with it, without it, and where it is lost on the way."""

from __future__ import annotations

import os
import signal
import sys
import threading
from collections.abc import Callable
from functools import partial
from pathlib import Path
from types import MappingProxyType

import pytest

from loomwright.jobs.hands import Hands
from loomwright.jobs.start import EXAMPLES
from tests.robots import example_plan


def told(subject: object, *, name: str) -> bytes:
    """Say what is to be drawn, and which process does it."""
    return f"{name} of {subject!r} by {os.getpid()}".encode()


def who(_subject: object) -> bytes:
    """Say which process this is."""
    return str(os.getpid()).encode()


def words_of(subject: object, *, done: str) -> bytes:
    """Write all that there is in a subject, and leave a mark."""
    Path(done).touch()
    return repr(subject).encode()


class Counted:
    """Something that counts how often it is packed to be sent."""

    times = 0

    def __reduce__(self) -> tuple[type[Counted], tuple[()]]:
        """Count, and be made anew there."""
        Counted.times += 1
        return Counted, ()


def kind_of(subject: object) -> tuple[str, int]:
    """Make something that is no bytes."""
    return type(subject).__name__, 7


def slow_who(_subject: object, *, done: str) -> bytes:
    """Say which process this is, after the other one has drawn something."""
    for _ in range(3000):
        if Path(done).exists():
            break
        threading.Event().wait(0.01)
    return who(_subject)


def mark(_subject: object, *, done: str) -> bytes:
    """Leave a file for `slow_who`, and say which process this is."""
    Path(done).touch()
    return who(_subject)


def fail_elsewhere(_subject: object, *, home: int) -> bytes:
    """Fail in every process but one."""
    if os.getpid() != home:
        raise ValueError("not at home")
    return b"at home"


def die_elsewhere(_subject: object, *, home: int, done: str) -> bytes:
    """End every process but one, without a word but a mark for `slow_who`."""
    if os.getpid() != home:
        Path(done).touch()
        os._exit(3)
    return b"at home"


def fail(_subject: object) -> bytes:
    """Fail wherever it is."""
    raise ValueError("can't be drawn")


def test_without_a_helper_everything_is_drawn_here() -> None:
    """Nobody was called: the writers run in this process, in their order."""
    with Hands() as hands:
        writers: dict[str, Callable[[object], bytes]] = {"b": who, "a": partial(told, name="a")}
        made = hands.make("it", writers)
    assert list(made) == ["b", "a"]
    assert made["b"] == str(os.getpid()).encode()


def test_the_helper_draws_from_the_last_one_on(tmp_path: Path) -> None:
    """The first paper waits for a mark that only the last one leaves: two processes are at work."""
    done = str(tmp_path / "done")
    with Hands() as hands:
        hands.call(["segno"])
        made = hands.make(None, {"first": partial(slow_who, done=done), "last": partial(mark, done=done)})
        again = hands.make("more", {"first": partial(told, name="x")})
    assert made["first"] == str(os.getpid()).encode()
    assert made["last"] != made["first"]
    assert b"'more'" in again["first"]


def test_a_subject_is_sent_once_however_often_things_are_made_of_it() -> None:
    """Packing a plan takes its time; what is made may be anything but None."""
    Counted.times = 0
    it, other = Counted(), Counted()
    with Hands() as hands:
        hands.call()
        for subject, times in ((it, 1), (it, 1), (other, 2), (other, 2), (it, 3)):
            made = hands.make(subject, {"one": kind_of, "two": kind_of, "three": kind_of})
            assert made == dict.fromkeys(("one", "two", "three"), ("Counted", 7))
            assert Counted.times == times


def test_what_the_helper_fails_at_is_made_here(tmp_path: Path) -> None:
    """A writer that fails only there still gives its paper; one that fails everywhere raises as if there were none."""
    done = str(tmp_path / "done")
    with Hands() as hands:
        hands.call()
        writers = {"first": partial(slow_who, done=done), "last": partial(fail_elsewhere, home=os.getpid())}
        writers["mark"] = partial(mark, done=done)
        assert hands.make(None, writers)["last"] == b"at home"
        with pytest.raises(ValueError, match="can't be drawn"):
            hands.make(None, {"first": who, "last": fail})


def test_a_helper_that_is_lost_costs_nothing_but_time(tmp_path: Path) -> None:
    """Killed while it draws, and asked to prepare what there is not."""
    home, done = os.getpid(), tmp_path / "done"
    with Hands() as hands:
        hands.call()
        # The first paper waits until the helper has got the one that kills it.
        writers = {
            "first": partial(slow_who, done=str(done)),
            "last": partial(die_elsewhere, home=home, done=str(done)),
        }
        assert hands.make(None, writers)["last"] == b"at home"
        assert done.exists()
        for _ in range(3):
            assert hands.make(None, {"one": who, "two": who}) == dict.fromkeys(("one", "two"), str(home).encode())
    with Hands() as hands:
        hands.call(["a_module_that_there_is_not"])
        assert hands.make("it", {"one": partial(told, name="x")})["one"].startswith(b"x of 'it'")


def test_what_cannot_be_sent_is_drawn_here() -> None:
    """A subject or a writer without a name of its own stays in this process."""
    with Hands() as hands:
        hands.call()
        assert hands.make(lambda: None, {"one": who, "two": who})["two"] == str(os.getpid()).encode()
    with Hands() as hands:
        hands.call()
        made = hands.make(MappingProxyType({"a": 1}), {"one": who, "two": lambda it: str(it["a"]).encode()})
        assert made["two"] == b"1"


@pytest.mark.skipif(sys.platform == "win32", reason="signals are sent another way there")
def test_an_interruption_ends_both() -> None:
    """Ctrl-C reaches this process; the helper does not go on."""

    def interrupt(_subject: object) -> bytes:
        signal.raise_signal(signal.SIGINT)
        return b""

    with Hands() as hands:
        hands.call()
        with pytest.raises(KeyboardInterrupt):
            hands.make(None, {"first": interrupt, "last": who})
    assert hands.make(None, {"one": who})["one"] == str(os.getpid()).encode()


@pytest.mark.parametrize("example", EXAMPLES)
def test_a_plan_reaches_the_helper_whole(example: str, tmp_path: Path) -> None:
    """What is drawn of a plan there is drawn of the same plan."""
    plan, done = example_plan(example), str(tmp_path / "done")
    with Hands() as hands:
        hands.call()
        made = hands.make(plan, {"first": partial(slow_who, done=done), "last": partial(words_of, done=done)})
    assert made["last"].decode() == repr(plan)
