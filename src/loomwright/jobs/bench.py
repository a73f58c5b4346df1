"""The bench of one robot: its plan beside its records, and the taking in of what people sign."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from functools import cache
from threading import RLock
from typing import TYPE_CHECKING, Final

from loomwright.findings import UnreadableInputError
from loomwright.jobs.check import check_files
from loomwright.jobs.current import is_current
from loomwright.proof.as_built.ends import BuiltGroup, built_groups
from loomwright.proof.wake_up import wake_up
from loomwright.proof.wake_up_looks import looks
from loomwright.records.event import MENTORS_ONLY, Event, Role
from loomwright.records.fold import State, fold
from loomwright.records.rack_kinds import RACK
from loomwright.records.reading import EventRefusedError, read_event
from loomwright.robotfile.folder import PARTS, open_folder
from loomwright.robotfile.parts.library import Library
from loomwright.wording import quoted

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from loomwright.jobs.hunt.at_bench import HuntAtBench, HuntSeen
    from loomwright.jobs.rack.view import RackView
    from loomwright.plan.result import Plan
    from loomwright.proof.wake_up_result import Look, WakeUp
    from loomwright.records.event import Record
    from loomwright.store import Store

#: So many events may come at once.
MOST_AT_ONCE: Final = 500


@dataclass(frozen=True, slots=True, kw_only=True)
class BenchView:
    """Everything that the screens show, at one moment: `arrival` counts the records that it knows.

    `wake` works the Wake-up list out when it is first asked for; `looks` are its questions, which every screen asks.
    `stale` tells that the robot's files say something else by now than the plan that is shown.
    """

    plan: Plan
    looks: tuple[Look, ...]
    wake: Callable[[], WakeUp]
    state: State
    groups: tuple[BuiltGroup, ...]
    arrival: int
    stale: bool

    @property
    def wake_up(self) -> WakeUp:
        """The Wake-up list of the plan."""
        return self.wake()

    @property
    def edition(self) -> str:
        """A word that changes with whatever is shown of the plan: its decisions, and all that it was made from."""
        return f"{self.plan.revision}-{self.plan.inputs[:12]}"


@dataclass(frozen=True, slots=True)
class Answer:
    """What became of one event that was sent: "added", "known", or "refused" with the reasons in sentences."""

    key: str
    outcome: str
    why: tuple[str, ...] = ()


@dataclass(slots=True)
class Bench:
    """One robot's bench. Its methods may be called from several threads."""

    folder: Path
    build: str
    store: Store
    plan: Plan
    _lock: RLock = field(default_factory=RLock)
    _view: BenchView | None = None
    _stale: bool = False
    _records: list[Record] = field(default_factory=list)
    _arrival: int = 0
    _hunt: HuntAtBench | None = None

    def view(self) -> BenchView:
        """Return the plan with all that is recorded."""
        with self._lock:
            if self._view is None or self._view.arrival != self.store.last_arrival:
                self._view = self._make(self._view)
            return self._view

    def rack(self, view: BenchView, day: float) -> RackView:
        """Return the rack of a view at a moment [days since 1970]."""
        from loomwright.jobs.rack.view import rack_view  # noqa: PLC0415  it brings numpy along

        return rack_view(view.state, view.plan.robot, Library(self.folder / PARTS).part, day)

    def hunt(self, view: BenchView) -> HuntSeen:
        """Return where the hunt of a view stands; the first time takes seconds, as the robot is put into numbers."""
        from loomwright.jobs.hunt.at_bench import HuntAtBench  # noqa: PLC0415  it brings numpy along

        with self._lock:
            self._hunt = self._hunt or HuntAtBench()
        return self._hunt.seen(view.plan, view.state, view.arrival)

    def look_again(self) -> bool:
        """Read the folder again and take over a plan that was written since; return whether there was one.

        Where the robot's files can't be read, or were edited and not planned yet, the bench goes on with the plan it
        has, and its view says that it is stale.
        """
        try:
            files = open_folder(self.folder)
            fresh = is_current(files, self.build)
            memory = files.memory(self.build)
            told = (self.plan.revision, self.plan.inputs)
            newer = fresh and memory is not None and (memory.revision, memory.inputs) != told
            plan = check_files(files, self.build) if newer else None
        except UnreadableInputError:
            fresh, plan = False, None
        with self._lock:
            if plan is None and self._stale == (not fresh):
                return False
            self.plan, self._stale, self._view = plan or self.plan, not fresh, None
            return plan is not None

    def _make(self, before: BenchView | None) -> BenchView:
        """Read what came since the last time, which of thousands of records is little, and fold all of it."""
        for arrival, record in self.store.since(self._arrival):
            self._records.append(record)
            self._arrival = arrival
        state = fold(self._records)
        return BenchView(
            plan=self.plan,
            looks=before.looks if before is not None else looks(self.plan),
            wake=before.wake if before is not None else _once(self.plan),
            state=state,
            groups=built_groups(self.plan, state),
            arrival=self._arrival,
            stale=self._stale,
        )

    def sign(self, told: Sequence[object], role: Role, *, now: str) -> tuple[Answer, ...]:
        """Take in events as they were sent; each is answered for itself, in the order they came.

        `now` is the laptop's clock in UTC. What an answer calls added is on the disk. Nothing that can be read is
        refused for its content, however late it comes, except what only a mentor may do.
        """
        answers: dict[int, Answer] = {}
        good: dict[int, Event] = {}
        for n, one in enumerate(told):
            try:
                good[n] = self._read(one, role)
            except EventRefusedError as error:
                answers[n] = Answer(_key(one), "refused", error.faults)
        outcomes = self.store.append(list(good.values()), role=role, received_at=now) if good else []
        for (n, event), outcome in zip(good.items(), outcomes, strict=True):
            answers[n] = _answer(event, str(outcome))
        return tuple(answers[n] for n in range(len(told)))

    def _read(self, told: object, role: Role) -> Event:
        event = read_event(told)
        if event.kind in MENTORS_ONLY and role is not Role.MENTOR:
            raise EventRefusedError((f"Only a mentor may do this: {event.kind}. Join with the mentor code.",))
        if event.build != self.build and event.kind not in RACK:
            served = quoted(self.build) if self.build else "the robot as it is"
            raise EventRefusedError((f"This bench serves {served}, not the build {quoted(event.build)}.",))
        return event


def _once(plan: Plan) -> Callable[[], WakeUp]:
    """Return what works out the Wake-up list of a plan once, whoever asks first: the network is solved for it."""
    lock = RLock()
    worked_out = cache(lambda: wake_up(plan))

    def wake() -> WakeUp:
        with lock:
            return worked_out()

    return wake


def _answer(event: Event, outcome: str) -> Answer:
    if outcome == "clash":
        why = "Another event has this key already. Nothing is lost: send it again with a new key."
        return Answer(event.key, "refused", (why,))
    return Answer(event.key, outcome)


def _key(told: object) -> str:
    key = told.get("key") if isinstance(told, dict) else None
    return key[:32] if isinstance(key, str) else ""
