"""Free ground: a wall across the plate parts it, however its corners lie to the edge; a gap lets wires through."""

from __future__ import annotations

import math

import pytest

from loomwright.layout.net.ground import Ground
from loomwright.model.robot import KeepOut, Plate

OUTLINE = ((0.0, 0.0), (0.6, 0.0), (0.6, 0.7), (0.0, 0.7))
DENTED = (*OUTLINE[:3], (0.3, 0.69), OUTLINE[3])
NEAR, FAR = (0.3, 0.2, 0.0), (0.3, 0.6, 0.0)


def ground(left: float, right: float, outline: tuple[tuple[float, float], ...]) -> Ground:
    """Return a plate with a wall across it from one place to another [m]."""
    wall = KeepOut("wall", ((left, 0.4), (right, 0.4), (right, 0.42), (left, 0.42)))
    return Ground((Plate(outline=outline, keep_outs=(wall,)),))


@pytest.mark.parametrize("outline", [OUTLINE, DENTED])
@pytest.mark.parametrize(("left", "right"), [(0.0, 0.6), (-0.05, 0.65), (0.0, 0.65), (-0.01, 0.6)])
def test_a_wall_from_edge_to_edge_parts_the_plate(
    left: float, right: float, outline: tuple[tuple[float, float], ...]
) -> None:
    """Wires lead neither round the wall off the plate nor between the wall and the very edge."""
    assert ground(left, right, outline).way(NEAR, FAR) is None


@pytest.mark.parametrize("outline", [OUTLINE, DENTED])
def test_a_gap_beside_a_wall_is_taken(outline: tuple[tuple[float, float], ...]) -> None:
    """One centimetre between wall and edge is a way, round both of the wall's corners there."""
    way = ground(0.01, 0.6, outline).way(NEAR, FAR)
    assert way is not None
    assert way.length_m == pytest.approx(2 * math.hypot(0.29, 0.19) + 0.02, abs=0.011)


def test_wires_still_run_along_the_edge() -> None:
    """A wall closes the edge where it stands, and nowhere else."""
    way = ground(0.0, 0.3, OUTLINE).way((0.0, 0.1, 0.0), (0.0, 0.39, 0.0))
    assert way is not None
    assert way.length_m == pytest.approx(0.29)


def test_a_thing_over_the_edge_is_gone_round_off_the_plate() -> None:
    """A body that hangs over the edge has wires round its outer face too; a wall on the plate changes nothing there."""
    body = ((-0.05, 0.3), (0.05, 0.3), (0.05, 0.1), (-0.05, 0.1))
    way = ground(0.3, 0.6, OUTLINE).way((-0.05, 0.2, 0.0), NEAR, [body])
    assert way is not None
    assert way.length_m == pytest.approx(0.1 + 0.1 + math.hypot(0.25, 0.1), abs=1e-3)
