"""Invented sheets that the tests of the Plate draw: a small board, a robot with everything, a crowd, two plates."""

from __future__ import annotations

from dataclasses import replace

from loomwright.documents.plate.sheet import (
    PlateArea,
    PlateBundle,
    PlateDevice,
    PlateGrommet,
    PlateLeg,
    PlatePanel,
    PlateRun,
    PlateSheet,
    PlateStretch,
    PlateTerminal,
    PlateTrunk,
    PlateWire,
    Spot,
)
from loomwright.layout.result import Course


def box(right: float, forward: float, wide: float, deep: float) -> tuple[Spot, ...]:
    """Return the corners of a rectangle around a place [m]."""
    half = (wide / 2, deep / 2)
    signs = ((-1, 1), (1, 1), (1, -1), (-1, -1))
    return tuple((right + x * half[0], forward + y * half[1]) for x, y in signs)


def device(
    name: str, right: float, forward: float, wide: float = 0.08, deep: float = 0.05, **also: object
) -> PlateDevice:
    """Make a device at a place."""
    return PlateDevice(name, box(right, forward, wide, deep), called=name, **also)  # type: ignore[arg-type]


def outline(wide: float, deep: float) -> tuple[Spot, ...]:
    """Return the outline of a plate whose left rear corner is at 0."""
    return ((0.0, 0.0), (wide, 0.0), (wide, deep), (0.0, deep))


def pair(number: int, thick: float = 3.9) -> tuple[PlateWire, ...]:
    """Make a red and a black wire."""
    return (PlateWire(f"W{number}", "RD", thick), PlateWire(f"W{number + 1}", "BK", thick))


def bundle(wires: int, **also: object) -> PlateBundle:
    """Make what is told of a bundle 12 mm thick."""
    plain: dict[str, object] = {"wires": wires, "diameter_m": 0.012, "length_m": 0.2}
    return PlateBundle(**(plain | also))  # type: ignore[arg-type]


def board() -> PlateSheet:
    """Make a board of 40 by 30 cm with a block, two motors and one trunk: both motors' wires leave to the left."""
    runs = tuple(
        PlateRun(name, pair(number), (PlateLeg(f"out {name}"), *legs, PlateLeg(f"drop {name}")))
        for name, number, legs in (
            ("near", 1, (PlateLeg("centre 1"),)),
            ("far", 3, (PlateLeg("centre 1"), PlateLeg("centre 2"))),
        )
    )
    stretches = (
        PlateStretch(
            "centre 1",
            ((0.2, 0.1), (0.2, 0.18)),
            ("near", "far"),
            Course.TRUNK,
            "centre",
            bundle=bundle(4, ties=((0.2, 0.12), (0.2, 0.16)), length_m=0.08),
        ),
        PlateStretch(
            "centre 2", ((0.2, 0.18), (0.2, 0.26)), ("far",), Course.TRUNK, "centre", bundle=bundle(2, length_m=0.08)
        ),
        PlateStretch("out near", ((0.16, 0.06), (0.2, 0.1)), ("near",)),
        PlateStretch("out far", ((0.24, 0.06), (0.2, 0.1)), ("far",)),
        PlateStretch("drop near", ((0.2, 0.18), (0.12, 0.18)), ("near",)),
        PlateStretch("drop far", ((0.2, 0.26), (0.12, 0.26)), ("far",)),
    )
    return PlateSheet(
        robot="Rockpool",
        build="",
        revision="8c41f0e2",
        panels=(PlatePanel(outline=outline(0.4, 0.3)),),
        devices=(
            device("block", 0.2, 0.04, 0.12, 0.04, kind="block"),
            device("left motor", 0.08, 0.18, kind="motor"),
            device("right motor", 0.08, 0.26, kind="motor"),
        ),
        terminals=(
            PlateTerminal("block", "H1", (0.16, 0.06), "A", slot=True),
            PlateTerminal("block", "H2", (0.24, 0.06), "A", slot=True),
            PlateTerminal("left motor", "supply", (0.12, 0.18), "B"),
            PlateTerminal("right motor", "supply", (0.12, 0.26), "B"),
        ),
        trunks=(PlateTrunk("centre", ((0.2, 0.1), (0.2, 0.26))),),
        stretches=stretches,
        runs=runs,
        proof="proved the best possible",
    )


def everything() -> PlateSheet:
    """Make a robot of 64 by 70 cm with a keep-out, a moving tower, a proposed link, a loose run, and things high up."""
    names = ("left front", "left rear", "right front", "lift", "arm", "upper wheel", "lower wheel", "radio", "data")
    runs = [
        PlateRun(name, pair(10 + 2 * i), (PlateLeg("tower"), PlateLeg("link 1", against=True)))
        for i, name in enumerate(names[:-1])
    ]
    data = (PlateWire("W40", "YE", 1.6), PlateWire("W41", "GN", 1.6), PlateWire("W42", "RDBK", 1.6), PlateWire("W43"))
    runs.append(PlateRun("data", data, (PlateLeg("tower"),)))
    runs.append(PlateRun("beacon", pair(50, 1.6), (PlateLeg("loose"),)))
    order = tuple(run.name for run in runs[:-1])
    ties = tuple((0.32, 0.25 + 0.09 * i) for i in range(4))
    stretches = (
        PlateStretch(
            "tower",
            ((0.32, 0.2), (0.32, 0.56)),
            order,
            Course.TRUNK,
            "lift tower",
            bundle=bundle(20, ties=ties, moving=True, slack_m=0.62, fill=0.8, length_m=0.36),
        ),
        PlateStretch(
            "link 1",
            ((0.55, 0.6), (0.4, 0.6), (0.32, 0.56)),
            order[:-1],
            Course.LINK,
            "link 1",
            bundle=bundle(16, bend_m=0.04, length_m=0.25),
        ),
        PlateStretch("loose", ((0.12, 0.1), (0.5, 0.16)), ("beacon",), Course.LOOSE),
    )
    devices = (
        device("block", 0.32, 0.24, 0.15, 0.2, kind="block"),
        device("battery", 0.32, 0.06, 0.18, 0.075, kind="battery"),
        device("lower wheel", 0.42, 0.42, above_m=0.42),
        device("upper wheel", 0.42, 0.42, above_m=0.5),
        device("arm", 0.32, 0.56, above_m=0.4, doubt="guessed"),
        device("compass", 0.32, 0.54, 0.045, 0.035, above_m=0.4),
        device("left front", 0.06, 0.52, 0.06, 0.06, kind="motor"),
        device("robot controller", 0.52, 0.36, 0.15, 0.15, kind="computer"),
    )
    opening = PlateArea("intake opening", box(0.5, 0.66, 0.2, 0.06))
    return PlateSheet(
        robot="Tidepool",
        build="competition build",
        revision="8c41f0e2",
        panels=(PlatePanel(outline=outline(0.64, 0.7), keep_outs=(opening,)),),
        devices=devices,
        terminals=(PlateTerminal("block", "H1", (0.245, 0.3), "A", slot=True), PlateTerminal("arm", "x", (0.28, 0.56))),
        trunks=(
            PlateTrunk("lift tower", ((0.32, 0.2), (0.32, 0.56)), remarks=("near swarf",)),
            PlateTrunk("link 1", ((0.55, 0.6), (0.4, 0.6), (0.32, 0.56)), proposed=True),
            PlateTrunk("left rail", ((0.09, 0.18), (0.09, 0.64))),
        ),
        stretches=stretches,
        runs=tuple(runs),
        grommets=(PlateGrommet((0.32, 0.5), "sharp edge"),),
        missing=(("camera", "no place is told"), ("horn", "no place is told"), ("pump", "no way leads there")),
        crossings=3,
        tie_every_m=0.09,
        forced=2,
    )


def two_plates() -> PlateSheet:
    """Make a base plate and a smaller upper one, with one run that leads from one to the other."""
    sheet = board()
    upper = PlatePanel("upper deck", 0.3, outline(0.3, 0.2))
    high = device("radio", 0.1, 0.1, plate=1)
    way = PlateStretch("up", ((0.2, 0.26), (0.1, 0.1)), ("far",), plate=1)
    far = replace(sheet.runs[1], legs=(*sheet.runs[1].legs[:-1], PlateLeg("up")))
    return replace(
        sheet,
        panels=(*sheet.panels, upper),
        devices=(*sheet.devices, high),
        stretches=(*(s for s in sheet.stretches if s.name != "drop far"), way),
        runs=(sheet.runs[0], far),
    )


def crowd(count: int = 60) -> PlateSheet:
    """Make many devices with long names in one corner, more than there is room to name."""
    devices = tuple(
        device(f"the motor number {i} of the upper stage", 0.05 + (i % 6) * 0.004, 0.05 + (i // 6) * 0.004)
        for i in range(count)
    )
    return PlateSheet("Crowd", "", "", panels=(PlatePanel(outline=outline(0.2, 0.2)),), devices=devices)


def thick_trunk(wires: int) -> PlateSheet:
    """Make one trunk with so many wires, two by two."""
    runs = tuple(PlateRun(f"run {i}", pair(2 * i + 1), (PlateLeg("centre"),)) for i in range(wires // 2))
    stretch = PlateStretch(
        "centre",
        ((0.3, 0.1), (0.3, 0.5)),
        tuple(run.name for run in runs),
        Course.TRUNK,
        "centre",
        bundle=bundle(wires, length_m=0.4, diameter_m=0.03),
    )
    return PlateSheet(
        "Thick",
        "",
        "",
        panels=(PlatePanel(outline=outline(0.6, 0.6)),),
        trunks=(PlateTrunk("centre", stretch.path),),
        stretches=(stretch,),
        runs=runs,
    )
