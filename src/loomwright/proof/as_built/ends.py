"""Every end of a plan with what was recorded of it: to do, made, pulled, or to be made again, and why."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from loomwright.proof.build_order import build_order
from loomwright.proof.ends import MadeEnd, all_ends
from loomwright.proof.pulls import fitted_ends
from loomwright.records.ends import Standing

if TYPE_CHECKING:
    from loomwright.plan.result import Plan, PlannedEnd, PlannedWire
    from loomwright.proof.build_order import BuildGroup
    from loomwright.proof.pulls import FittedEnd
    from loomwright.proof.steps import Step
    from loomwright.records.ends import EndState
    from loomwright.records.fold import State

#: What is compared between the plan that an end was signed under and the plan of today, with its word.
_COMPARED: Final = (("gauge", "gauge"), ("terminal", "terminal"))
#: A lug on a post is nobody's work alone.
_TWO_PEOPLE: Final = "battery"


@dataclass(frozen=True, slots=True, kw_only=True)
class BuiltEnd:
    """One end: what is planned (`fitted`, `as_planned`), what was recorded (`state`), and where that leaves it.

    `why` says in sentences why an end that was signed has to be made again, or what else is to do; `reflag` that
    only its flag is old. `second_person` tells that nobody may sign it off alone. `in_file` is set where nothing was
    recorded and the robot file says that the wire is made.
    """

    fitted: FittedEnd
    as_planned: Mapping[str, str]
    state: EndState
    standing: Standing
    why: tuple[str, ...] = ()
    reflag: bool = False
    second_person: bool = False
    in_file: bool = False

    @property
    def name(self) -> str:
        """Its name as it stands on the flag: "W12 A"."""
        return f"{self.fitted.wire} {self.fitted.end}"

    @property
    def is_done(self) -> bool:
        """Whether nothing is left to do: pulled before a witness, or looked at where nobody pulls."""
        return self.standing is Standing.PULLED or self.in_file

    @property
    def waits_for_pull(self) -> bool:
        """Whether it is made and somebody else has to pull, or look, now."""
        return self.standing in (Standing.MADE, Standing.PULLED_ALONE)


@dataclass(frozen=True, slots=True)
class BuiltStep:
    """Wires that are made together, with their ends in the order in which they are made."""

    step: Step
    ends: tuple[BuiltEnd, ...]


@dataclass(frozen=True, slots=True)
class BuiltGroup:
    """One group of the order of building."""

    group: BuildGroup
    steps: tuple[BuiltStep, ...]


def built_groups(plan: Plan, state: State) -> tuple[BuiltGroup, ...]:
    """Return every end that somebody makes once, in the order of building, with what was recorded of it."""
    fitted = {(end.wire, end.end): end for group in fitted_ends(plan) for end in group.ends}
    made = {end.name: end for end in all_ends(plan)}
    return tuple(
        BuiltGroup(
            group,
            tuple(
                BuiltStep(
                    step,
                    tuple(
                        _built(plan, state, made[name], end) for name, end in fitted.items() if name[0] in step.wires
                    ),
                )
                for step in group.steps
            ),
        )
        for group in build_order(plan)
    )


def built_ends(plan: Plan, state: State) -> tuple[BuiltEnd, ...]:
    """Return the ends of all groups, one after the other."""
    return built_ends_of(built_groups(plan, state))


def built_ends_of(groups: Iterable[BuiltGroup]) -> tuple[BuiltEnd, ...]:
    """Return the ends of some groups, one after the other."""
    return tuple(end for group in groups for step in group.steps for end in step.ends)


def counts(ends: tuple[BuiltEnd, ...]) -> Mapping[Standing, int]:
    """Count the ends of each standing; an end that the robot file calls made counts as pulled."""
    found = Counter(Standing.PULLED if end.in_file else end.standing for end in ends)
    return {standing: found[standing] for standing in Standing}


def signed_as(wire: PlannedWire, end: PlannedEnd) -> Mapping[str, str]:
    """Return what an end is signed as under this plan: its copper, its terminal, its device and slot."""
    told = {
        "gauge": str(wire.gauge or ""),
        "terminal": end.treatment.terminal if end.treatment is not None else "",
        "device": end.device,
        "slot": end.socket,
    }
    return {name: value for name, value in told.items() if value}


def _built(plan: Plan, state: State, made: MadeEnd, fitted: FittedEnd) -> BuiltEnd:
    held = state.end(plan.robot.build, made.wire.id, made.end.letter)
    planned = signed_as(made.wire, made.end)
    gone = {old for event in held.made if (old := _renamed(plan, event.as_planned, planned))}
    changed = [words for event in held.made for words in _differs(event.as_planned, planned, gone)]
    why = tuple(dict.fromkeys([*changed, *_mended(state, held)]))
    device = plan.robot.device(made.end.device)
    return BuiltEnd(
        fitted=fitted,
        as_planned=planned,
        state=held,
        standing=Standing.REDO if why else held.standing,
        why=why or tuple(_failed(held)),
        reflag=bool(gone) and not why,
        second_person=device is not None and device.kind == _TWO_PEOPLE,
        in_file=not held.history and made.wire.key in plan.made,
    )


def _differs(signed: Mapping[str, str], planned: Mapping[str, str], renamed: set[str]) -> Iterator[str]:
    """Say what the plan asks for now where an end was signed as something else; what was not told is no difference."""
    for name, word in _COMPARED:
        was, now = signed.get(name, ""), planned.get(name, "")
        if was and now and was != now:
            yield f"The plan has changed: {word} {now}, and it was made with {was}."
    was = _place(signed)
    if was and was != _place(planned) and not (signed.get("device") in renamed and _slot(signed) == _slot(planned)):
        yield f"The plan has changed: it goes to {_place(planned) or 'another place'}, and it was put on {was}."


def _mended(state: State, held: EndState) -> Iterator[str]:
    """Say where an end was mended in a hunt and nobody signed it since: the old signature is that of another end."""
    build, wire, end = held.name
    signed = max((state.places[event.key] for event in held.made), default=None)
    for hunt in state.hunts.get(build, ()):
        here = [event for event in hunt.mended if (event.wire, event.end) == (wire, end)]
        # Who mends signs first and then tells it: a signature counts from the mending before, or the hunt's beginning.
        since = [hunt.begun, *here]
        for before, event in zip(since, here, strict=False):
            if signed is not None and signed < state.places[before.key]:
                yield f"{event.who} mended it in a hunt, and nobody signed it since."


def _renamed(plan: Plan, signed: Mapping[str, str], planned: Mapping[str, str]) -> str:
    """Return the device that an end was put on where that only has another name now: nothing else bears the old one."""
    was = signed.get("device", "")
    known = plan.robot.device(was) is not None
    return was if was and was != planned.get("device") and not known else ""


def _place(end: Mapping[str, str]) -> str:
    return " ".join(part for part in (end.get("device", ""), end.get("slot", "")) if part)


def _slot(end: Mapping[str, str]) -> str:
    return end.get("slot", "")


def _failed(held: EndState) -> Iterator[str]:
    for event in held.failures:
        yield f"{event.who}: {event.words}" if event.words else f"{event.who} found that it does not hold."
    if held.twice:
        names = " and ".join(dict.fromkeys(event.who for event in held.made))
        yield f"Signed twice, by {names}, each without seeing the other: look which of the two it is."
