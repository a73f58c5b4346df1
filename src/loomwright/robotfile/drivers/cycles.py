"""The cycles of a driver: steps one after the other, each with what it asks of whom."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Final

from loomwright.match.driver import Cycle, Step, Wish
from loomwright.robotfile.drivers.book import Said
from loomwright.robotfile.drivers.names import KINDS, PLAYED_AS, STEP_KEYS, name_is_good
from loomwright.robotfile.drivers.ranges import goal, how_many, lasting, read_or_note, share, turning
from loomwright.robotfile.forms.leaves import Branch, Faults, Leaf, Row
from loomwright.robotfile.parts.part_fields import Fields
from loomwright.wording import nearest, quoted

if TYPE_CHECKING:
    from loomwright.match.driver import Range
    from loomwright.robotfile.forms.leaves import Raw

_DRIVE: Final = "drive"
_WISH_KEYS = ("goal", "load")
_STEP_FORM = "Write `- sprint: {lasts: [1 s, 2 s], drive: 100 %}`."
_STILL: Final = (0.0, 0.0)


@dataclass(slots=True)
class CycleReader:
    """Reads cycles; faults are noted, and `said` remembers where each name is written first."""

    faults: Faults
    said: dict[str, Said] = field(default_factory=dict)

    def cycles(self, raw: Branch) -> dict[str, Cycle]:
        """Read every cycle by name."""
        found = {}
        for name, steps in raw.items():
            path = f"{raw.path}.{name}"
            if name_is_good(name, raw.key_marks[name], path, self.faults):
                found[name] = Cycle(name, self._steps(steps))
        return found

    def _steps(self, raw: Raw) -> tuple[Step, ...]:
        if not isinstance(raw, Row) or not raw:
            self.faults.add("bad-form", raw, "A cycle is a list of steps, one after the other.", _STEP_FORM)
            return ()
        return tuple(step for item in raw if (step := self._step(item)) is not None)

    def _step(self, item: Raw) -> Step | None:
        """Read `- name: {...}`; None where there is no telling which step it is."""
        if not isinstance(item, Branch) or len(item) != 1:
            what = "A step is one name with what is done, and here stand several."
            if not isinstance(item, Branch):
                what = "A step is one name with what is done."
            self.faults.add("bad-form", item, what, _STEP_FORM)
            return None
        [(name, raw)] = item.items()
        name_is_good(name, item.key_marks[name], f"{item.path}.{name}", self.faults)
        if not isinstance(raw, Branch):
            self.faults.add("bad-form", raw, f"The step {quoted(name)} has keys and values.", _STEP_FORM)
            return None
        return Step(
            name,
            self._lasts(name, raw),
            self._wishes(raw),
            shots=self._number(raw, "shots"),
            strokes=self._number(raw, "air"),
        )

    def _lasts(self, name: str, raw: Branch) -> Range:
        if "lasts" in raw:
            return read_or_note(raw["lasts"], lasting, self.faults) or _STILL
        what = f"The step {quoted(name)} does not say how long it lasts."
        self.faults.add("missing-key", raw, what, "Write `lasts: 2 s`, or `lasts: [1.5 s, 3 s]`.")
        return _STILL

    def _number(self, raw: Branch, key: str) -> int:
        return (read_or_note(raw[key], how_many, self.faults) or 0) if key in raw else 0

    def _wishes(self, raw: Branch) -> tuple[Wish, ...]:
        """Read what is asked of whom: kinds first, then names, so that a name has the last word."""
        turn = (read_or_note(raw["turn"], turning, self.faults) or _STILL) if "turn" in raw else _STILL
        wishes: dict[str, Wish] = {}
        for key in raw:
            if key in STEP_KEYS or (wish := self._wish(key, raw)) is None:
                continue
            if wish.whom in wishes:
                what = f"This step asks twice of the {wish.whom}: {quoted(key)} is played as `{wish.whom}`, too."
                path = f"{raw.path}.{key}"
                fix = f"Write one of them, as `{wish.whom}: ...`."
                self.faults.add("asked-twice", None, what, fix, mark=raw.key_marks[key], path=path)
            wishes[wish.whom] = wish
        if "turn" in raw:
            wishes[_DRIVE] = replace(wishes.get(_DRIVE, Wish(_DRIVE, _STILL)), turn=turn)
        kinds = [wishes[kind] for kind in KINDS if kind in wishes]
        return (*kinds, *(wishes[whom] for whom in sorted(wishes) if whom not in KINDS))

    def _wish(self, key: str, raw: Branch) -> Wish | None:
        """Read what is asked of one kind or name."""
        path = f"{raw.path}.{key}"
        if not name_is_good(key, raw.key_marks[key], path, self.faults):
            return None
        asked = raw[key]
        if self._meant_a_step_key(key, asked, raw):
            return None
        whom = PLAYED_AS.get(key, key)
        self.said.setdefault(whom, Said(whom, raw.key_marks[key], path))
        if not isinstance(asked, Branch):
            found = read_or_note(asked, lambda value: goal(value, whom), self.faults)
            return None if found is None else Wish(whom, found)
        fields = Fields(asked, self.faults, what="a wish", keys=_WISH_KEYS)
        told = fields.get("goal")
        if told is None:
            fields.fault_here("missing-key", f"{quoted(whom)} is not told what to do.", "Write `goal: 80 %`.")
            return None
        found = read_or_note(told, lambda value: goal(value, whom), self.faults)
        load = fields.get("load")
        held = _STILL if load is None else read_or_note(load, share, self.faults)
        return None if found is None or held is None else Wish(whom, found, held)

    def _meant_a_step_key(self, whom: str, asked: Raw, raw: Branch) -> bool:
        """Tell a slip such as `last: 2 s`, which would else be a wish for a mechanism called `last`."""
        close = nearest(whom, (*KINDS, *PLAYED_AS, *STEP_KEYS), limit=1, closeness=0.7)
        if (
            whom in (*KINDS, *PLAYED_AS)
            or not close
            or close[0] not in STEP_KEYS
            or isinstance(asked, Branch)
            or _shares(asked)
        ):
            return False
        what = f"{quoted(whom)} is no key of a step, and what stands here is no percentage to ask of a mechanism."
        self.faults.add(
            "unknown-key",
            None,
            what,
            f"Did you mean `{close[0]}`?",
            mark=raw.key_marks[whom],
            path=f"{raw.path}.{whom}",
        )
        return True


def _shares(asked: Raw) -> bool:
    """Tell whether a value could be meant as a share: it has a percent sign, or is a word."""
    texts = [asked.text] if isinstance(asked, Leaf) else [end.text for end in asked if isinstance(end, Leaf)]
    return any("%" in text for text in texts) or not any(sign.isdigit() for text in texts for sign in text)
