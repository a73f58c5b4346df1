"""The look: colours, wire colours and sizes, each in one place."""

from __future__ import annotations

from dataclasses import dataclass
from types import MappingProxyType

from loomwright.catalogue.colours import colour_words

INK = "#14181d"
PAPER = "#fbfaf6"
WHITE = "#ffffff"
SAND = "#ece8dc"
HI_VIS = "#ffd400"  # only ever under ink
ACTION = "#0b4fb3"
DONE = "#00594c"
REDO = "#a3000b"
KEPT = "#fff1b8"

TEXT_CONTRAST = 7.0
SHAPE_CONTRAST = 3.0

# Type sizes on a printed sheet, in mm from baseline to baseline of solid lines (3 mm is about 8.5 pt).
SMALL_MM = 3.0
BODY_MM = 3.4
NAME_MM = 4.4
TITLE_MM = 11.0

HAIR_MM = 0.3
LINE_MM = 0.5
RULE_MM = 0.8
CORNER_MM = 1.0


@dataclass(frozen=True, slots=True)
class WireColour:
    """An insulation colour: two-letter code and name by IEC 60757, and how it is shown.

    `stripe` is the fill of the second colour, empty for a plain wire.
    """

    code: str
    name: str
    fill: str
    stripe: str = ""


# Letters and names: the catalogue (IEC 60757). The fills are our own.
_FILLS = MappingProxyType(
    {
        "BK": INK,
        "BN": "#7a4a21",
        "RD": "#ee2e31",
        "OG": "#f57c00",
        "YE": "#ffd400",
        "GN": "#1a8f3c",
        "BU": "#0b4fb3",
        "VT": "#7b3fa0",
        "GY": "#8a8f94",
        "WH": WHITE,
        "PK": "#f4a3bd",
        "TQ": "#27a7a0",
    }
)
WIRE_CODES = tuple(_FILLS)

_KNEE = 0.04045  # where the sRGB curve turns from straight to power (WCAG 2.2, relative luminance)


def wire_colour(code: str) -> WireColour:
    """Return the colour for "RD", or for "RDBK": red with a black stripe.

    Raises
    ------
    ValueError
        For anything that is not one or two of the codes, or a stripe of the wire's own colour.
    """
    parts = [code[i : i + 2] for i in range(0, len(code), 2)]
    if len(parts) not in {1, 2} or len(set(parts)) != len(parts) or not set(parts) <= set(_FILLS):
        raise ValueError(f"{code!r} is not a wire colour; write one or two of {', '.join(_FILLS)}")
    fill, stripe = [*(_FILLS[part] for part in parts), ""][:2]
    return WireColour(code, colour_words(code), fill, stripe)


def luminance(colour: str) -> float:
    """Return the relative luminance of an sRGB colour "#rrggbb", 0 to 1 (WCAG 2.2, definition)."""
    channels = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    red, green, blue = (c / 12.92 if c <= _KNEE else ((c + 0.055) / 1.055) ** 2.4 for c in channels)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Return the contrast ratio of two colours, 1 to 21 (WCAG 2.2, definition)."""
    darker, lighter = sorted((luminance(one), luminance(other)))
    return (lighter + 0.05) / (darker + 0.05)
