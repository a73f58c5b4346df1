"""One kind of question that rules put to a plan."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, TypeAlias

from loomwright.findings import Finding

if TYPE_CHECKING:
    from loomwright.model.rules import Rule
    from loomwright.plan.result import Plan
    from loomwright.rulebook.parameters import Kind

Judge: TypeAlias = "Callable[[Plan, Rule], Iterable[Finding]]"


@dataclass(frozen=True, slots=True)
class Check:
    """What a rule can ask of a plan.

    `asks` says in one sentence what is looked at. `judge` gives what it finds for one rule.
    `parameters` must stand in every rule of this check, `optional` may. A check that is `kept` has
    rules that can be reworded but not switched off.
    """

    name: str
    asks: str
    judge: Judge
    parameters: Mapping[str, Kind] = field(default_factory=dict)
    optional: Mapping[str, Kind] = field(default_factory=dict)
    kept: bool = False

    @property
    def kinds(self) -> dict[str, Kind]:
        """Every parameter with its kind, those that must be given first."""
        return {**self.parameters, **self.optional}
