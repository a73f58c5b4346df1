"""What is drawn once for a plan and shown many times."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from threading import Lock
from typing import TYPE_CHECKING, Any, TypeVar

if TYPE_CHECKING:
    from loomwright.plan.result import Plan

T = TypeVar("T")


@dataclass(slots=True)
class Drawn:
    """Keeps what was made of the plan of one revision, and forgets it when another one comes."""

    revision: str = ""
    kept: dict[str, Any] = field(default_factory=dict)
    _lock: Lock = field(default_factory=Lock)

    def of(self, plan: Plan, name: str, make: Callable[[Plan], T]) -> T:
        """Return what `make` makes of a plan; it is asked once for each name and revision."""
        with self._lock:
            if plan.revision != self.revision:
                self.revision, self.kept = plan.revision, {}
            if name not in self.kept:
                self.kept[name] = make(plan)
            found: T = self.kept[name]
            return found
