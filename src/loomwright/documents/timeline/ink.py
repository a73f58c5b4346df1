"""How things look on the timeline: every strip differs by its shape, and by its colour only after that."""

from __future__ import annotations

from typing import Final

from loomwright.documents.look import ACTION, INK, WHITE
from loomwright.documents.scene import Fill, Hatch, Stroke

#: Type [mm]: the largest of a row's words and the smallest that they may shrink to; hours, facts, cautions.
WORD_MM: Final = 5.2
LEAST_MM: Final = 3.2
HOUR_MM: Final = 4.4
FACT_MM: Final = 4.4
CAUTION_MM: Final = 3.2

EDGE: Final = Stroke(INK, 0.4)
HEAVY: Final = Stroke(INK, 0.7)
HOUR: Final = Stroke("#8a8f94", 0.25)
HALF: Final = Stroke("#8a8f94", 0.25, (0.5, 1.3))
RAIL: Final = Stroke("#8a8f94", 0.25)
NOW: Final = Stroke(INK, 0.8, (2.4, 1.2))
BEGINS: Final = Stroke(WHITE, 0.6)
#: Cooling is a row of round dots.
DOTS: Final = Stroke(INK, 1.2, (0.01, 2.2), round_ends=True)

ROBOT: Final[Fill] = ACTION
GENTLE: Final[Fill] = "#d5efe8"
FAST: Final[Fill] = Hatch(1.5, 0.5, 45.0, INK, "#ffc680")
