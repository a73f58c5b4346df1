"""Take in what people wrote on paper: a pull sheet that was typed in gives the records that a phone would have sent."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any, Final

from loomwright.findings import Finding, UnreadableInputError
from loomwright.jobs.bench import Answer
from loomwright.jobs.paper_events import PaperEvent, is_to_come, key_of, measured_at, refused
from loomwright.jobs.paper_samples import sample_events
from loomwright.proof.as_built.ends import built_ends_of, built_groups
from loomwright.records.ends import Standing
from loomwright.records.event import Kind
from loomwright.records.fold import fold
from loomwright.records.people import same_person
from loomwright.robotfile.folder import open_folder
from loomwright.robotfile.lists.pull_sheet import read_pull_sheet
from loomwright.robotfile.lists.typed_table import content_of
from loomwright.wording import listed, nearest, quoted

if TYPE_CHECKING:
    import datetime as dt
    from pathlib import Path

    from loomwright.jobs.bench import Bench
    from loomwright.proof.as_built.ends import BuiltEnd
    from loomwright.records.event import Role
    from loomwright.robotfile.lists.pull_sheet import PullRow

_SHOWN: Final = ("gauge", "terminal")


def import_paper(
    bench: Bench, path: Path, *, now: str, role: Role, zone: dt.tzinfo | None = None
) -> tuple[Answer, ...]:
    """Sign what a filled-in pull sheet says; each event is answered: "added", or "known" where it was taken in before.

    The sheet is a workbook or a CSV file. `now` is the laptop's clock in UTC, `zone` that of the times on the sheet,
    None for the laptop's. Nothing is signed where any row can't be understood.

    Raises
    ------
    UnreadableInputError
        For a file that is no pull sheet, and with every row that can't be understood.
    """
    rows = read_pull_sheet(content_of(path), file=path.name)
    paper = _Paper(bench, now, zone)
    events = paper.events(rows)
    faults = [*paper.faults, *refused(events), *_of_another_build(bench, rows)]
    if faults:
        raise UnreadableInputError(sorted(faults, key=lambda fault: fault.place))
    answers = {answer.key: answer for answer in bench.sign([e.data for e in events if e.data], role, now=now)}
    return tuple(answers.get(event.key) or Answer(event.key, "known") for event in events)


@dataclass(slots=True)
class _Signed:
    """One signature of an end: its key, who made it, whether it has to be made again."""

    key: str
    who: str
    redo: bool = False


@dataclass(slots=True)
class _Paper:
    """The rows of one sheet on their way to events, beside what is recorded already."""

    bench: Bench
    now: str
    zone: dt.tzinfo | None
    faults: list[Finding] = field(default_factory=list)
    _known: set[str] = field(default_factory=set)
    _ends: dict[str, BuiltEnd] = field(default_factory=dict)
    _signed: dict[str, list[_Signed]] = field(default_factory=dict)
    _seen: Counter[tuple[str, str]] = field(default_factory=Counter)

    def events(self, rows: tuple[PullRow, ...]) -> list[PaperEvent]:
        """Return the events of all rows in their order."""
        records = self.bench.store.records()
        state = fold(records)
        self._known = {record.event.key for record in records}
        self._ends = {end.name: end for end in built_ends_of(built_groups(self.bench.plan, state))}
        for name, end in self._ends.items():
            redo = end.standing is Standing.REDO
            self._signed[name] = [_Signed(event.key, event.who, redo) for event in end.state.made]
        for row in rows:
            if is_to_come(row.when, now=self.now):
                self.faults.append(
                    row.fault("day-to-come", f"{row.when} is still to come.", "Check the year.", at="date")
                )
        found = [event for row in rows if row.wire for event in self._of_end(row)]
        samples, faults = sample_events(self.bench, [row for row in rows if not row.wire], self._data)
        self.faults += faults
        return [*found, *samples]

    def _of_end(self, row: PullRow) -> Iterator[PaperEvent]:
        """Give the events of one row: the end was made, and it was pulled."""
        nth = self._seen[row.table.sheet, row.about]
        self._seen[row.table.sheet, row.about] += 1
        about = (self.bench.build, row.wire, row.end, str(row.when or ""), str(nth))
        made, pulled = row.text("made by"), row.text("pulled by")
        keys = [key_of(*about, "made", made, row.text("tool"))] if made else []
        keys += [key_of(*about, "pulled", pulled, row.held, row.text("note"))] if pulled else []
        end = self._ends.get(row.about)
        if self._known.issuperset(keys):
            yield from (PaperEvent(key, row, None) for key in keys)
        elif end is None:
            self.faults.append(self._no_such_end(row))
        else:
            of = ""
            if made:
                event, of = self._made(row, end, keys[0])
                yield event
            if pulled:
                yield from self._pulled(row, end, keys[-1], of)

    def _made(self, row: PullRow, end: BuiltEnd, key: str) -> tuple[PaperEvent, str]:
        """Sign that an end was made, and return the key of the signature that stands for it.

        It is made for the first time, or again after it failed; what the same person signed already is noted, so that
        this row is known from then on.
        """
        held, who, tool = self._signed[row.about], row.text("made by"), row.text("tool")
        standing = next((one for one in held if same_person(one.who, who) and not one.redo), None)
        if key in self._known:
            return PaperEvent(key, row, None), key
        if standing is not None:
            words = f"{row.about} is on paper too: made by {who}."
            return self._data(row, key, Kind.NOTED, who, words=words, tool=tool), standing.key
        again = [one.key for one in held if one.redo]
        held[:] = [*(one for one in held if not one.redo), _Signed(key, who)]
        kind = Kind.REDONE if again else Kind.MADE
        words = "" if row.text("pulled by") else row.text("note")
        planned = self._as_planned(row, end)
        return self._data(row, key, kind, who, of=again, words=words, tool=tool, as_planned=planned), key

    def _pulled(self, row: PullRow, end: BuiltEnd, key: str, signature: str) -> Iterator[PaperEvent]:
        """Sign a pull of a signature, of all that stand where the row names none."""
        held = self._signed[row.about]
        of = [signature] if signature else [one.key for one in held]
        kind = Kind.PULLED if row.held == "yes" else Kind.FAILED
        if not of:
            what = f"{row.about} was pulled, and nobody has signed that it was made."
            self.faults.append(row.fault("not-made", what, "Fill `made by` too.", at="pulled by"))
            return
        if kind is Kind.PULLED and _failed(end) & set(of):
            what = f"{row.about} failed as it was signed here, and now it is said to have held."
            fix = "If it was made again, write the day under `date`, so that it is known for another one."
            self.faults.append(row.fault("failed-before", what, fix, at="held"))
        yield self._data(row, key, kind, row.text("pulled by"), of=of, words=row.text("note"))
        for one in held:
            one.redo = one.redo or (kind is Kind.FAILED and one.key in of)

    def _as_planned(self, row: PullRow, end: BuiltEnd) -> dict[str, str]:
        """Return what was seen of an end when it was signed: on an older sheet, what stands there."""
        if row.text("revision") in ("", self.bench.plan.revision):
            return dict(end.as_planned)
        return {name: row.text(name) for name in _SHOWN if row.text(name) not in ("", "unknown")}

    def _data(self, row: PullRow, key: str, kind: Kind, who: str, **more: Any) -> PaperEvent:  # noqa: ANN401  its fields
        """Put an event together; one that is recorded already is not sent again, whatever the plan says by now."""
        if key in self._known:
            return PaperEvent(key, row, None)
        self._known.add(key)
        told = {
            "key": key,
            "kind": str(kind),
            "who": who,
            "measured_at": measured_at(row.when, now=self.now, zone=self.zone),
            "build": self.bench.build,
            "wire": row.wire,
            "end": row.end,
            "revision": row.text("revision") or self.bench.plan.revision,
            **more,
        }
        return PaperEvent(key, row, {name: value for name, value in told.items() if value})

    def _no_such_end(self, row: PullRow) -> Finding:
        wires = [wire.id for wire in self.bench.plan.wires]
        if row.wire not in wires:
            close = nearest(row.wire, wires)
            hint = f"Did you mean {listed([f'`{wire}`' for wire in close])}? " if close else ""
            what = f"There is no wire {quoted(row.wire)} on this plan."
            fix = f"{hint}If it was on an earlier plan, leave the row out: what it says is of a wire that is gone."
            return row.fault("no-such-wire", what, fix, at="wire")
        what = f"Nobody makes the end {row.end} of {row.wire}: it came with its part, or it is not decided yet."
        return row.fault("nobody-makes-it", what, "Check the letter on the flag, or empty the row.", at="end")


def _failed(end: BuiltEnd) -> set[str]:
    """Return the keys of the signatures of an end that somebody found not to hold."""
    return {key for event in end.state.history if event.kind is Kind.FAILED for key in event.of}


def _of_another_build(bench: Bench, rows: tuple[PullRow, ...]) -> Iterator[Finding]:
    """Tell where a sheet is of another build: its wires may have the same ids, and are other wires."""
    told = {row.text("revision"): row for row in reversed(rows)}
    told.pop(bench.plan.revision, None)
    for build, revision in _revisions(bench) if told.keys() - {""} else ():
        if revision in told and build != bench.build:
            called = quoted(build) if build else "the design itself"
            fix = f"Run the same with --build {build}." if build else "Run the same without --build."
            what = f"This sheet is of {called}, and this bench is of another build."
            yield told[revision].fault("other-build", what, fix, at="revision")


def _revisions(bench: Bench) -> Iterator[tuple[str, str]]:
    """Give the revision of every build that is planned; none where the robot's files can't be read now."""
    try:
        files = open_folder(bench.folder)
        for build in ("", *files.read()[0].builds):
            memory = files.memory(build) if files.plan_path(build).is_file() else None
            if memory is not None:
                yield build, memory.revision
    except UnreadableInputError:
        return
