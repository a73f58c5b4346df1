"""What cards are drawn with: light fills under an ink outline, so that a grey print reads the same."""

from __future__ import annotations

from types import MappingProxyType
from typing import Final

from loomwright.documents.look import HAIR_MM, INK, WHITE
from loomwright.documents.scene import Stroke

INSULATION: Final = "#ece8dc"
INSULATION_SHADE: Final = "#d6d0be"
COPPER: Final = "#d98b4a"
METAL: Final = "#d9dde0"
METAL_SHADE: Final = "#b3b9be"
PLASTIC: Final = "#f3f0e7"
SOLDER: Final = "#e6e9eb"
CLEAR: Final = WHITE

#: The sleeve of an insulated terminal tells its range; the words beside the drawing name the colour.
SLEEVES: Final = MappingProxyType({"red": "#f3b8b3", "blue": "#b9cdf0", "yellow": "#ffe680"})

OUTLINE: Final = Stroke(INK, HAIR_MM)
FINE: Final = Stroke(INK, 0.18)
GHOST: Final = Stroke(INK, 0.25, (1.0, 0.8))
"""What lies behind, or comes later: dashed."""
