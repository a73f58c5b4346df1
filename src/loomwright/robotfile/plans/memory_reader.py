"""Read the last plan's decisions out of plan.yaml, and refuse a file that would spoil the wire ids."""

from __future__ import annotations

import re
from collections.abc import Iterator
from collections.abc import Mapping as Fields
from dataclasses import dataclass, field
from typing import Final, cast

from loomwright.findings import Finding, Place, Severity, UnreadableInputError
from loomwright.model.mark import Mark
from loomwright.plan.memory import PLAN_FORMAT, Memory
from loomwright.robotfile.marked.tree import Mapping, Node, Scalar, Sequence, without_marks
from loomwright.robotfile.marked.yaml_tree import read_tree
from loomwright.robotfile.plans.kept import Held, memory_from
from loomwright.robotfile.plans.plan_form import FORM, Form, Group, Rows, Text
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
    looking = _Looking()
    looking.at(top, FORM, "")
    looking.at_names(top)
    if looking.faults:
        raise UnreadableInputError(sorted(looking.faults, key=lambda f: (f.place.line, f.place.column)))
    return memory_from(cast("Held", without_marks(top)))


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
class _Looking:
    """One look over the file: every fault that was found, and which wire stands where."""

    faults: list[Finding] = field(default_factory=list)
    owners: dict[str, Mark] = field(default_factory=dict)

    def at(self, held: Mapping, fields: Fields[str, Form], thing: str) -> None:
        """Hold the keys of a mapping against the form."""
        for key, form in fields.items():
            node = held.get(key)
            if node is None:
                if isinstance(form, Text | Group | Rows) and not form.optional:
                    self._no(held, key, thing)
            elif isinstance(form, Text):
                self._text(held, key, node, form, thing)
            elif isinstance(form, Group):
                if isinstance(node, Mapping):
                    self.at(node, form.fields, _joined(thing, key))
                else:
                    self._no(held, key, thing)
            else:
                self._list(held, key, node, form, thing)

    def _text(self, held: Mapping, key: str, node: Node, form: Text, thing: str) -> None:
        if not isinstance(node, Scalar):
            self._no(held, key, thing)
            return
        try:
            form.read(node.text)
        except ValueError:
            self._add("plan-broken", held.where(key), _joined(thing, key), f"{form.wanted} belongs here.")

    def _list(self, held: Mapping, key: str, node: Node, form: Form, thing: str) -> None:
        if not isinstance(node, Sequence):
            self._no(held, key, thing)
            return
        for item in node.items:
            if not isinstance(form, Rows):
                if not isinstance(item, Scalar):
                    self._add("plan-broken", item.mark, _joined(thing, key), "A lone value belongs here.")
            elif isinstance(item, Mapping):
                self.at(item, form.fields, _joined(_joined(thing, key), _said(item, next(iter(form.fields))) or ""))
            else:
                self._add("plan-broken", item.mark, _joined(thing, key), "A lone value or a list stands here.")

    def at_names(self, top: Mapping) -> None:
        """Look for what stands twice, for an id that would be given out again, for a piece of no wire."""
        circuits: set[str] = set()
        keys: set[tuple[str, str]] = set()
        for item in _mappings(top.get("circuits")):
            circuit = _said(item, "circuit")
            if circuit is None:
                continue
            thing = f"circuits.{circuit}"
            if circuit in circuits:
                self._add(
                    "plan-twice", item.where("circuit"), thing, f"The circuit {quoted(circuit)} stands here twice."
                )
            circuits.add(circuit)
            for wire in _mappings(item.get("wires")):
                self._wire(wire, circuit, thing, keys)
        self._next_wire(top)
        for key, name in (("devices", "device"), ("runs", "run"), ("bundles", "bundle"), ("proofs", "of")):
            self._twice(top, key, name)
        self._pieces(top)

    def _wire(self, item: Mapping, circuit: str, thing: str, keys: set[tuple[str, str]]) -> None:
        role, wire = _said(item, "role"), _said(item, "id")
        if role is None or wire is None:
            return
        if (circuit, role) in keys:
            what = f"The circuit {quoted(circuit)} has two wires with the role {quoted(role)}."
            self._add("plan-twice", item.where("role"), thing, what)
        keys.add((circuit, role))
        if wire and (first := self.owners.setdefault(wire, item.where("id"))) != item.where("id"):
            what = f"The wire id {quoted(wire)} is used twice; the first is in line {first.line}."
            self._add("wire-id-twice", item.where("id"), f"{thing}.wires.{role}", what)

    def _next_wire(self, top: Mapping) -> None:
        """Find an id that was given out already and would be given out again."""
        written = _said(top, "next wire") or ""
        next_wire = int(written) if _WHOLE.fullmatch(written) else 0
        used = [int(found[0]) for wire in self.owners if (found := _NUMBER_AT_END.search(wire))]
        if used and 0 < next_wire <= max(used):
            what = f"The next wire would be number {next_wire}, and a wire has number {max(used)} already."
            fix = f"Write `next wire: {max(used) + 1}`: a wire's id is never used again."
            self.faults.append(_fault("plan-next-wire", top.where("next wire"), "next wire", what, fix))

    def _twice(self, top: Mapping, key: str, name: str) -> None:
        met: set[str] = set()
        for item in _mappings(top.get(key)):
            said = _said(item, name)
            if said is not None and said in met:
                what = f"{quoted(said)} stands twice among the {key}."
                self._add("plan-twice", item.where(name), f"{key}.{said}", what)
            met.add(said or "")

    def _pieces(self, top: Mapping) -> None:
        cut: set[str] = set()
        for item in _mappings(top.get("cuts")):
            pieces = item.get("pieces")
            for piece in pieces.items if isinstance(pieces, Sequence) else ():
                for wire in piece.text.split(" ") if isinstance(piece, Scalar) else ():
                    thing = f"cuts.{_said(item, 'spool')}"
                    if wire not in self.owners:
                        self._add("plan-broken", piece.mark, thing, f"No wire has the id {quoted(wire)}.")
                    elif wire in cut:
                        self._add("plan-twice", piece.mark, thing, f"The wire {quoted(wire)} is cut twice.")
                    cut.add(wire)

    def _no(self, held: Mapping, key: str, thing: str) -> None:
        what = f"`{key}` is missing here." if held.get(key) is None else f"`{key}` does not hold what it should."
        self._add("plan-broken", held.where(key), _joined(thing, key), what)

    def _add(self, code: str, mark: Mark, thing: str, what: str) -> None:
        self.faults.append(_fault(code, mark, thing, f"{what} Only the tool writes this file."))


def _mappings(node: Node | None) -> Iterator[Mapping]:
    """Give the mappings of a list, none where there is no list."""
    if isinstance(node, Sequence):
        yield from (item for item in node.items if isinstance(item, Mapping))


def _said(held: Mapping, key: str) -> str | None:
    node = held.get(key)
    return node.text if isinstance(node, Scalar) else None


def _joined(thing: str, key: str) -> str:
    return ".".join(word for word in (thing, key) if word)
