"""The odds of a brown-out with each battery: the same drivers, joints and luck, another battery."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Final

from loomwright.documents.json.rack import BatteryRisk
from loomwright.jobs.check import check_files
from loomwright.jobs.compiling import compile_once
from loomwright.jobs.rack.for_match import as_match_battery
from loomwright.match.of_plan import machine_of
from loomwright.match.study import Study, play_study
from loomwright.match.verdict import verdict_of
from loomwright.robotfile.folder import open_folder
from loomwright.search import SILENT

if TYPE_CHECKING:
    from pathlib import Path

    from loomwright.jobs.rack.view import RackView
    from loomwright.rack.next_up import Candidate
    from loomwright.search import Watch

#: So many of the best are played; the others would not be taken anyway.
MOST: Final = 4
_SEED: Final = 1
_STEP_S: Final = 0.005


def risks_of(
    folder: Path,
    build: str,
    view: RackView,
    candidates: Sequence[Candidate],
    *,
    matches: int,
    watch: Watch = SILENT,
) -> tuple[BatteryRisk, ...]:
    """Play the same matches with each of the best candidates as it is now; none where nothing can be played.

    Raises
    ------
    UnreadableInputError
        For input that can't be understood.
    """
    files = open_folder(folder)
    plan = check_files(files, build, watch=watch)
    drivers = files.drivers().drivers
    found: list[BatteryRisk] = []
    for one in candidates[:MOST]:
        battery = as_match_battery(view.health_of(one.label), plan.robot)
        made = machine_of(plan, battery_state=battery.state, find_part=files.library.part)
        if made.machine is None or watch.stopped:
            break
        compile_once(watch)
        study = Study(made.machine, made.doubts, drivers, _SEED, _STEP_S)
        outcomes = play_study(study, matches, watch=watch, stage=f"battery {one.label}")
        if len(outcomes) == matches:
            verdict = verdict_of(study, outcomes)
            found.append(BatteryRisk(one.label, verdict.brown_out, verdict.lowest_5_v))
    return tuple(found)
