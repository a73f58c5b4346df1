"""Read the last plan's decisions out of plan.yaml, and refuse a file that would spoil the wire ids."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Final

from loomwright.findings import Finding, Place, Severity, UnreadableInputError
from loomwright.model.mark import Mark
from loomwright.plan.memory import PLAN_FORMAT, Memory
from loomwright.robotfile.marked.tree import Mapping, Node, Scalar, Sequence
from loomwright.robotfile.marked.yaml_tree import read_tree
from loomwright.wording import quoted

_CONFLICT: Final = re.compile(rb"^(?:<{7}|={7}|>{7}|\|{7})(?:[ \t][^\r\n]*)?\r?$", re.MULTILINE)
_WHOLE: Final = re.compile(r"[0-9]{1,9}")
_NUMBER_AT_END: Final = re.compile(r"[0-9]{1,9}$")
_GET_BACK: Final = (
    "Bring back the last good copy, for example from git. If there is none, delete the file: the next plan then gives "
    "every wire a new id, so take the old flags off first."
)


def memory_of(data: bytes, *, file: str) -> Memory:
    """Read what plan.yaml remembers; see `planfile.read_memory`."""
    if conflict := _CONFLICT.search(data):
        raise UnreadableInputError([_conflict(data, conflict.start(), file)])
    top = read_tree(data, file=file)
    _refuse_other_formats(top)
    reading = _Reading()
    memory = reading.memory(top)
    if reading.faults:
        raise UnreadableInputError(sorted(reading.faults, key=lambda f: (f.place.line, f.place.column)))
    return memory


def _conflict(data: bytes, start: int, file: str) -> Finding:
    line = data.count(b"\n", 0, start) + 1
    return Finding(
        "merge-conflict",
        Severity.MUST,
        Place(file, line, 1),
        "Two versions of the plan were merged here and git could not choose, so the file holds both.",
        "Take one version whole (`git checkout --ours` or `--theirs` with the file's name), then plan again.",
    )


def _refuse_other_formats(top: Mapping) -> None:
    """Refuse a file of a newer program before anything else is looked at: nothing else in it has to make sense."""
    held = top.get("format")
    written = held.text if isinstance(held, Scalar) else ""
    if not _WHOLE.fullmatch(written) or int(written) < 1:
        raise UnreadableInputError(
            [_fault("plan-format", top.where("format"), "format", "There is no format number here.", _GET_BACK)]
        )
    if int(written) > PLAN_FORMAT:
        what = f"This plan has format {written}, and this program reads format {PLAN_FORMAT} at most."
        fix = "Use the newer loomwright that wrote it, or bring back the copy from before."
        raise UnreadableInputError([_fault("plan-newer", top.where("format"), "format", what, fix)])


def _fault(code: str, mark: Mark, thing: str, what: str, fix: str = _GET_BACK) -> Finding:
    return Finding(code, Severity.MUST, Place(mark.file, mark.line, mark.column, thing), what, fix)


@dataclass(slots=True)
class _Reading:
    """One reading of the file: what was found so far, and every fault."""

    faults: list[Finding] = field(default_factory=list)
    wires: dict[tuple[str, str], str] = field(default_factory=dict)
    slots: dict[str, str] = field(default_factory=dict)
    sources: dict[str, str] = field(default_factory=dict)
    owners: dict[str, Mark] = field(default_factory=dict)

    def memory(self, top: Mapping) -> Memory:
        robot = self._text(top, "robot", "")
        build = self._text(top, "build", "")
        revision = self._text(top, "revision", "")
        inputs = self._text(top, "inputs", "")
        next_wire = self._next_wire(top)
        for item in self._items(top, "circuits", ""):
            self._circuit(item)
        self._check_next_wire(top, next_wire)
        return Memory(
            robot=robot,
            build=build,
            revision=revision,
            inputs=inputs,
            next_wire=next_wire,
            wires=self.wires,
            slots=self.slots,
            sources=self.sources,
        )

    def _circuit(self, item: Mapping) -> None:
        told = len(self.faults)
        name = self._text(item, "circuit", "circuits")
        thing = f"circuits.{name}"
        source = self._text(item, "source", thing)
        slot = item.get("slot")
        value = (
            self._text(slot, "value", f"{thing}.slot") if isinstance(slot, Mapping) else self._no(item, "slot", thing)
        )
        wires = list(self._items(item, "wires", thing))
        if len(self.faults) == told and name in self.sources:
            self._add("plan-twice", item.where("circuit"), thing, f"The circuit {quoted(name)} stands here twice.")
        self.sources[name] = source
        if value:
            self.slots[name] = value
        for wire in wires:
            self._wire(wire, name, thing)

    def _wire(self, item: Mapping, circuit: str, thing: str) -> None:
        told = len(self.faults)
        role = self._text(item, "role", f"{thing}.wires")
        wire = self._text(item, "id", f"{thing}.wires.{role}")
        if len(self.faults) > told:
            return
        if (circuit, role) in self.wires:
            what = f"The circuit {quoted(circuit)} has two wires with the role {quoted(role)}."
            self._add("plan-twice", item.where("role"), thing, what)
        self.wires[circuit, role] = wire
        if wire and (first := self.owners.setdefault(wire, item.where("id"))) != item.where("id"):
            what = f"The wire id {quoted(wire)} is used twice; the first is in line {first.line}."
            self._add("wire-id-twice", item.where("id"), f"{thing}.wires.{role}", what)

    def _next_wire(self, top: Mapping) -> int:
        """Read the next number; 0 where there is none to read."""
        text = self._text(top, "next wire", "")
        if _WHOLE.fullmatch(text) and int(text) >= 1:
            return int(text)
        if text:
            self._add("plan-broken", top.where("next wire"), "next wire", "A whole number above 0 belongs here.")
        return 0

    def _check_next_wire(self, top: Mapping, next_wire: int) -> None:
        """Find an id that was given out already and would be given out again."""
        used = [int(found[0]) for wire in self.owners if (found := _NUMBER_AT_END.search(wire))]
        if used and 0 < next_wire <= max(used):
            what = f"The next wire would be number {next_wire}, and a wire has number {max(used)} already."
            fix = f"Write `next wire: {max(used) + 1}`: a wire's id is never used again."
            self.faults.append(_fault("plan-next-wire", top.where("next wire"), "next wire", what, fix))

    def _items(self, held: Mapping, key: str, thing: str) -> Iterator[Mapping]:
        """Give the mappings of a list."""
        node = held.get(key)
        if not isinstance(node, Sequence):
            self._no(held, key, thing)
            return
        for item in node.items:
            if isinstance(item, Mapping):
                yield item
            else:
                self._add("plan-broken", item.mark, _joined(thing, key), "A lone value or a list stands here.")

    def _text(self, held: Mapping, key: str, thing: str) -> str:
        node: Node | None = held.get(key)
        return node.text if isinstance(node, Scalar) else self._no(held, key, thing)

    def _no(self, held: Mapping, key: str, thing: str) -> str:
        what = f"`{key}` is missing here." if held.get(key) is None else f"`{key}` does not hold what it should."
        self._add("plan-broken", held.where(key), _joined(thing, key), what)
        return ""

    def _add(self, code: str, mark: Mark, thing: str, what: str) -> None:
        self.faults.append(_fault(code, mark, thing, f"{what} Only the tool writes this file."))


def _joined(thing: str, key: str) -> str:
    return f"{thing}.{key}" if thing else key
