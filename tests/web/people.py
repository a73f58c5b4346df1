"""A bench for tests, with a clock that stands still, and those who come to it: the laptop itself, phones, strangers."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime, timedelta
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from loomwright.jobs.bench import Bench, BenchView
from loomwright.proof.as_built.ends import built_groups
from loomwright.proof.wake_up import wake_up
from loomwright.proof.wake_up_looks import looks
from loomwright.records.fold import fold
from loomwright.store import open_store
from loomwright.web.app import app_of
from loomwright.web.clock import Clock
from loomwright.web.desk import Desk
from loomwright.web.settings import Limits, Secrets, Settings
from tests.robots import example_plan
from tests.web.asgi import Answer, ask

if TYPE_CHECKING:
    from starlette.types import ASGIApp

OURS: Final = "192.168.7.2"
SECRETS: Final = Secrets(join_code="7k3m9q", mentor_code="vw4t2r8xhp6n", key=b"k" * 32)
ALONE: Final = Settings(secrets=SECRETS)
SHARED: Final = Settings(secrets=SECRETS, share=True, address=OURS, names=("bench.test",))
MORNING: Final = datetime(2026, 2, 7, 9, 30, tzinfo=UTC)


@dataclass(slots=True)
class Hands:
    """The hands of a clock that only a test moves."""

    past_s: float = 0.0

    @property
    def clock(self) -> Clock:
        """The clock that shows them."""
        return Clock(lambda: MORNING + timedelta(seconds=self.past_s), lambda: self.past_s)


def bench_in(folder: Path, robot: str = "rockpool") -> Bench:
    """Return a bench of an example with empty records in a folder; its Wake-up list is worked out once for all."""
    known = _known_view(robot)
    name = known.plan.robot.name
    store = open_store(folder / "bench.db", robot=name, now="2026-02-07T09:00:00Z", new_origin=lambda: "laptop-1")
    return Bench(folder, "", store, known.plan, _view=known)


@lru_cache
def _known_view(robot: str) -> BenchView:
    plan, nothing = example_plan(robot), fold(())
    return BenchView(
        plan=plan,
        looks=looks(plan),
        wake=lru_cache(lambda: wake_up(plan)),
        state=nothing,
        groups=built_groups(plan, nothing),
        arrival=-1,
        stale=False,
    )


def limited(settings: Settings, **limits: float) -> Settings:
    """Return settings with some limits changed."""
    return replace(settings, limits=replace(Limits(), **limits))  # type: ignore[arg-type]  # numbers by name


@dataclass(slots=True)
class Visitor:
    """Somebody with a browser or a script, at an address, who calls the bench by a host."""

    app: ASGIApp
    client: str = "192.168.7.20"
    host: str = f"{OURS}:8340"
    server: str = OURS
    cookie: str = ""
    more: dict[str, str] = field(default_factory=dict)

    def get(self, path: str, **fields: str) -> Answer:
        """Read."""
        return self.send("GET", path, fields)

    def post(self, path: str, data: object, **fields: str) -> Answer:
        """Write, as the bench's own pages do."""
        told = {**WRITE, "Origin": f"http://{self.host}", **_named(fields)}
        return self.send("POST", path, told, body=[json.dumps(data).encode()])

    def send(
        self, method: str, path: str, fields: Mapping[str, str] | None = None, *, body: Iterable[bytes] = (b"",)
    ) -> Answer:
        """Send any request; a header that is given as "" is left out, and an underscore in its name is a hyphen."""
        named = {"Host": self.host, "Cookie": self.cookie, **self.more}
        named |= _named(fields or {})
        told = [(name, value) for name, value in named.items() if value]
        return ask(self.app, method, path, told, body=body, client=self.client, server=self.server)

    def ask_with(
        self, fields: Sequence[tuple[str, str]], *, method: str = "GET", path: str = "/ends", body: bytes = b""
    ) -> Answer:
        """Send exactly these headers and no other."""
        return ask(self.app, method, path, fields, body=[body], client=self.client, server=self.server)

    def join(self, code: str = SECRETS.join_code, who: str = "Kim") -> Answer:
        """Join, and keep the cookie."""
        answer = self.post("/api/v1/join", {"code": code, "who": who})
        self.cookie = answer.cookie or self.cookie
        return answer


def _named(fields: Mapping[str, str]) -> dict[str, str]:
    return {name.replace("_", "-"): value for name, value in fields.items()}


WRITE: Final = {"Content-Type": "application/json", "X-Bench": "1"}


@dataclass(frozen=True, slots=True)
class House:
    """A shared bench with everybody who comes to it."""

    desk: Desk
    hands: Hands
    app: ASGIApp

    @classmethod
    def of(cls, folder: Path, settings: Settings = SHARED, *, robot: str = "rockpool", **limits: float) -> House:
        """Open a bench of an example in a folder."""
        hands = Hands()
        desk = Desk.of(bench_in(folder, robot), limited(settings, **limits), hands.clock)
        return cls(desk, hands, app_of(desk))

    @property
    def laptop(self) -> Visitor:
        """The browser of the laptop itself."""
        return Visitor(self.app, "127.0.0.1", "127.0.0.1:8340", "127.0.0.1")

    @property
    def stranger(self) -> Visitor:
        """Somebody of the same network who has no code."""
        return Visitor(self.app, "192.168.7.66")

    @property
    def student(self) -> Visitor:
        """A phone that has joined."""
        phone = Visitor(self.app)
        assert phone.join().status == 200
        return phone

    @property
    def mentor(self) -> Visitor:
        """A mentor's phone that has joined."""
        phone = Visitor(self.app, "192.168.7.21")
        assert phone.join(SECRETS.mentor_code, "Ada").status == 200
        return phone


def event(number: int, kind: str = "made", **fields: Any) -> dict[str, Any]:  # noqa: ANN401  fields of an event
    """Return an event as a phone sends it, its key made of a number."""
    told: dict[str, Any] = {
        "key": f"{number:032x}",
        "kind": kind,
        "who": "Kim",
        "measured_at": "2026-02-07T09:31:00Z",
    }
    if kind in ("made", "redone", "pulled", "failed"):
        told |= {"wire": "W1", "end": "A"}
    return told | fields


def an_end(view: BenchView) -> tuple[str, str]:
    """Return the first wire's end that somebody makes."""
    end = next(end for group in view.groups for step in group.steps for end in step.ends)
    return end.fitted.wire, end.fitted.end
