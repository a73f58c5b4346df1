"""A second robot for the hunt: a fault goes in, checks come out, by docs/hunting-model.md and by nothing of the tracer.

Where the document leaves something open, this robot does what a real one would; each choice stands in the docstring or
the comment of what does it.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from loomwright.plan.result import Plan
from tests.hunting.robot.twin_asks import Ask, every_ask, groups
from tests.hunting.robot.twin_body import Body
from tests.hunting.robot.twin_build import Frame, Harm, harm_of
from tests.hunting.robot.twin_chains import Chains
from tests.hunting.robot.twin_faults import Chance, Hurt, Trouble, drawn, every_trouble, hurt, spread
from tests.hunting.robot.twin_meter import Meter
from tests.hunting.robot.twin_motors import Motors
from tests.hunting.robot.twin_robot import Anatomy
from tests.hunting.robot.twin_senses import Senses

__all__ = ["Injected", "Trouble", "Twin"]

_TOLD = ("halt", "brown-out", "drove", "run", "seen", "look", "breaker")
_AT_FIRST = 3
# How often a regulator holds an output whose voltage it is not given itself (assumed).
_HOLDS = 0.8


class Twin:
    """A robot as planned, into which faults can be put."""

    def __init__(self, plan: Plan) -> None:
        self.plan = plan
        self.anatomy = Anatomy(plan)
        self.frame = Frame(self.anatomy)
        self.asks = {ask.key: ask for ask in every_ask(self.frame)}
        self.groups = groups(self.frame)
        self.as_planned = Body(self.frame, Harm())
        self.healthy = Injected(self, (), 0, {})

    def faults(self) -> tuple[Trouble, ...]:
        """Return every single fault of the catalogue at every place of this robot."""
        return tuple(every_trouble(self.anatomy))

    def checks(self) -> tuple[str, ...]:
        """Return the key of every check that can be taken on this robot."""
        return tuple(self.asks)

    def injected(self, troubles: Sequence[Trouble], chance: Chance, *, perturb: float = 0.0) -> Injected:
        """Put faults in; how bad each is, is drawn once. Copper and loads may differ by the share `perturb`."""
        hurts = tuple(hurt(trouble, chance) for trouble in troubles)
        seed = int(float(chance.random()) * 2**53)
        names = iter(sorted({*self.frame.fixed, *self.frame.idle}))
        return Injected(self, hurts, seed, spread(seed, names, perturb))


class Injected:
    """A robot with faults: it answers checks, the same check always the same."""

    def __init__(self, twin: Twin, hurts: tuple[Hurt, ...], seed: int, factors: dict[str, float]) -> None:
        self.twin = twin
        self.hurts = hurts
        self.seed = seed
        self.factors = factors
        names = (device.id for device in twin.anatomy.regulators)
        drops = frozenset(name for name in names if drawn(seed, f"holds {name}") > _HOLDS)
        self.body = Body(twin.frame, harm_of(hurts), factors, drops) if hurts or factors else twin.as_planned
        chains = Chains(self.body)
        motors = Motors(self.body, chains, twin.as_planned)
        self.senses = Senses(self.body, chains, motors, hurts, seed)
        planned = hurts or factors
        healthy: Meter | None = twin.healthy.meter if planned else None
        self.meter: Meter = Meter(self.body, motors, self.senses.run, healthy)
        self._answers: dict[str, str] = {}

    @property
    def troubles(self) -> tuple[Trouble, ...]:
        """The faults that are in it."""
        return tuple(hurt.trouble for hurt in self.hurts)

    def answer(self, check: str) -> str:
        """Return the outcome of a check.

        Raises
        ------
        KeyError
            For a check that can't be taken on this robot.
        """
        if check not in self._answers:
            self._answers[check] = self._outcome(self.twin.asks[check])
        return self._answers[check]

    def reading(self, check: str) -> float | None:
        """Return the number that a meter shows [V, A or ohm], infinite for open; None for a check without a meter.

        Raises
        ------
        KeyError
            For a check that can't be taken on this robot.
        """
        ask = self.twin.asks[check]
        return self.meter.reading(ask) if Meter.measures(ask.kind) else None

    def symptoms(self) -> tuple[tuple[str, str], ...]:
        """Return what a team reports at first: at most three wrong things, worst first, and a light that is well."""
        told = [ask for kind in _TOLD for ask in self.twin.asks.values() if ask.kind == kind]
        told = [ask for ask in told if ask.kind != "run" or self.answer(f"drove {ask.about}") == "as ever"]
        wrong = [(ask, badness) for ask in told if (badness := self._badness(ask)) > 0]
        worst = sorted(wrong, key=lambda one: -one[1])[:_AT_FIRST]
        about = {ask.about for ask, _ in worst}
        well = (a for a in told if a.kind == "look" and a.about not in about and self._badness(a) == 0)
        return tuple((ask.key, self.answer(ask.key)) for ask in [*(ask for ask, _ in worst), *_first(well)])

    def repaired(self, seat: str) -> Injected:
        """Return the same robot after a seat was mended; what its fault had blown is put right with it."""
        left = tuple(one for one in self.hurts if one.trouble.seat != seat)
        return Injected(self.twin, left, self.seed, self.factors)

    def _outcome(self, ask: Ask) -> str:
        if ask in self.twin.groups:
            return self._together(ask, self.twin.groups[ask])
        return self.meter.outcome(ask) if Meter.measures(ask.kind) else self.senses.outcome(ask)

    def _together(self, ask: Ask, asks: tuple[Ask, ...]) -> str:
        """Return what a glance at many things shows: nothing else than each of them alone."""
        wrong = [one for one in asks if self.answer(one.key) != one.outcomes[0]]
        gone = [one for one in asks if self.answer(one.key) == one.outcomes[-1]]
        if ask.kind == "list" and len(gone) == len(asks):
            return "none seen"
        return ask.outcomes[1 if wrong else 0]

    def _badness(self, ask: Ask) -> float:
        return ask.outcomes.index(self.answer(ask.key)) / (len(ask.outcomes) - 1)


def _first(asks: Iterable[Ask]) -> list[Ask]:
    found = next(iter(asks), None)
    return [] if found is None else [found]
