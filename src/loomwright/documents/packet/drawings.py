"""The packet's drawings, each on pages of its own: the Spine, the data wiring, the Plate."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from loomwright.documents.data_wiring.plan import data_scenes
from loomwright.documents.packet.blocks import Chapter, Drawing
from loomwright.documents.plate.page import Paper
from loomwright.documents.plate.plan import plate_scenes
from loomwright.documents.print_room import lying_mm
from loomwright.documents.spine.plan import spine_scenes

if TYPE_CHECKING:
    from collections.abc import Iterable

    from loomwright.documents.scene import Scene
    from loomwright.plan.result import Plan

#: What the packet's own foot takes of a page below a drawing [mm].
FOOT_MM: Final = 6.0


def drawings(plan: Plan, paper: str) -> tuple[Chapter, ...]:
    """Return the drawings on "A4" or "Letter"."""
    return (
        _chapter("Spine: the power wiring", spine_scenes(plan, paper, foot_mm=FOOT_MM)),
        _chapter("Data wiring", data_scenes(plan, Paper(paper, *lying_mm(paper)), foot_mm=FOOT_MM)),
        _chapter("Plate: where everything is", plate_scenes(plan, paper, foot_mm=FOOT_MM)),
    )


def _chapter(title: str, scenes: Iterable[Scene]) -> Chapter:
    return Chapter(title, tuple(Drawing(scene, own_page=True) for scene in scenes), drawn=True)
