"""The phases of a match: when each begins and ends, and which cycles are driven in it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from loomwright.match.driver import Phase
from loomwright.robotfile.drivers.names import name_is_good
from loomwright.robotfile.drivers.ranges import moment, read_or_note, weight
from loomwright.robotfile.forms.leaves import Branch, Faults, Leaf, Row
from loomwright.robotfile.parts.part_fields import Fields, did_you_mean
from loomwright.units import Dimension, show
from loomwright.wording import quoted

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from loomwright.robotfile.forms.leaves import Raw, Spot

#: What a driver does where no phase says anything.
PAUSE: Final = "pause"
_KEYS = ("from", "to", "does")
PHASES_FORM: Final = "Write `phases: {driven: {from: 0 s, to: 150 s, does: [score]}}`."


@dataclass(slots=True)
class PhaseReader:
    """Reads phases; `cycles` are the names of those that there are. Faults are noted."""

    faults: Faults
    cycles: tuple[str, ...]

    def phases(self, raw: Raw) -> tuple[Phase, ...]:
        """Read the phases of one driver in the order of time, with a pause in every gap."""
        if not isinstance(raw, Branch) or not raw:
            self.faults.add("bad-form", raw, "Phases are written by name.", PHASES_FORM)
            return ()
        phases = [phase for name in raw if (phase := self._phase(name, raw)) is not None]
        phases.sort(key=lambda phase: (phase.start_s, phase.end_s))
        for at, phase in enumerate(phases[1:], 1):
            before = max(phases[:at], key=lambda one: one.end_s)
            if phase.start_s < before.end_s:
                self._overlap(before, phase, raw[phase.name]["from"])
        return tuple(_without_gaps(phases))

    def _phase(self, name: str, raw: Branch) -> Phase | None:
        if not name_is_good(name, raw.key_marks[name], f"{raw.path}.{name}", self.faults):
            return None
        fields = Fields(raw[name], self.faults, what=f"the phase {quoted(name)}", keys=_KEYS)
        if not isinstance(raw[name], Branch):
            return None
        start_s, end_s = self._moment(fields, "from", name), self._moment(fields, "to", name)
        does = fields.get("does")
        cycles = () if does is None else self._does(does)
        if start_s is None or end_s is None:
            return None
        if end_s <= start_s:
            times = f"from {show(start_s, Dimension.TIME)} to {show(end_s, Dimension.TIME)}"
            what = f"The phase {quoted(name)} takes no time: it goes {times}."
            if end_s < start_s:
                what = f"The phase {quoted(name)} runs backward: it goes {times}."
            self.faults.add("phase-backward", fields.get("to"), what, "Let it end later than it begins.")
            return None
        return Phase(name, start_s, end_s, cycles)

    def _moment(self, fields: Fields, key: str, name: str) -> float | None:
        raw = fields.get(key)
        if raw is not None:
            return read_or_note(raw, moment, self.faults)
        what = f"The phase {quoted(name)} does not say when it {'begins' if key == 'from' else 'ends'}."
        fields.fault_here("missing-key", what, f"Write `{key}: ...`, counted from the start of the match.")
        return None

    def _does(self, raw: Raw) -> tuple[tuple[str, float], ...]:
        """Read one cycle, a list of cycles that are met alike, or cycles with weights; by name."""
        found: dict[str, float] = {}
        if isinstance(raw, Branch):
            for name, said in raw.items():
                path = f"{raw.path}.{name}"
                told = read_or_note(said, weight, self.faults)
                if self._known(name, Leaf(name, raw.key_marks[name], path)) and told is not None:
                    found[name] = told
            if found and len(found) == len(raw) and not any(found.values()):
                what = "Every cycle of this phase has the weight 0, so there is nothing to do in it."
                self.faults.add("no-weight", raw, what, "Give one a weight, or leave `does` out.")
        else:
            for item in raw if isinstance(raw, Row) else (raw,):
                self._one(item, found)
        return tuple(sorted(found.items()))

    def _one(self, item: Raw, found: dict[str, float]) -> None:
        if not isinstance(item, Leaf):
            self.faults.add("bad-form", item, "The name of a cycle belongs here.", "Write `does: [score, defend]`.")
            return
        name = " ".join(item.text.split())
        if name in found:
            what = f"{quoted(name)} stands twice in this list."
            self.faults.add("cycle-twice", item, what, f"Give it a weight: `does: {{{name}: 2}}`.")
        elif self._known(name, item):
            found[name] = 1.0

    def _known(self, name: str, spot: Spot) -> bool:
        if name in self.cycles:
            return True
        fix = did_you_mean(name, self.cycles) if self.cycles else "Write it under `cycles:`."
        self.faults.add("unknown-cycle", spot, f"There is no cycle {quoted(name)}.", fix)
        return False

    def _overlap(self, before: Phase, phase: Phase, spot: Spot) -> None:
        begins, ends = show(phase.start_s, Dimension.TIME), show(before.end_s, Dimension.TIME)
        what = f"{quoted(phase.name)} begins at {begins}, before {quoted(before.name)} ends at {ends}."
        fix = f"Write `from: {ends}` here, or `to: {begins}` there."
        self.faults.add("phases-overlap", spot, what, fix)


def _without_gaps(phases: Iterable[Phase]) -> Iterator[Phase]:
    now_s = 0.0
    for phase in phases:
        if phase.start_s > now_s:
            yield Phase(PAUSE, now_s, phase.start_s)
        yield phase
        now_s = phase.end_s
