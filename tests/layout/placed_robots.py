"""Robots with places for tests: crowded, on trunks, behind keep-outs, in the air, on far too small plates."""

from __future__ import annotations

from typing import Any

from hypothesis import strategies as st

_MOTORS = ("motor/brushless-500w", "motor/brushless-350w", "motor/brushed-340w", "motor/brushed-180w")
_FACINGS = ("left", "right", "front", "back", "up", "down")
#: Widths of plates [mm]: from a hand's breadth to a room, mostly the usual.
_WIDTHS = (50, 300, 640, 640, 640, 10_000)


@st.composite
def placed_robots(draw: st.DrawFn, *, most_motors: int = 8) -> dict[str, Any]:
    """Draw a robot file as plain data: everything has a place, most of it trunks, keep-outs or a second plate too."""
    size_mm = (draw(st.sampled_from(_WIDTHS)), draw(st.sampled_from(_WIDTHS)))
    names = [f"motor {n}" for n in range(1, draw(st.integers(1, most_motors)) + 1)]
    motors = {name: draw(_motor(name, names, size_mm)) for name in names}
    robot: dict[str, Any] = {
        "robot": "Generated",
        "battery": {"part": "battery/agm-12v-18ah", "leads": "6 AWG", "lead length": "25 cm", **draw(_place(size_mm))},
        "main breaker": {"part": "breaker/main-120a", **draw(_place(size_mm))},
        "blocks": {"block": {"part": "block/12-heavy-12-light-2-fused", **draw(_place(size_mm))}},
        "mechanisms": {"all of it": {"motors": motors}},
        "electronics": {"robot controller": {"part": "computer/robot-controller", **draw(_place(size_mm))}},
    }
    if draw(st.booleans()):
        robot["blocks"]["sub"] = {"part": "block/sub-6-light", "from": "block", **draw(_place(size_mm))}
        robot["electronics"]["vision"] = {"part": "computer/vision-12v", "from": "sub", **draw(_place(size_mm))}
    if draw(st.booleans()):
        robot["sensors"] = {"low": {"part": "sensor/limit-switch", "port": "digital 0", **draw(_place(size_mm))}}
    if draw(st.booleans()):
        chain = draw(st.permutations(names))
        robot["data"] = {"chain": ["robot controller", *chain, "block"]}
    if draw(st.booleans()):
        robot["wires"] = {"slack": f"{draw(st.integers(0, 20))} %", "step": draw(st.sampled_from(["1 mm", "10 mm"]))}
    robot["plate"] = draw(_plate(size_mm, "low"))
    if draw(st.booleans()):
        robot["plates"] = {
            "deck": {"height": f"{draw(st.sampled_from([5, 30, 200]))} cm", **draw(_plate(size_mm, "up"))}
        }
    return robot


@st.composite
def _motor(draw: st.DrawFn, name: str, names: list[str], size_mm: tuple[int, int]) -> dict[str, Any]:
    motor: dict[str, Any] = {
        "motor": draw(st.sampled_from(_MOTORS)),
        "controller": "controller/inline-40a",
        "id": names.index(name) + 1,
        **draw(_place(size_mm)),
    }
    if draw(st.integers(0, 3)) == 0:
        motor["rides on"] = "all of it"
    if draw(st.integers(0, 4)) == 0:
        motor["length"] = f"{draw(st.integers(15, 250))} cm"
    return motor


@st.composite
def _place(draw: st.DrawFn, size_mm: tuple[int, int]) -> dict[str, Any]:
    """Draw where a thing is: mostly on a coarse raster, so that things meet each other and the trunks."""
    spot = draw(_point(size_mm))
    place: dict[str, Any] = {"at": spot}
    if draw(st.booleans()):
        place["facing"] = draw(st.sampled_from(_FACINGS))
    if draw(st.integers(0, 3)) == 0:
        place["height"] = draw(st.sampled_from(["1 mm", "5 cm", "30 cm", "35 cm", "2 m"]))
    return place


@st.composite
def _point(draw: st.DrawFn, size_mm: tuple[int, int]) -> list[str]:
    eighths = [draw(st.integers(0, 8)) for _ in size_mm]
    return [f"{size * part / 8:g} mm" for size, part in zip(size_mm, eighths, strict=True)]


@st.composite
def _plate(draw: st.DrawFn, size_mm: tuple[int, int], prefix: str) -> dict[str, Any]:
    wide, deep = size_mm
    plate: dict[str, Any] = {}
    if draw(st.booleans()):
        corners = [(0, 0), (wide, 0), (wide, deep), (0, deep)]
        if draw(st.integers(0, 3)) == 0:  # an outline with a dent
            corners.insert(3, (wide // 2, deep // 3))
        plate["outline"] = [[f"{x} mm", f"{y} mm"] for x, y in corners]
    trunks = {f"{prefix} {n}": draw(_trunk(size_mm)) for n in range(draw(st.integers(0, 3)))}
    if trunks and prefix == "low" and draw(st.integers(0, 2)) == 0:
        trunks["all of it"] = {**draw(_trunk(size_mm)), "moving": "yes", "travel": "40 cm"}
    if trunks:
        plate["trunks"] = trunks
    if draw(st.integers(0, 2)) > 0:
        x, y = draw(st.integers(0, wide)), draw(st.integers(0, deep))
        right, front = x + draw(st.integers(1, wide // 3)), y + draw(st.integers(1, deep // 3))
        area = [[x, y], [right, y], [right, front], [x, front]]
        plate["keep outs"] = {f"{prefix} well": [[f"{a} mm", f"{b} mm"] for a, b in area]}
    return plate


@st.composite
def _trunk(draw: st.DrawFn, size_mm: tuple[int, int]) -> dict[str, Any]:
    points: list[list[str]] = draw(st.lists(_point(size_mm), min_size=2, max_size=4, unique_by=tuple))
    if draw(st.integers(0, 3)) == 0:
        points.append([*points[-1][:2], draw(st.sampled_from(["1 mm", "31 cm", "199 cm"]))])
    if draw(st.integers(0, 4)) == 0:
        points.append(points[0])
    points = [point for i, point in enumerate(points) if i == 0 or point != points[i - 1]]
    trunk: dict[str, Any] = {"along": points}
    if draw(st.integers(0, 2)) == 0:
        trunk["capacity"] = draw(st.sampled_from(["3 mm", "8 mm", "12 mm", "20 mm", "as needed"]))
    if draw(st.integers(0, 4)) == 0:
        trunk["signal only"] = "yes"
    return trunk
