"""Write a scene as typst code: the same primitives at the same places, with text that stays text in a PDF."""

from __future__ import annotations

import math
from typing import Final

from loomwright.documents.scene import (
    Anchor,
    Arc,
    Circle,
    Fill,
    Hatch,
    Line,
    Mark,
    Path,
    Point,
    Polyline,
    Rect,
    Scene,
    Straight,
    Stroke,
    Text,
)
from loomwright.documents.type import Face, clean, width_mm
from loomwright.documents.typst.code import colour, mm, point, printable, string

_FONTS: Final = {Face.TEXT: ('"Loom Text"', 400), Face.BOLD: ('"Loom Text"', 700), Face.TAG: ('"Loom Tag"', 600)}
_ORIGIN: Final = {Anchor.START: "left", Anchor.MIDDLE: "center", Anchor.END: "right"}
_SHARE: Final = {Anchor.START: 0.0, Anchor.MIDDLE: 0.5, Anchor.END: 1.0}
_QUARTER: Final = math.pi / 2
_CLOSE: Final = 'curve.close(mode:"straight")'


def scene_code(scene: Scene) -> str:
    """Return typst code for a block of the scene's size [mm] with all of its marks, later ones over earlier ones.

    Raises
    ------
    ValueError
        For a hatch at another angle than 0, 90, 45 or -45 degrees.
    """
    marks = "\n".join(f"#place(top+left{_mark(mark)})" for mark in scene.marks())
    size = f"width:{mm(scene.width_mm)},height:{mm(scene.height_mm)}"
    return f"#block({size},breakable:false,above:0pt,below:0pt)[\n{marks}\n]\n"


def _mark(mark: Mark) -> str:
    match mark:
        case Line():
            return f",line(start:{point(mark.start)},end:{point(mark.end)},{_stroke(mark.stroke)})"
        case Polyline():
            first, *others = mark.points
            steps = "".join(f",curve.line({point(each)})" for each in others)
            return f",curve(fill:none,{_stroke(mark.stroke, join=True)},curve.move({point(first)}){steps})"
        case Rect():
            size = f"width:{mm(mark.width)},height:{mm(mark.height)}"
            radius = f",radius:{mm(mark.radius)}" if mark.radius else ""
            return f"{_at((mark.x, mark.y))},rect({size}{radius},{_stroke(mark.stroke)},{_fill(mark.fill)})"
        case Circle():
            corner = (mark.centre[0] - mark.radius, mark.centre[1] - mark.radius)
            shown = f"{_stroke(mark.stroke)},{_fill(mark.fill)}"
            return f"{_at(corner)},circle(radius:{mm(mark.radius)},{shown})"
        case Path():
            return f',curve(fill-rule:"even-odd",{_stroke(mark.stroke)},{_fill(mark.fill)}{_outlines(mark)})'
        case Text():
            return _text(mark)


def _at(corner: Point) -> str:
    return f",dx:{mm(corner[0])},dy:{mm(corner[1])}"


def _text(text: Text) -> str:
    """Place a text by its baseline; our own measure of its width says where it begins."""
    said = printable(text.text)
    size_mm = text.size_mm * _share_of_room(said, text)
    left = text.at[0] - _SHARE[text.anchor] * width_mm(said, text.face, size_mm)
    family, weight = _FONTS[text.face]
    edges = 'top-edge:"baseline",bottom-edge:"baseline"'
    look = f'font:({family},"Loom Symbol"),weight:{weight},size:{mm(size_mm)},fill:{colour(text.colour)},{edges}'
    body = f"box(height:0pt,text({look},{string(text.text)}))"
    if text.turn_deg:
        body = f"rotate({text.turn_deg:.6g}deg,origin:{_ORIGIN[text.anchor]}+top,{body})"
    return f"{_at((left, text.at[1]))},{body}"


def _share_of_room(said: str, text: Text) -> float:
    """Tell how much smaller a text must be where squares for foreign signs are wider than the room it was given."""
    room_mm = width_mm(clean(text.text), text.face, text.size_mm)
    wide_mm = width_mm(said, text.face, text.size_mm)
    return min(1.0, room_mm / wide_mm) if room_mm and wide_mm else 1.0


def _stroke(stroke: Stroke | None, *, join: bool = False) -> str:
    if stroke is None:
        return "stroke:none"
    held = f'paint:{colour(stroke.colour)},thickness:{mm(stroke.width_mm)},cap:"{_cap(stroke)}"'
    joined = ',join:"round"' if join else ""
    dash = f",dash:(array:({','.join(map(mm, stroke.dash_mm))},),phase:0pt)" if stroke.dash_mm else ""
    return f"stroke:({held}{joined}{dash})"


def _cap(stroke: Stroke) -> str:
    return "round" if stroke.round_ends else "butt"


def _fill(fill: Fill) -> str:
    if isinstance(fill, Hatch):
        return f"fill:{_hatch(fill)}"
    return f"fill:{colour(fill) if fill else 'none'}"


def _hatch(hatch: Hatch) -> str:
    """Return a tile of parallel lines; a slanted one has a line through its middle and through two corners."""
    stroke = _stroke(Stroke(hatch.colour, hatch.width_mm))
    angle = (hatch.angle_deg + 90) % 180 - 90
    s = hatch.spacing_mm
    t = s * math.sqrt(2)
    lines, side = {
        0.0: ([((0.0, s / 2), (s, s / 2))], s),
        -90.0: ([((s / 2, 0.0), (s / 2, s))], s),
        45.0: ([((-t, -t), (2 * t, 2 * t)), ((0.0, -t), (2 * t, t)), ((-t, 0.0), (t, 2 * t))], t),
        -45.0: ([((-t, 2 * t), (2 * t, -t)), ((-t, t), (t, -t)), ((0.0, 2 * t), (2 * t, 0.0))], t),
    }.get(angle, ([], 0.0))
    if not lines:
        raise ValueError(f"a hatch at {hatch.angle_deg} degrees can't be written as a tile")
    ground = f"#place(top+left,rect(width:100%,height:100%,fill:{colour(hatch.ground)}))" if hatch.ground else ""
    drawn = "".join(f"#place(top+left,line(start:{point(a)},end:{point(b)},{stroke}))" for a, b in lines)
    return f"tiling(size:{point((side, side))})[{ground}{drawn}]"


def _outlines(path: Path) -> str:
    words: list[str] = []
    here: Point = path.steps[0].to
    for step in path.steps:
        if isinstance(step, Arc):
            words += [f"curve.cubic({point(a)},{point(b)},{point(c)})" for a, b, c in _cubics(here, step)]
        elif isinstance(step, Straight):
            words.append(f"curve.line({point(step.to)})")
        else:
            words += [_CLOSE] if words else []
            words.append(f"curve.move({point(step.to)})")
        here = step.to
    return "".join(f",{word}" for word in [*words, _CLOSE])


def _cubics(start: Point, arc: Arc) -> list[tuple[Point, Point, Point]]:
    """Return Bezier curves for an arc of less than half a turn, none of them longer than a quarter.

    A quarter by the usual (4/3) tan(angle/4) is off by at most 0.03 % of the radius.
    """
    chord = math.dist(start, arc.to)
    if not chord:
        return []
    radius = max(arc.radius, chord / 2)
    middle = ((start[0] + arc.to[0]) / 2, (start[1] + arc.to[1]) / 2)
    off = math.sqrt(max(0.0, radius**2 - (chord / 2) ** 2)) * (1 if arc.clockwise else -1)
    centre = (
        middle[0] - off * (arc.to[1] - start[1]) / chord,
        middle[1] + off * (arc.to[0] - start[0]) / chord,
    )
    begin = math.atan2(start[1] - centre[1], start[0] - centre[0])
    turn = 2 * math.asin(min(1.0, chord / 2 / radius)) * (1 if arc.clockwise else -1)
    pieces = math.ceil(abs(turn) / _QUARTER - 1e-9)
    step = turn / pieces
    reach = 4 / 3 * math.tan(step / 4) * radius
    found: list[tuple[Point, Point, Point]] = []
    for i in range(pieces):
        a, b = begin + i * step, begin + (i + 1) * step
        p = (centre[0] + radius * math.cos(a), centre[1] + radius * math.sin(a))
        q = (centre[0] + radius * math.cos(b), centre[1] + radius * math.sin(b))
        one = (p[0] - reach * math.sin(a), p[1] + reach * math.cos(a))
        other = (q[0] + reach * math.sin(b), q[1] - reach * math.cos(b))
        found.append((one, other, arc.to if i == pieces - 1 else q))
    return found
