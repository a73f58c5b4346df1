"""Read one part file: a class of parts with its sockets, its sourced values, and what its feed should be."""

from __future__ import annotations

from loomwright.catalogue.part_terms import WORD, part_kinds, value_names
from loomwright.catalogue.protection_curve import TripCurve, trip_curve, trip_curve_kinds
from loomwright.findings import UnreadableInputError
from loomwright.model.mark import Mark
from loomwright.model.part import Part, Role, Socket, TripPoint, Valued
from loomwright.robotfile.forms.leaves import Branch, Faults, Leaf, Row, plain
from loomwright.robotfile.marked.yaml_tree import read_tree
from loomwright.robotfile.parts.part_fields import Fields, above_zero, did_you_mean
from loomwright.robotfile.parts.part_ports import PartFacts, read_sockets
from loomwright.units.quantity import Dimension
from loomwright.wording import quoted

PART_KEYS = (
    *("title", "source", "family", "sockets", "values", "wants", "fed by", "trip curve", "jumper", "size", "notes"),
)
_VALUE_KEYS = ("value", "source", "note", "assumed")
_WANTS_KEYS = ("protection", "group", "exactly", "source")
_CURVE_KEYS = ("points", "source", "assumed")
_POINT_KEYS = ("at", "at least", "at most")


def read_part(data: bytes, *, part_id: str, file: str) -> Part:
    """Read the bytes of one part file; `part_id` follows from its path, `file` is its name in faults.

    Raises
    ------
    UnreadableInputError
        With the first fault of YAML itself, or with every fault of the content.
    """
    root = plain(read_tree(data, file=file))
    faults = Faults()
    part = _part(Fields(root, faults, what="a part file", keys=PART_KEYS), part_id)
    if faults.found:
        in_order = sorted(dict.fromkeys(faults.found), key=lambda f: (f.place.line, f.place.column, f.code))
        raise UnreadableInputError(in_order)
    return part


def _part(fields: Fields, part_id: str) -> Part:
    kind = part_id.split("/", 1)[0]
    known = part_kinds().get(kind)
    if known is None:
        fix = f"Move the file. {did_you_mean(kind, tuple(part_kinds()))}"
        fields.fault_here("unknown-kind", f"The folder {quoted(kind)} is no kind of part.", fix)
    if "title" not in fields:
        fields.fault_here("missing-key", "This part has no title.", "Write `title: Brushed motor, 340 W class`.")
    source = fields.text("source")
    facts = PartFacts(source, own_board=known is not None and known.own_board, family=fields.yes("family"))
    raw_sockets = fields.get("sockets")
    sockets = () if raw_sockets is None else read_sockets(raw_sockets, fields, facts)
    values = _values(fields, source)
    wants = _wants(fields, source)
    curve, assumed = _trip_curve(fields, source, values)
    width_depth = fields.amounts("size", Dimension.LENGTH)
    if "size" in fields and len(width_depth) != 2:  # noqa: PLR2004  width and depth
        fields.fault_at_key("size", "bad-form", "A size has width and depth.", "Write `size: [75 mm, 35 mm]`.")
    return Part(
        id=part_id,
        title=fields.text("title"),
        sockets=sockets,
        values=values,
        family=facts.family,
        wants_protection_a=wants.amounts("protection", Dimension.CURRENT) if wants else (),
        wants_protection_source=(wants.text("source") or source) if wants else "",
        wants_group=wants.text("group") if wants else "",
        fed_by=fields.choices("fed by", tuple(part_kinds())) or ("block",),
        required_protection=wants.yes("exactly") if wants else False,
        trip_curve=curve.points if curve else (),
        curve_assumed=assumed,
        curve_source=curve.source if curve else "",
        jumper=_jumper(fields, sockets),
        size_m=(width_depth[0], width_depth[1]) if len(width_depth) == 2 else None,  # noqa: PLR2004
        notes=(*fields.texts("notes"), *(curve.rests_on if curve else ())),
        mark=Mark(fields.spot.mark.file, 1, 1),
    )


def _wants(fields: Fields, default: str) -> Fields | None:
    raw = fields.get("wants")
    if raw is None:
        return None
    wants = Fields(raw, fields.faults, what="`wants`", keys=_WANTS_KEYS)
    if "protection" in wants and not (wants.text("source") or default):
        fix = "Write `source: ...` here or for the whole part."
        wants.fault_at_key("protection", "no-source", "Nobody says why the feed should carry this.", fix)
    return wants


def _values(fields: Fields, default: str) -> dict[str, Valued]:
    raw = fields.get("values")
    if raw is None:
        return {}
    names = tuple(value_names())
    listed = Fields(raw, fields.faults, what="the values of a part", keys=names)
    read = {name: _value(listed, name, default) for name in (raw if isinstance(raw, Branch) else ()) if name in names}
    return {name: value for name, value in read.items() if value is not None}


def _value(listed: Fields, name: str, default: str) -> Valued | None:
    raw = listed.get(name)
    source, note, assumed = default, "", False
    if isinstance(raw, Branch):
        long = Fields(raw, listed.faults, what="a value", keys=_VALUE_KEYS)
        source, note, assumed = long.text("source") or default, long.text("note"), long.yes("assumed")
        raw = long.get("value")
        if raw is None:
            long.fault_here("missing-key", f"The value of {quoted(name)} is missing.", "Write `value: ...`.")
    if not source:
        fix = "Write `{value: ..., source: ...}`, or `source: ...` for the whole part; `from memory` is allowed."
        listed.fault_at_key(name, "no-source", f"Nobody says where {quoted(name)} is known from.", fix)
    if raw is None:
        return None
    dimension = value_names()[name].dimension
    if dimension == WORD:
        word = listed.read(raw, lambda text: " ".join(text.split()))
        return None if word is None else Valued(word, dimension, source, note, assumed)
    amount = listed.read(raw, lambda text: above_zero(text, Dimension(dimension)))
    return None if amount is None else Valued(amount, dimension, source, note, assumed)


def _trip_curve(fields: Fields, default: str, values: dict[str, Valued]) -> tuple[TripCurve | None, bool]:
    raw = fields.get("trip curve")
    if raw is None:
        return None, False
    if "rating" not in values:
        fix = "Write `values: {rating: 40 A}`."
        fields.fault_at_key("trip curve", "missing-key", "A trip curve counts in ratings, and there is none.", fix)
    if isinstance(raw, (Leaf, Row)):
        name = fields.choice("trip curve", trip_curve_kinds())
        return (trip_curve(name) if name else None), False
    own = Fields(raw, fields.faults, what="a trip curve", keys=_CURVE_KEYS)
    source = own.text("source") or default
    if not source:
        own.fault_here("no-source", "Nobody says where this curve is known from.", "Write `source: ...`.")
    points = _points(own)
    try:
        return TripCurve("own curve", points, source), own.yes("assumed")
    except ValueError:
        fix = "Sort the points by current; more current never takes longer."
        own.fault_here("bad-curve", "The points of this curve do not run one way.", fix)
        return None, False


def _points(own: Fields) -> tuple[TripPoint, ...]:
    raw = own.get("points")
    if not isinstance(raw, Row):
        own.fault_here("missing-key", "This curve has no points.", "Write `points: [{at: 200 %, at least: 5 s}]`.")
        return ()
    points = []
    for item in raw:
        point = Fields(item, own.faults, what="a point of a curve", keys=_POINT_KEYS)
        at = point.amount("at", Dimension.RATIO)
        least, most = point.amount("at least", Dimension.TIME), point.amount("at most", Dimension.TIME)
        if "at" not in point or not ("at least" in point or "at most" in point):
            fix = "Write `{at: 200 %, at least: 5 s, at most: 30 s}`."
            point.fault_here("missing-key", "A point has a current in percent of the rating, and a time.", fix)
        elif at is not None:
            points.append(TripPoint(at, least, most))
    return tuple(points)


def _jumper(fields: Fields, sockets: tuple[Socket, ...]) -> tuple[str, str] | None:
    if "jumper" not in fields:
        return None
    ends = fields.texts("jumper")
    known = [socket.name for socket in sockets if socket.role is Role.JUMPER]
    if len(ends) != 2 or any(end not in known for end in ends):  # noqa: PLR2004  a jumper has two ends
        fix = "Write `jumper: [L1, L2]` with the names of two sockets of role `jumper`."
        fields.fault_at_key("jumper", "bad-jumper", "A jumper joins two of the part's own sockets.", fix)
        return None
    return ends[0], ends[1]
