"""The sockets of a part file: slots, supplies, outputs, bus and signal sockets, each with its ports."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from loomwright.catalogue.part_terms import port_classes
from loomwright.model.part import Polarity, Port, PortKind, Role, Socket
from loomwright.robotfile.forms.facts import NotReadableError
from loomwright.robotfile.forms.leaves import Branch, Leaf, Raw, Row
from loomwright.robotfile.parts.part_fields import Fields, did_you_mean
from loomwright.units.quantity import Dimension
from loomwright.wording import quoted

SOCKET_KEYS = (
    *("role", "ports", "held by", "group", "use", "ratings", "protection", "limit", "volts", "terminator", "face"),
    "source",
)
HOLD_KEYS = (
    *("like", "kind", "takes", "strip", "stud", "tab", "lead", "length", "doubled end", "friction only"),
    *("on board", "name", "source"),
)
_ROLES = tuple(str(role) for role in Role)
_KINDS = tuple(str(kind) for kind in PortKind)
_CONDUCTORS = tuple(str(polarity) for polarity in Polarity)
_FACES = ("left", "right", "front", "back")
_TERMINATORS = ("built in", "switch")
_NEVER_ON_BOARD = (PortKind.LEAD, PortKind.FITTED, PortKind.SOCKET, PortKind.POST)
_WITH_STUD = (PortKind.STUD, PortKind.POST, PortKind.BARRIER)
_PATTERN = re.compile(r"(?P<stem>.*?)(?P<first>\d+)\.\.(?P<again>.*?)(?P<last>\d+)")
_MOST_SOCKETS = 64
_PAIRS = {
    Role.BUS_IN: frozenset({Polarity.BUS_HIGH, Polarity.BUS_LOW}),
    Role.BUS_OUT: frozenset({Polarity.BUS_HIGH, Polarity.BUS_LOW}),
}


@dataclass(frozen=True, slots=True)
class PartFacts:
    """What holds for every socket of one part: its default source, its board, whether it is a family."""

    source: str
    own_board: bool
    family: bool


def read_sockets(raw: Raw, part: Fields, facts: PartFacts) -> tuple[Socket, ...]:
    """Read every socket; a name such as "H1..H6" stands for six of them."""
    if not isinstance(raw, Branch):
        part.fault("bad-form", raw, "Sockets are written by name.", "Write `supply: {role: supply, ...}`.")
        return ()
    sockets: list[Socket] = []
    for name, held in raw.items():
        names = _names(name, raw, part)
        made = _socket(held, part, facts)
        for each in names:
            if any(socket.name == each for socket in sockets):
                mark = raw.key_marks[name]
                what = f"There are two sockets called {quoted(each)}."
                part.faults.add("twice", None, what, "Give one another name.", mark=mark, path=f"sockets.{name}")
            sockets.append(replace(made, name=each))
    return tuple(sockets)


def _names(pattern: str, raw: Branch, part: Fields) -> Sequence[str]:
    if ".." not in pattern:
        return (pattern,)
    found = _PATTERN.fullmatch(pattern)
    first, last = (int(found["first"]), int(found["last"])) if found else (0, -1)
    alike = found is not None and found["again"] in ("", found["stem"])
    if found is None or not alike or not first < last < first + _MOST_SOCKETS:
        part.faults.add(
            "bad-pattern",
            None,
            f"I can't count through {quoted(pattern)}.",
            f"Write a pattern such as `H1..H6` or `valve 0..15`, for at most {_MOST_SOCKETS} sockets.",
            mark=raw.key_marks[pattern],
            path=f"sockets.{pattern}",
        )
        return (pattern,)
    return [f"{found['stem']}{number}" for number in range(first, last + 1)]


def _socket(raw: Raw, part: Fields, facts: PartFacts) -> Socket:
    fields = Fields(raw, part.faults, what="a socket", keys=SOCKET_KEYS)
    role = fields.choice("role", _ROLES)
    if "role" not in fields:
        fields.fault_here("missing-key", "This socket has no role.", "Write `role: supply`, or what else it does.")
    ports = tuple(_ports(fields, facts))
    ratings = fields.amounts("ratings", Dimension.CURRENT)
    protection = fields.text("protection")
    if bool(ratings) != bool(protection):
        fields.fault_here(
            "half-protection",
            "An outlet with its own protection names both its ratings and the parts that hold them.",
            "Write `ratings: [40 A, 30 A]` and `protection: breaker/snap-action`.",
        )
    socket = Socket(
        name="",
        role=Role(role) if role else Role.SUPPLY,
        ports=ports,
        group=fields.text("group"),
        use=fields.text("use"),
        ratings_a=ratings,
        protection=protection,
        limit_a=fields.amount("limit", Dimension.CURRENT),
        volts=fields.amount("volts", Dimension.VOLTAGE),
        terminator=fields.choice("terminator", _TERMINATORS),
        face=fields.choice("face", _FACES),
        source=fields.text("source") or facts.source,
    )
    _look_at_conductors(socket, fields, facts)
    return socket


def _look_at_conductors(socket: Socket, fields: Fields, facts: PartFacts) -> None:
    carried = {port.polarity for port in socket.ports}
    wanted = _PAIRS.get(socket.role)
    if wanted is not None and carried and carried != wanted:
        fields.fault_here("half-a-pair", "A bus socket has one pair of ports.", "Write `ports: [bus high, bus low]`.")
    if not carried and not facts.family and "ports" not in fields:
        fields.fault_here("missing-key", "This socket has no ports.", "Write `ports: [plus, minus]`.")
    if not socket.source:
        fix = "Write `source: ...` here or for the whole part."
        fields.fault_here("no-source", "Nobody says where this socket is known from.", fix)


def _ports(fields: Fields, facts: PartFacts) -> Iterator[Port]:
    raw = fields.get("ports")
    if raw is None:
        return
    if isinstance(raw, Branch):
        for conductor, held in raw.items():
            polarity = fields.read(Leaf(conductor, raw.key_marks[conductor], f"{raw.path}.{conductor}"), _conductor)
            if polarity is not None:
                yield _port(polarity, held, fields, facts)
        return
    held_by = fields.get("held by")
    conductors = fields.each("ports", _conductor)
    if len(set(conductors)) < len(conductors):
        fix = "Name each conductor once; two places for one conductor are two sockets."
        fields.fault_at_key("ports", "twice", "One conductor stands here twice.", fix)
    for polarity in conductors:
        if held_by is None:
            fix = "Write `held by: small lever clamp`."
            fields.fault_here("missing-key", "Nobody says how the wires are held.", fix)
            return
        yield _port(polarity, held_by, fields, facts)


def _conductor(text: str) -> Polarity:
    tidy = " ".join(text.split())
    if tidy not in _CONDUCTORS:
        fix = did_you_mean(tidy, _CONDUCTORS)
        raise NotReadableError("unknown-conductor", f"{quoted(tidy)} is no conductor.", fix)
    return Polarity(tidy)


def _port(polarity: Polarity, raw: Raw, socket: Fields, facts: PartFacts) -> Port:
    if isinstance(raw, (Leaf, Row)):
        name = socket.read(raw, _class_name)
        return _as_class(name or "fitted plug", polarity, facts)
    fields = Fields(raw, socket.faults, what="what holds a wire", keys=HOLD_KEYS)
    like = fields.read(held, _class_name) if (held := fields.get("like")) is not None else None
    kind = fields.choice("kind", _KINDS) or (str(PortKind.LEAD) if "lead" in fields else "")
    if like is None and not kind:
        if "like" not in fields and "kind" not in fields:
            fix = "Write `like: small lever clamp`, `kind: lever clamp`, or `lead: 12 AWG`."
            fields.fault_here("missing-key", "Nobody says how the wire is held.", fix)
        kind = str(PortKind.FITTED)
    port = _as_class(like, polarity, facts) if like else Port(str(polarity), PortKind(kind), polarity)
    port = _changed(port, fields, facts)
    _look_at_hold(port, fields, facts)
    return port


def _class_name(text: str) -> str:
    tidy = " ".join(text.split())
    if tidy not in port_classes():
        fix = did_you_mean(tidy, tuple(port_classes()))
        raise NotReadableError("unknown-hold", f"{quoted(tidy)} is no usual way to hold a wire.", fix)
    return tidy


def _as_class(name: str, polarity: Polarity, facts: PartFacts) -> Port:
    held = port_classes()[name]
    return Port(
        name=str(polarity),
        kind=held.kind,
        polarity=polarity,
        thinnest=held.thinnest,
        thickest=held.thickest,
        strip_m=held.strip_m,
        stud_m=held.size_m,
        doubled_end=held.doubled_end,
        friction_only=held.friction_only,
        on_board=_on_board(held.kind, facts),
        source=held.source,
    )


def _changed(port: Port, fields: Fields, facts: PartFacts) -> Port:
    """Return the port with everything that the mapping states for itself."""
    thinnest, thickest = fields.gauges("takes")
    strip_m = fields.amount("strip", Dimension.LENGTH)
    size_m = fields.amount("stud", Dimension.LENGTH) or fields.amount("tab", Dimension.LENGTH)
    return replace(
        port,
        name=fields.text("name") or port.name,
        thinnest=thinnest or port.thinnest,
        thickest=thickest or port.thickest,
        strip_m=port.strip_m if strip_m is None else strip_m,
        stud_m=port.stud_m if size_m is None else size_m,
        lead_gauge=fields.gauge("lead"),
        lead_length_m=fields.amount("length", Dimension.LENGTH),
        doubled_end=fields.yes("doubled end", otherwise=port.doubled_end),
        friction_only=fields.yes("friction only", otherwise=port.friction_only),
        on_board=fields.yes("on board", otherwise=_on_board(port.kind, facts)),
        source=fields.text("source") or facts.source or port.source,
    )


def _look_at_hold(port: Port, fields: Fields, facts: PartFacts) -> None:
    is_lead = port.kind is PortKind.LEAD
    for key in ("lead", "length"):
        if key in fields and not is_lead:
            what = f"`{key}` belongs to a captive lead, and this is a {port.kind}."
            fields.fault_at_key(key, "not-a-lead", what, "Take it out, or write `kind: captive lead`.")
    if is_lead and "lead" not in fields and not facts.family:
        fields.fault_here("missing-key", "This captive lead has no gauge.", "Write `lead: 12 AWG`.")
    for key, kinds in (("stud", _WITH_STUD), ("tab", (PortKind.BLADE,))):
        if key in fields and port.kind not in kinds:
            fields.fault_at_key(key, "no-stud", f"A {port.kind} has no {key}.", "Take it out, or correct the kind.")


def _on_board(kind: PortKind, facts: PartFacts) -> bool:
    return facts.own_board and kind not in _NEVER_ON_BOARD
