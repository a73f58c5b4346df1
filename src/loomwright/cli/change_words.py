"""How a change is told on a terminal, and as data for scripts."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

from loomwright.cli.console import program
from loomwright.findings import must_fix
from loomwright.plan.rework import GONE, NEW
from loomwright.rulebook import cautions
from loomwright.units import Dimension, show
from loomwright.wording import listed

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence

    from loomwright.jobs.change import Change
    from loomwright.plan.rework import Rework, Step

#: The version of the JSON form.
FORMAT: Final = 1
_LISTS: Final = ("undo", "make", "relabel", "drop")


def change_text(change: Change) -> str:
    """Say what is to undo, to make and to relabel, wire by wire."""
    return "\n".join(_lines(change))


def rework_lines(change: Change) -> list[str]:
    """Give the lists alone, with the cautions before them; nothing where nothing changes.

    `plan` tells them too where finished work changes, before the sheets that show it.
    """
    lists = list(_lists(change.rework))
    return [*_cautions(change), *lists] if lists else []


def change_as_data(change: Change) -> dict[str, Any]:
    """Return the change for a script; the keys are listed in docs/outputs.md."""
    plan, held = change.plan, change.rework
    data: dict[str, Any] = {
        "format": FORMAT,
        "robot": plan.robot.name,
        "build": plan.robot.build or None,
        "before": change.before.revision if change.before is not None else None,
        "after": plan.revision,
        "cautions": list(cautions(plan.rules)),
    }
    data |= {name: [_step(step) for step in getattr(held, name)] for name in _LISTS}
    return data | {"keep": list(held.keep), "waiting": list(held.waiting)}


def _step(step: Step) -> dict[str, Any]:
    wire = step.wire
    return {
        "wire": step.id,
        "circuit": step.circuit,
        "role": step.role,
        "whole": step.whole,
        "ends": list(step.ends),
        "why": list(step.why),
        "a": step.a,
        "b": step.b,
        "gauge": str(wire.gauge) if wire.gauge is not None else "unknown",
        "colour": wire.colour,
        "length_m": "unknown" if wire.length_m is None else wire.length_m,
    }


def _lines(change: Change) -> Iterator[str]:
    plan, before = change.plan, change.before
    build = f", build {plan.robot.build}" if plan.robot.build else ""
    name = f"{plan.robot.name}{build}"
    if before is None:
        yield (
            f"{name} was never planned here: there is no plan.yaml, so all of its {len(plan.wires)} wires are to make. "
            f"`{program()} plan` writes it with the sheets."
        )
        return
    if not change.rework.changes:
        yield f"{name}: nothing is to undo, to make anew or to relabel. {_revisions(change)}"
    else:
        yield f"{name}: {_revisions(change)}"
        yield from rework_lines(change)
    yield _rest(change.rework)
    if not change.rework.keep and not change.rework.undo:
        yield "No wire is called made. Write `(fitted)` behind its slot, port, length or gauge: `slot: H3 (fitted)`."
    if must_fix(plan.findings):
        yield f"Something must be fixed in this plan; `{program()} check` says what."
    if change.rework.undo:
        yield f"Finished work would be undone. Nothing has changed until you run `{program()} plan`."


def _revisions(change: Change) -> str:
    old, new = change.before.revision if change.before is not None else "", change.plan.revision
    return f"Plan {new}, as before." if old == new else f"Plan {old} would become {new}."


def _rest(held: Rework) -> str:
    stay = f"{_count(len(held.keep), 'finished wire')} stay{'s' if len(held.keep) == 1 else ''} as made"
    return f"{stay}, {_count(len(held.waiting), 'wire')} still to make as planned before."


def _cautions(change: Change) -> Iterator[str]:
    """Give every caution: who undoes a wire stands at the robot, not at a desk."""
    for words in cautions(change.plan.rules):
        yield f"Caution: {words}"


def _lists(held: Rework) -> Iterator[str]:
    yield from _list(f"To undo, {_count(len(held.undo), 'finished wire')}:", held.undo, _undo)
    yield from _list(f"To make, {_count(len(held.make), 'wire')}:", held.make, _make)
    yield from _list(f"To relabel, {_count(len(held.relabel), 'finished wire')}:", held.relabel, _relabel)
    yield from _list(f"Not needed any more, {_count(len(held.drop), 'wire')}:", held.drop, _drop)
    if any(GONE in step.why for step in held.undo) and any(NEW in step.why for step in held.make):
        yield (
            "If a finished thing only has another name now, say where it is: give it the `slot` or the place that it "
            "had, or write `(fitted)` behind its length."
        )


def _list(title: str, steps: Sequence[Step], told: Callable[[Step], str]) -> Iterator[str]:
    if not steps:
        return
    yield title
    for step in steps:
        yield f"  {step.id}  {step.circuit}, {step.role}: {step.a} to {step.b}"
        yield f"      {told(step)}"


def _undo(step: Step) -> str:
    why = listed(step.why, "and")
    if step.whole:
        return f"Take the wire out: {why}."
    return f"Open {_ends(step)}: {why}."


def _make(step: Step) -> str:
    wire = step.wire
    length = "length unknown" if wire.length_m is None else show(wire.length_m, Dimension.LENGTH)
    copper = ", ".join(word for word in (_gauge(step), wire.colour, length) if word)
    if not step.whole:
        return f"Make {_ends(step)} again and put a new flag on: {listed(step.why, 'and')}."
    if step.why == (NEW,):
        return f"New: {copper}."
    return f"{copper}: {listed(step.why, 'and')}."


def _relabel(step: Step) -> str:
    return f"New flags: {listed(step.why, 'and')}."


def _drop(step: Step) -> str:  # noqa: ARG001  every one is told alike
    return "Nobody called it made. If it is there all the same, take it out."


def _ends(step: Step) -> str:
    return f"end {step.ends[0]}" if len(step.ends) == 1 else f"ends {listed(step.ends, 'and')}"


def _gauge(step: Step) -> str:
    return str(step.wire.gauge) if step.wire.gauge is not None else ""


def _count(number: int, word: str) -> str:
    return f"{number} {word}{'' if number == 1 else 's'}"
