"""Invented sheets that the tests of the Spine draw: a bench trainer, a competition robot, a large one."""

from __future__ import annotations

from loomwright.documents.spine.sheet import Guard, SpineBlock, SpineBranch, SpineSheet, SpineStation, SpineWire

COPPER_MM = {"4": 5.19, "6": 4.11, "10": 2.59, "12": 2.05, "14": 1.63, "16": 1.29, "18": 1.02, "22": 0.64}


def wire(number: int, colour: str, gauge: str, length: str) -> SpineWire:
    """Make a wire of an AWG size."""
    return SpineWire(f"W{number}", colour, f"{gauge} AWG", length, COPPER_MM[gauge])


def source(lead: str = "6") -> tuple[SpineStation, ...]:
    """Make battery, plug and main breaker with their leads."""
    plus, minus, short = (wire(1, "RD", lead, "30 cm"), wire(2, "BK", lead, "30 cm"), wire(3, "RD", lead, "25 cm"))
    return (
        SpineStation("Battery", "12 V, 18 Ah", plus=plus, minus=minus),
        SpineStation("Battery plug", "2 poles, 120 A", plus=short),
        SpineStation("Main breaker", "120 A", both=False),
    )


def branch(slot: str, load: str, number: int, **also: object) -> SpineBranch:
    """Make a motor branch on 12 AWG behind 40 A, changed by what else is said."""
    gauge = str(also.pop("gauge", "12"))
    length = str(also.pop("length", "85 cm"))
    plus = str(also.pop("plus_colour", "RD"))
    values: dict[str, object] = {
        "protection": "40 A breaker",
        "guard": Guard.BREAKER,
        "plus": wire(number, plus, gauge, length),
        "minus": wire(number + 1, "BK", gauge, length),
        "detail": "inline controller, brushless 500 W",
        "used": 0.58,
        "binds": "drop",
        "drop": "0.31 V",
    }
    return SpineBranch(slot=slot, load=load, **(values | also))  # type: ignore[arg-type]


def free(slot: str, protection: str = "up to 40 A") -> SpineBranch:
    """Make a free slot."""
    return SpineBranch(slot, protection, free=True)


def trainer() -> SpineSheet:
    """Three circuits for new students."""
    block = SpineBlock(
        "block",
        "block",
        "4 slots",
        (
            branch("1", "left motor", 6, detail="brushed 340 W", length="55 cm", used=0.41, drop="0.20 V"),
            branch("2", "right motor", 8, detail="brushed 340 W", length="60 cm", used=0.44, drop="0.22 V"),
            branch(
                "3", "robot controller", 10, gauge="18", protection="10 A fuse", guard=Guard.FUSE, used=0.12,
                drop="0.03 V", detail="fused feed", length="40 cm", binds="drop",
            ),
            free("4", "up to 20 A"),
        ),
        plus=wire(4, "RD", "6", "20 cm"),
        minus=wire(5, "BK", "6", "35 cm"),
    )  # fmt: skip
    return SpineSheet("Bench trainer", "", "3f9c1a", source(), (block,))


LIGHT: dict[str, object] = {"gauge": "14", "protection": "30 A breaker"}
FUSED: dict[str, object] = {"gauge": "18", "protection": "20 A fuse", "guard": Guard.FUSE}
LIMITED: dict[str, object] = {"gauge": "18", "protection": "3 A limit", "guard": Guard.LIMIT, "binds": "output"}


def competition() -> SpineSheet:
    """Sixteen circuits, a regulator with three outputs, unknown lengths, a tight one and one over its limit."""
    brushed = "inline controller, brushed 340 W"
    heavy = [
        branch("H1", "left front", 6, used=0.72, drop="0.42 V", length="1.1 m"),
        branch("H2", "left rear", 8, used=0.61, drop="0.36 V"),
        branch("H3", "right front", 10, used=0.72, drop="0.42 V", length="1.1 m"),
        branch("H4", "right rear", 12, used=0.61, drop="0.36 V"),
        branch("H5", "lift motor", 14, used=0.96, drop="0.57 V", length="1.6 m", detail=brushed),
        branch("H6", "arm", 16, length="", used=None, drop="", state="guessed"),
        branch("H7", "shooter top", 18, used=0.55, drop="0.29 V", length="70 cm"),
        branch("H8", "shooter bottom", 20, used=0.55, drop="0.29 V", length="75 cm"),
        free("H9"),
        free("H10"),
    ]
    compressor: dict[str, object] = {"protection": "20 A breaker", "detail": "behind the pressure switch"}
    vision: dict[str, object] = {"protection": "20 A breaker", "gauge": "16", "detail": "5 V converter"}
    light = [
        branch("L1", "intake", 22, **LIGHT, used=1.12, drop="0.67 V", length="1.9 m"),
        branch("L2", "indexer", 24, **LIGHT, used=0.6, drop="0.33 V", plus_colour="WH"),
        branch("L3", "compressor", 26, **(LIGHT | compressor), used=0.31, drop="0.20 V"),
        free("L4", "up to 30 A"),
        branch("L5", "vision computer", 28, **vision, used=0.4, drop="0.14 V", plus_colour="RDBK"),
        free("L6", "up to 30 A"),
    ]
    own: dict[str, object] = {"protection": "10 A fuse", "detail": "own fused feed", "length": "35 cm"}
    feeder: dict[str, object] = {"gauge": "16", "detail": "12 V and 5 V outputs", "feeds": "regulator"}
    valves: dict[str, object] = {"detail": "valve module", "length": "45 cm", "binds": "ampacity"}
    fused = [
        branch("F1", "robot controller", 30, **(FUSED | own), used=0.15, drop="0.04 V"),
        branch("F2", "regulator", 32, **(FUSED | feeder), used=0.35, drop="0.09 V", length="40 cm"),
        branch("F3", "pneumatics", 34, **(FUSED | valves), used=0.5, drop="0.10 V"),
    ]
    radio: dict[str, object] = {"detail": "feed over the network cable", "length": "50 cm"}
    camera: dict[str, object] = {"detail": "", "length": "60 cm", "gauge": "22", "plus_colour": "YE"}
    outputs = (
        branch("12 V", "radio", 36, **(LIMITED | radio), used=0.5, drop="0.05 V"),
        branch("5 V", "side camera", 38, **(LIMITED | camera), used=0.2, drop="0.03 V"),
        free("5 V b", "3 A limit"),
    )
    main = SpineBlock(
        "block",
        "block",
        "8 heavy, 6 light, 3 fused",
        (*heavy, *light, *fused),
        plus=wire(4, "RD", "6", "20 cm"),
        minus=wire(5, "BK", "6", "45 cm"),
    )
    blocks = (main, SpineBlock("regulator", "regulator", "", outputs))
    return SpineSheet("Tidepool", "competition build", "8c41f0e2", source(), blocks)


def large() -> SpineSheet:
    """Twenty-four slots, a sub-block with eight outputs, a regulator behind that."""
    steered = [
        branch(f"H{i + 1}", f"{corner} {what}", 6 + 2 * i, used=0.5 + 0.03 * i, length=f"{70 + 5 * i} cm")
        for i, (corner, what) in enumerate(
            (corner, what)
            for corner in ("left front", "right front", "left rear", "right rear")
            for what in ("drive", "steer")
        )
    ]
    unknown: dict[str, object] = {"length": "", "used": None}
    rest = [branch(f"H{i}", f"mechanism {i}", 30 + 2 * i, **(unknown if i % 4 == 0 else {})) for i in range(9, 17)]
    light = [
        branch(f"L{i}", f"roller {i}", 70 + 2 * i, **LIGHT) if i % 3 else free(f"L{i}", "up to 30 A")
        for i in range(1, 8)
    ]
    down: dict[str, object] = {"gauge": "10", "protection": "30 A breaker", "detail": "8 fused outputs", "feeds": "sub"}
    feeder = branch("L8", "sub-block", 90, **down)
    small = FUSED | {"protection": "5 A fuse", "length": "45 cm", "detail": ""}
    outputs = [branch(f"S{i}", f"sensor group {i}", 100 + 2 * i, **small, used=0.1 * i) for i in range(1, 8)]
    regulator = branch("S8", "regulator", 120, gauge="16", protection="10 A fuse", guard=Guard.FUSE, feeds="regulator")
    ends = tuple(
        branch(
            f"{v} V", f"{v} V devices", 130 + 2 * v, gauge="18", protection="3 A limit", guard=Guard.LIMIT, detail=""
        )
        for v in (5, 12)
    )
    blocks = (
        SpineBlock(
            "block", "main block", "24 slots", (*steered, *rest, *light, feeder),
            plus=wire(4, "RD", "4", "20 cm"), minus=wire(5, "BK", "4", "45 cm"),
        ),
        SpineBlock("sub", "sub-block", "", (*outputs, regulator)),
        SpineBlock("regulator", "regulator", "", ends),
    )  # fmt: skip
    return SpineSheet("Longshore", "practice build", "0a77b3d1", source("4"), blocks)


def two_roots() -> SpineSheet:
    """Two blocks side by side on the same main breaker."""
    first, *_ = competition().blocks
    other = trainer().blocks[0]
    second = SpineBlock("second", "second block", "4 slots", other.branches, wire(200, "RD", "6", "50 cm"), other.minus)
    small = SpineBlock(first.id, first.title, first.detail, first.branches[:4], first.plus, first.minus)
    return SpineSheet("Tidepool", "two blocks", "1", source(), (small, second))
