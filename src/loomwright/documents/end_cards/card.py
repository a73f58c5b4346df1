"""A card: everything a student needs to make one kind of end, as data; a paper sets it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from loomwright.documents.end_cards.picture import Spec
from loomwright.documents.scene import Scene

NOTE: Final = (
    "Wires and strip lengths are to scale. Terminals and clamps are drawn at usual sizes, from memory: the maker's "
    "sheet comes first. Print at 100 %, so that what says true size is."
)
"""What a paper says once above its cards."""


@dataclass(frozen=True, slots=True)
class Mistake:
    """A usual mistake: its name in the picture's frame, what it does, and what the arrow points at."""

    name: str
    words: str
    drawn: str


@dataclass(frozen=True, slots=True)
class Pull:
    """What a sample of this end must stand, in newtons and pounds-force; `standard` is a source key."""

    force_n: float
    force_lbf: float
    standard: str

    @property
    def words(self) -> str:
        """The force and its standard in one sentence; these pulls destroy what they test."""
        name = self.standard.replace("-", " ").upper()
        return f"Samples only, on the bench: {self.force_n:g} N ({self.force_lbf:g} lbf) for one minute, by {name}."


@dataclass(frozen=True, slots=True)
class Used:
    """One end that this card is for: wire id, letter, where it goes, and whether it gets a firm pull by hand."""

    wire: str
    end: str
    where: str
    hand_pull: bool


@dataclass(frozen=True, slots=True)
class EndCard:
    """How one kind of end is made.

    `kind` names the pictures and steps that it shares with other gauges. `strip_mm` is None where nothing is stripped,
    `pull` where no standard asks for one. `spec` is what its pictures depend on, `scene` its drawing on paper,
    180 x 71 mm.
    """

    number: int
    kind: str
    title: str
    gauge: str
    strip_mm: float | None
    strip: str
    tool: str
    insulation: str
    steps: tuple[str, ...]
    good: str
    mistakes: tuple[Mistake, ...]
    cautions: tuple[str, ...]
    pull: Pull | None
    used: tuple[Used, ...]
    spec: Spec
    scene: Scene
