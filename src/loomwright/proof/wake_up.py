"""The Wake-up list: look, measure with the battery out, then the first power in stages."""

from __future__ import annotations

from dataclasses import replace
from itertools import count
from typing import TYPE_CHECKING

from loomwright.proof.wake_up_battery import battery_rows
from loomwright.proof.wake_up_board import block_rows, board_rows, meter_row, path_rows
from loomwright.proof.wake_up_frame import frame_rows, motor_rows
from loomwright.proof.wake_up_left_out import left_out
from loomwright.proof.wake_up_lines import data_rows, light_rows
from loomwright.proof.wake_up_looks import looks
from loomwright.proof.wake_up_motors import lead_rows
from loomwright.proof.wake_up_reading import Readings
from loomwright.proof.wake_up_result import Measurement, WakeUp
from loomwright.proof.wake_up_stages import STOP_ALWAYS, stages
from loomwright.proof.wake_up_wires import branch_rows
from loomwright.rulebook import cautions

if TYPE_CHECKING:
    from collections.abc import Iterator

    from loomwright.plan.result import Plan


def wake_up(plan: Plan) -> WakeUp:
    """Return everything between the last crimp and the first match of one plan.

    Expected readings are computed from what is connected in this plan: wires at 20 C, what parts say a meter sees at
    their supply, terminators and receivers of data chains, and the meter's own leads. Rows with the board empty come
    first, then those with everything in, then the battery's polarity, then power.
    """
    readings = Readings(plan)
    numbers = count(1)
    measurements = tuple(replace(row, number=next(numbers)) for row in _rows(readings))
    staged = tuple(
        replace(stage, readings=tuple(replace(row, number=next(numbers)) for row in stage.readings))
        for stage in stages(plan)
    )
    return WakeUp(
        cautions=cautions(plan.rules),
        looks=looks(plan),
        measurements=measurements,
        stages=staged,
        stop_always=STOP_ALWAYS,
        left_out=tuple(left_out(plan, measurements)),
    )


def _rows(readings: Readings) -> Iterator[Measurement]:
    """Give the rows in the order of work: the block is filled once, after all that is measured with it empty."""
    yield meter_row()
    yield from path_rows(readings)
    yield from block_rows(readings)
    yield from branch_rows(readings)
    yield from data_rows(readings)
    yield from light_rows(readings)
    yield from lead_rows(readings.plan)
    yield from board_rows(readings)
    yield from frame_rows(readings)
    yield from motor_rows(readings)
    yield from battery_rows(readings.plan)
