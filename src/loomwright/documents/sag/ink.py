"""How things look on the Sag: sizes, strokes, hatches; every fill differs by its shape, not by its colour alone."""

from __future__ import annotations

from typing import Final

from loomwright.documents.look import ACTION, HI_VIS, INK, WHITE
from loomwright.documents.scene import Fill, Hatch, Stroke

#: Type of a chart [mm]: larger than on sheets that are read at the bench only, since a phone shows this one.
WORD_MM: Final = 5.6
KEY_MM: Final = 6.2
TICK_MM: Final = 5.0
STEP_MM: Final = 4.3  # there are many steps, and they are short

GRID: Final = Stroke("#8a8f94", 0.2)
FRAME: Final = Stroke(INK, 0.5)
TRACE: Final = Stroke(INK, 0.55)
HALO: Final = Stroke(WHITE, 1.5)
EDGE: Final = Stroke(INK, 0.25)
OFF_LINE: Final = Stroke(INK, 0.6, (4.0, 1.4))
ON_LINE: Final = Stroke(INK, 0.6, (1.0, 1.4))
GUIDE: Final = Stroke(INK, 0.4)

#: From the bus voltage down to its lowest.
SHADE: Final = "#8a8f94"

OFF: Final = Hatch(1.9, 0.3, 45.0, INK, HI_VIS)
RESTART: Final = Hatch(1.3, 0.6, -45.0, INK, HI_VIS)

#: Layers of current from the bottom up; the last one is that of all others together.
LAYERS: Final[tuple[Fill, ...]] = (
    ACTION,
    Hatch(1.6, 0.45, 45.0, INK, "#ffc680"),
    "#8fcfc0",
    Hatch(1.2, 0.45, -45.0, INK, WHITE),
)
OTHERS: Final[Fill] = WHITE
