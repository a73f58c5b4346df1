"""Part files with one slip each, and every word that is said of it."""

from __future__ import annotations

GOOD = """\
title: Our controller
source: data sheet, page 2
fed by: [block, regulator]
wants: {protection: [30 A, 20 A], group: light, exactly: yes}
values:
  draw: 50 mA
  recovery time: {value: 2 s, source: measured, note: on the bench, assumed: no}
sockets:
  supply: {role: supply, ports: [plus, minus], held by: small lever clamp, face: left}
  motor:
    role: motor output
    ports: {plus: {lead: 14 AWG, length: 20 cm, name: M+}, minus: {lead: 14 AWG, length: 20 cm}}
  out 1..3:
    role: outlet
    ports: [plus, minus]
    held by: {like: push clamp, takes: 22 to 18 AWG, strip: 9 mm, friction only: yes, on board: no}
    volts: 5 V
    limit: 2 A
size: [75 mm, 3.5 cm]
notes: [one, two]
"""

PLUS_LEAD = "{lead: 14 AWG, length: 20 cm, name: M+}"
SOURCE_FIX = "Write `source: ...` here or for the whole part."
ALL_KEYS = "title, source, family, sockets, values, wants, fed by, trip curve, jumper, size and notes"

Said = tuple[str, str, str, str]

# Each slip: a piece of the good file, what stands there instead, and what is said: place, code, what, fix.
SLIPS: dict[str, tuple[str, str, list[Said]]] = {
    "no source at all": (
        "source: data sheet, page 2\n",
        "",
        [
            ("3:9  wants.protection", "no-source", "Nobody says why the feed should carry this.", SOURCE_FIX),
            (
                "5:3  values.draw",
                "no-source",
                "Nobody says where `draw` is known from.",
                "Write `{value: ..., source: ...}`, or `source: ...` for the whole part; `from memory` is allowed.",
            ),
            ("8:11  sockets.supply", "no-source", "Nobody says where this socket is known from.", SOURCE_FIX),
            ("10:5  sockets.motor", "no-source", "Nobody says where this socket is known from.", SOURCE_FIX),
            ("13:5  sockets.out 1..3", "no-source", "Nobody says where this socket is known from.", SOURCE_FIX),
        ],
    ),
    "wrong unit": (
        "draw: 50 mA",
        "draw: 50 mV",
        [
            (
                "6:9  values.draw",
                "bad-value",
                "`50 mV` is a voltage, and a current belongs here.",
                "Write `50 A` or `50 mA`.",
            )
        ],
    ),
    "nothing at all": (
        "limit: 2 A",
        "limit: 0 A",
        [
            (
                "18:12  sockets.out 1..3.limit",
                "bad-value",
                "`0 A` is nothing.",
                "Write an amount above zero, or leave it out.",
            )
        ],
    ),
    "one conductor twice": (
        "ports: [plus, minus], held",
        "ports: [plus, plus], held",
        [
            (
                "9:26  sockets.supply.ports",
                "twice",
                "One conductor stands here twice.",
                "Name each conductor once; two places for one conductor are two sockets.",
            )
        ],
    ),
    "no value": (
        "draw: 50 mA",
        "draw: {source: data sheet}",
        [("6:9  values.draw", "missing-key", "The value of `draw` is missing.", "Write `value: ...`.")],
    ),
    "length of a clamp": (
        PLUS_LEAD,
        "{like: push clamp, length: 20 cm}",
        [
            (
                "12:38  sockets.motor.ports.plus.length",
                "not-a-lead",
                "`length` belongs to a captive lead, and this is a push clamp.",
                "Take it out, or write `kind: captive lead`.",
            )
        ],
    ),
    "lead without gauge": (
        PLUS_LEAD,
        "{kind: captive lead}",
        [
            (
                "12:19  sockets.motor.ports.plus",
                "missing-key",
                "This captive lead has no gauge.",
                "Write `lead: 12 AWG`.",
            )
        ],
    ),
    "stud of a clamp": (
        PLUS_LEAD,
        "{like: push clamp, stud: 6 mm}",
        [
            (
                "12:38  sockets.motor.ports.plus.stud",
                "no-stud",
                "A push clamp has no stud.",
                "Take it out, or correct the kind.",
            )
        ],
    ),
    "gauges backwards": (
        "takes: 22 to 18 AWG",
        "takes: 18 to 22 AWG",
        [
            (
                "16:40  sockets.out 1..3.held by.takes",
                "bad-value",
                "`18 to 22 AWG` runs backwards: the thinner wire comes first.",
                "Write `22 to 18 AWG`.",
            )
        ],
    ),
    "half a bus": (
        "  out 1..3:\n",
        "  bus: {role: bus in, ports: [bus high], held by: bus clamp}\n  out 1..3:\n",
        [
            (
                "13:8  sockets.bus",
                "half-a-pair",
                "A bus socket has one pair of ports.",
                "Write `ports: [bus high, bus low]`.",
            )
        ],
    ),
    "a socket twice": (
        "  out 1..3:\n",
        "  out 2: {role: outlet, ports: [plus], held by: push clamp}\n  out 1..3:\n",
        [("14:3  sockets.out 1..3", "twice", "There are two sockets called `out 2`.", "Give one another name.")],
    ),
    "wires held by nothing": (
        ", held by: small lever clamp",
        "",
        [
            (
                "9:11  sockets.supply",
                "missing-key",
                "Nobody says how the wires are held.",
                "Write `held by: small lever clamp`.",
            )
        ],
    ),
    "no role": (
        "role: supply, ",
        "",
        [
            (
                "9:11  sockets.supply",
                "missing-key",
                "This socket has no role.",
                "Write `role: supply`, or what else it does.",
            )
        ],
    ),
    "no ports": (
        "ports: [plus, minus], held by: small lever clamp, ",
        "",
        [("9:11  sockets.supply", "missing-key", "This socket has no ports.", "Write `ports: [plus, minus]`.")],
    ),
    "fed by a stranger": (
        "fed by: [block, regulator]",
        "fed by: blok",
        [("3:9  fed by", "unknown-word", "`blok` is not known here.", "Did you mean `block`?")],
    ),
    "half a size": (
        "size: [75 mm, 3.5 cm]",
        "size: 75 mm",
        [("19:1  size", "bad-form", "A size has width and depth.", "Write `size: [75 mm, 35 mm]`.")],
    ),
    "a jumper to nowhere": (
        "notes: [one, two]\n",
        "jumper: [L1, L2]\n",
        [
            (
                "20:1  jumper",
                "bad-jumper",
                "A jumper joins two of the part's own sockets.",
                "Write `jumper: [L1, L2]` with the names of two sockets of role `jumper`.",
            )
        ],
    ),
    "a curve of nothing": (
        "notes: [one, two]\n",
        "trip curve: blade-tiny\n",
        [
            (
                "20:1  trip curve",
                "missing-key",
                "A trip curve counts in ratings, and there is none.",
                "Write `values: {rating: 40 A}`.",
            ),
            (
                "20:13  trip curve",
                "unknown-word",
                "`blade-tiny` is not known here.",
                (
                    "Did you mean `blade-mini`? There are blade-large, blade-mini, blade-regular, breaker-push-pull, "
                    "glass and strip."
                ),
            ),
        ],
    ),
    "sockets without names": (
        "sockets:\n",
        "sockets: many\nvalves:\n",
        [
            ("8:10  sockets", "bad-form", "Sockets are written by name.", "Write `supply: {role: supply, ...}`."),
            (
                "9:1  valves",
                "unknown-key",
                "`valves` is no key of a part file.",
                f"Did you mean `values`? There are {ALL_KEYS}.",
            ),
        ],
    ),
}

MANY_SLIPS = """\
tittle: Our controller
source: data sheet
values:
  draw: 50
  stall torqe: 2 N m
sockets:
  supply: {role: suply, ports: [plus, mins], held by: small levr clamp}
  H1..K6: {role: outlet, ports: [plus], held by: push clamp, ratings: [40 A]}
"""

ALL_THAT_IS_SAID: list[Said] = [
    ("1:1", "missing-key", "This part has no title.", "Write `title: Brushed motor, 340 W class`."),
    (
        "1:1  tittle",
        "unknown-key",
        "`tittle` is no key of a part file.",
        f"Did you mean `title`? There are {ALL_KEYS}.",
    ),
    ("4:9  values.draw", "bad-value", "`50` has no unit.", "Write `50 A` or `50 mA`."),
    (
        "5:3  values.stall torqe",
        "unknown-key",
        "`stall torqe` is no key of the values of a part.",
        "Did you mean `stall torque` or `stall current`?",
    ),
    (
        "7:18  sockets.supply.role",
        "unknown-word",
        "`suply` is not known here.",
        (
            "Did you mean `supply`? There are supply, outlet, motor output, motor input, bus in, bus out, network, "
            "signal output, signal input and jumper."
        ),
    ),
    (
        "7:39  sockets.supply.ports[2]",
        "unknown-conductor",
        "`mins` is no conductor.",
        "Did you mean `minus`? There are plus, minus, phase a, phase b, phase c, bus high, bus low, signal and cable.",
    ),
    (
        "7:55  sockets.supply.held by",
        "unknown-hold",
        "`small levr clamp` is no usual way to hold a wire.",
        "Did you mean `small lever clamp`, `main lever clamp` or `large lever clamp`?",
    ),
    (
        "8:3  sockets.H1..K6",
        "bad-pattern",
        "I can't count through `H1..K6`.",
        "Write a pattern such as `H1..H6` or `valve 0..15`, for at most 64 sockets.",
    ),
    (
        "8:11  sockets.H1..K6",
        "half-protection",
        "An outlet with its own protection names both its ratings and the parts that hold them.",
        "Write `ratings: [40 A, 30 A]` and `protection: breaker/snap-action`.",
    ),
]
