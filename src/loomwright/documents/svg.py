"""Write a scene as SVG that stands alone: own fonts inside, text that can be selected, no script.

The same scene gives the same bytes. Sizes are in mm, ids come from what a group is about, and a
reader that speaks gets a title, a description and a name for each group.
"""

from __future__ import annotations

import base64
import re
from collections import Counter
from functools import cache
from html import escape
from importlib.resources import files

from loomwright.documents.scene import (
    Anchor,
    Arc,
    Circle,
    Fill,
    Group,
    Hatch,
    Item,
    Line,
    Mark,
    Move,
    Path,
    Polyline,
    Rect,
    Scene,
    Stroke,
    Text,
)
from loomwright.documents.type import Face, clean, is_ours

_FAMILIES = {
    Face.TEXT: ("Loom Text", "400", "loom-text-regular.woff2"),
    Face.BOLD: ("Loom Text", "700", "loom-text-bold.woff2"),
    Face.TAG: ("Loom Tag", "600", "loom-tag-semibold.woff2"),
}
_SYMBOL = ("Loom Symbol", "500", "loom-symbol-medium.woff2")


def write(scene: Scene) -> str:
    """Return the whole SVG file as text ending in a newline."""
    writer = _Writer(scene)
    body = [line for item in scene.items for line in writer.item(item, "  ")]
    width, height = _number(scene.width_mm), _number(scene.height_mm)
    root = (
        f'<svg xmlns="http://www.w3.org/2000/svg" id="{writer.prefix}" width="{width}mm" height="{height}mm" '
        f'viewBox="0 0 {width} {height}" role="graphics-document" '
        f'aria-labelledby="{writer.prefix}-title" aria-describedby="{writer.prefix}-desc" '
        'text-rendering="geometricPrecision">'
    )
    head = [
        '<?xml version="1.0" encoding="UTF-8"?>',
        root,
        f'  <title id="{writer.prefix}-title">{_said(scene.title)}</title>',
        f'  <desc id="{writer.prefix}-desc">{_said(scene.description)}</desc>',
        f"  <style>{_style(scene, writer.prefix)}</style>",
    ]
    if writer.patterns:
        head += ["  <defs>", *(f"    {line}" for line in writer.patterns.values()), "  </defs>"]
    return "\n".join([*head, *body, "</svg>"]) + "\n"


class _Writer:
    """Turns items into lines of SVG and remembers the ids and patterns that it has given out."""

    def __init__(self, scene: Scene) -> None:
        self.prefix = _slug(scene.name)
        self.patterns: dict[Hatch, str] = {}
        self._used: Counter[str] = Counter()

    def item(self, item: Item, indent: str) -> list[str]:
        """Write one item, a group with all that is in it."""
        if not isinstance(item, Group):
            return [indent + self._mark(item)]
        about = f' data-about="{_said(item.about)}"' if item.about else ""
        head = f'{indent}<g id="{self._id(item)}" class="{_slug(item.role)}" role="group"{about}>'
        title = [f"{indent}  <title>{_said(item.title)}</title>"] if item.title else []
        inside = [line for inner in item.items for line in self.item(inner, indent + "  ")]
        return [head, *title, *inside, f"{indent}</g>"]

    def _id(self, group: Group) -> str:
        """Return an id that says what the group is; the second of a name gets a number."""
        name = "-".join(part for part in (self.prefix, _slug(group.role), _slug(group.about)) if part)
        self._used[name] += 1
        return name if self._used[name] == 1 else f"{name}--{self._used[name]}"

    def _mark(self, mark: Mark) -> str:
        """Write one primitive."""
        match mark:
            case Line():
                ends = _attributes(x1=mark.start[0], y1=mark.start[1], x2=mark.end[0], y2=mark.end[1])
                return f"<line{ends}{_stroke(mark.stroke)}/>"
            case Polyline():
                points = " ".join(f"{_number(x)},{_number(y)}" for x, y in mark.points)
                return f'<polyline points="{points}"{_stroke(mark.stroke)} stroke-linejoin="round" fill="none"/>'
            case Rect():
                place = _attributes(x=mark.x, y=mark.y, width=mark.width, height=mark.height)
                corner = _attributes(rx=mark.radius) if mark.radius else ""
                return f"<rect{place}{corner}{_stroke(mark.stroke)}{self._fill(mark.fill)}/>"
            case Circle():
                place = _attributes(cx=mark.centre[0], cy=mark.centre[1], r=mark.radius)
                return f"<circle{place}{_stroke(mark.stroke)}{self._fill(mark.fill)}/>"
            case Path():
                return f'<path d="{_path(mark)}" fill-rule="evenodd"{_stroke(mark.stroke)}{self._fill(mark.fill)}/>'
            case Text():
                return _text(mark)

    def _fill(self, fill: Fill) -> str:
        """Write a fill; a hatch becomes a pattern, made once."""
        if isinstance(fill, str):
            return f' fill="{fill or "none"}"'
        known = list(self.patterns)
        name = f"{self.prefix}-hatch-{(known.index(fill) if fill in known else len(known)) + 1}"
        if fill not in known:
            size = _attributes(width=fill.spacing_mm, height=fill.spacing_mm)
            ground = f'<rect{size} fill="{fill.ground}"/>' if fill.ground else ""
            line = _attributes(x1=0, y1=fill.spacing_mm / 2, x2=fill.spacing_mm, y2=fill.spacing_mm / 2)
            self.patterns[fill] = (
                f'<pattern id="{name}" patternUnits="userSpaceOnUse"{size} '
                f'patternTransform="rotate({_number(fill.angle_deg)})">{ground}'
                f"<line{line}{_stroke(Stroke(fill.colour, fill.width_mm))}/></pattern>"
            )
        return f' fill="url(#{name})"'


def _text(text: Text) -> str:
    """Write one text; one with characters of other fonts is told how long it must be."""
    place = _attributes(x=text.at[0], y=text.at[1], font_size=text.size_mm)
    anchor = "" if text.anchor is Anchor.START else f' text-anchor="{text.anchor}"'
    turn = f' transform="rotate({_number(text.turn_deg)} {_number(text.at[0])} {_number(text.at[1])})"'
    fit = f'{_attributes(textLength=text.width_mm)} lengthAdjust="spacingAndGlyphs"'
    full = f"<title>{_said(text.full)}</title>" if text.full and text.full != text.text else ""
    return (
        f'<text class="{text.face}"{place}{anchor} fill="{text.colour}"'
        f"{turn if text.turn_deg else ''}{'' if is_ours(text.text, text.face) else fit}>"
        f"{full}{_said(text.text)}</text>"
    )


def _path(path: Path) -> str:
    """Write the outlines of a path, each one closed."""
    words: list[str] = []
    for step in path.steps:
        end = f"{_number(step.to[0])} {_number(step.to[1])}"
        if isinstance(step, Move):
            words.append(f"{'Z ' if words else ''}M {end}")
        elif isinstance(step, Arc):
            radius = _number(step.radius)
            words.append(f"A {radius} {radius} 0 0 {int(step.clockwise)} {end}")
        else:
            words.append(f"L {end}")
    return " ".join([*words, "Z"])


def _stroke(stroke: Stroke | None) -> str:
    """Write a stroke."""
    if stroke is None:
        return ""
    dash = f' stroke-dasharray="{" ".join(map(_number, stroke.dash_mm))}"' if stroke.dash_mm else ""
    ends = ' stroke-linecap="round"' if stroke.round_ends else ""
    return f' stroke="{stroke.colour}"{_attributes(stroke_width=stroke.width_mm)}{dash}{ends}'


def _attributes(**values: float) -> str:
    """Write number attributes; an underscore in a name stands for a hyphen."""
    return "".join(f' {name.replace("_", "-")}="{_number(value)}"' for name, value in values.items())


def _number(value: float) -> str:
    """Write a number with at most three decimals (1 µm on paper) and no trailing zeros."""
    text = f"{value:.3f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def _said(text: str) -> str:
    """Return a text as it can stand in the file."""
    return escape(clean(text))


def _slug(text: str) -> str:
    """Return the letters and digits of a text, joined by hyphens, fit for an id."""
    return re.sub(r"[^A-Za-z0-9]+", "-", text).strip("-").lower()


def _style(scene: Scene, prefix: str) -> str:
    """Write the style sheet with the fonts that this scene uses, as data; its rules reach this drawing only."""
    texts = scene.texts()
    used = [face for face in Face if any(text.face is face for text in texts)]
    needs_symbols = any(not is_ours(text.text, text.face, alone=True) for text in texts)
    shipped = [_FAMILIES[face] for face in used] + ([_SYMBOL] if needs_symbols else [])
    rules = [
        f"@font-face{{font-family:'{family}';font-weight:{weight};"
        f"src:url(data:font/woff2;base64,{_font(file)})format('woff2')}}"
        for family, weight, file in shipped
    ]
    for face in used:
        family, weight, _ = _FAMILIES[face]
        rules.append(f"#{prefix} .{face}{{font-family:'{family}','Loom Symbol',sans-serif;font-weight:{weight}}}")
    return "".join(rules)


@cache
def _font(file: str) -> str:
    """Read a shipped font as base64."""
    return base64.b64encode((files("loomwright") / "data" / "fonts" / file).read_bytes()).decode("ascii")
