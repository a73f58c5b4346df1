"""Play matches of a robot: odds and margins, what helps most, and what each branch's wires see."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import ceil, sqrt
from typing import TYPE_CHECKING, Final

from loomwright.documents.json.match import MatchTold, match_json
from loomwright.documents.sag.drawing import sag_svg
from loomwright.documents.sag.pdf import sag_pdf
from loomwright.documents.sag.sheet import SagMatch, SagSheet
from loomwright.documents.tables.match import match_csv
from loomwright.findings import Finding, Place, Severity, UnreadableInputError, by_weight
from loomwright.jobs.check import check_files
from loomwright.jobs.cluster import play_on_cluster
from loomwright.jobs.compiling import compile_once
from loomwright.jobs.rack.for_match import FRESH, match_battery
from loomwright.jobs.what_if import what_if
from loomwright.match.advise import advised
from loomwright.match.course import course_of
from loomwright.match.lasts import in_a_row
from loomwright.match.of_plan import machine_of
from loomwright.match.rank import compared, ranked
from loomwright.match.study import Study, play_study
from loomwright.match.telling import told_by
from loomwright.match.verdict import verdict_of
from loomwright.robotfile.drivers.names import unknown_names
from loomwright.robotfile.folder import open_folder
from loomwright.robotfile.plans.dutyfile import DutyFile, write_duty
from loomwright.robotfile.plans.matchfile import NAME as MATCH_FILE
from loomwright.robotfile.plans.safe_write import make_folder, write_changed
from loomwright.search import SILENT
from loomwright.sizing.duty import Duty
from loomwright.wording import listed

if TYPE_CHECKING:
    from pathlib import Path

    from loomwright.match.advise import Advice
    from loomwright.match.driver import Driver
    from loomwright.match.lasts import InARow
    from loomwright.match.machine import Machine
    from loomwright.match.rank import Effect
    from loomwright.match.study import Outcomes
    from loomwright.match.verdict import Verdict
    from loomwright.plan.result import Plan
    from loomwright.robotfile.folder import RobotFolder
    from loomwright.search import Watch

MATCHES: Final = 400
#: A plan rests on no study of fewer matches.
LEAST_FOR_DUTY = 100
#: More than this is refused: each match keeps some two thousand bytes.
MOST_MATCHES: Final = 2_000_000
_RANKED: Final = 128
_ADVISED: Final = 96
_ROW: Final = 128
_STEP_A: Final = 0.5


@dataclass(frozen=True, slots=True)
class Asked:
    """What a study is asked for: how many matches, from which seed, on which battery, by which driver ("" all).

    `battery` is a state, a label of the rack, or "": the one that is in the robot as the rack knows it, else fresh.

    `gap_s` is the time between matches in a row; `sets` are single values of the what-if, as typed
    ("lift.supply_limit=30A"); `rank` and `advise` ask for what helps most. `step_ms` is the fast step.
    `cluster` is the address of a scheduler that the matches are played by.
    """

    matches: int = MATCHES
    seed: int = 1
    battery: str = ""
    driver: str = ""
    gap_s: float = 480.0
    sets: tuple[str, ...] = ()
    compare: bool = False
    rank: bool = False
    advise: bool = False
    step_ms: float = 5.0
    cluster: str = ""


@dataclass(frozen=True, slots=True)
class Studied:
    """A study: its verdict (None where nothing could be played), what helps, its files, what is to be told.

    `inputs` is the digest of what people wrote; `stopped` tells that somebody ended it early. `left_out` are mechanisms
    of which the file says too little to play them. `own_battery` tells that it was played with a battery of the rack.
    """

    plan: Plan
    asked: Asked
    inputs: str
    rests_on: tuple[str, ...]
    findings: tuple[Finding, ...]
    left_out: tuple[str, ...] = ()
    own_battery: bool = False
    verdict: Verdict | None = None
    row: tuple[InARow, ...] = ()
    effects: tuple[Effect, ...] = ()
    advice: tuple[Advice, ...] = ()
    compared: Effect | None = None
    papers: tuple[Path, ...] = ()
    written: tuple[Path, ...] = ()
    stopped: bool = False


def study_robot(folder: Path, build: str = "", *, asked: Asked, watch: Watch = SILENT) -> Studied:
    """Play matches of one build as it is planned now, and write what came of it into out/ and duty.json.

    A what-if writes nothing. Where the watch is stopped, what was played counts, and is written as what it is.

    Raises
    ------
    UnreadableInputError
        For input that can't be understood: files, a value of the what-if, a battery or a driver that there is not; and
        for more matches than memory holds.
    NotWrittenError
        Where the system refuses to write.
    """
    files = open_folder(folder)
    book = files.drivers()
    drivers = _drivers(book.drivers, asked.driver)
    plan = check_files(files, build, watch=watch)
    battery = match_battery(files, plan.robot, asked.battery)
    asked = replace(asked, battery=battery.name)
    made = machine_of(plan, battery_state=battery.state, find_part=files.library.part)
    names = [mechanism.name for mechanism in made.machine.mechanisms] if made.machine else []
    asking = tuple(by_weight([*made.findings, *unknown_names(book, names)]))
    left = _left_out(plan, made.machine)
    nothing = Studied(
        plan, asked, files.said(), (*battery.measured, *made.rests_on), asking, left, bool(battery.measured)
    )
    if made.machine is None:
        return nothing
    compile_once(watch)
    study = Study(made.machine, made.doubts, drivers, asked.seed, asked.step_ms / 1000)
    try:
        if asked.sets:
            return _what_if(nothing, study, watch)
        return _studied(nothing, files, build, study, watch)
    except MemoryError as error:
        what = f"{asked.matches} matches don't fit into the memory of this computer."
        fix = "Play fewer: 10000 tell the odds to one percent."
        raise UnreadableInputError([_refused("too-many-matches", what, fix)]) from error


def _what_if(nothing: Studied, study: Study, watch: Watch) -> Studied:
    """Play a changed robot, beside the one that is there if that is asked for; nothing is written."""
    asked = nothing.asked
    changed = what_if(study, asked.sets)
    after = play_study(changed, asked.matches, watch=watch)
    effect = None
    if asked.compare and len(after):
        before = play_study(study, len(after), watch=watch, stage="as it is")
        words = ", ".join(asked.sets)
        effect = compared(words, "what-if", before, after.part(0, len(before))) if len(before) else None
    return replace(_judged(nothing, changed, after), compared=effect, stopped=watch.stopped)


def _studied(nothing: Studied, files: RobotFolder, build: str, study: Study, watch: Watch) -> Studied:
    asked = nothing.asked
    if asked.cluster:
        outcomes = play_on_cluster(study, asked.matches, asked.cluster, watch=watch)
    else:
        outcomes = play_study(study, asked.matches, watch=watch)
    done = _judged(nothing, study, outcomes)
    if done.verdict is None:
        return replace(done, stopped=True)
    row = in_a_row(study, outcomes.part(0, _ROW), watch=watch)
    effects: tuple[Effect, ...] = ()
    if asked.rank:
        states = _states(study, asked, done.plan, files)
        effects = ranked(study, outcomes.part(0, _RANKED), states=states, watch=watch)
    advice = advised(study, outcomes.part(0, _ADVISED), watch=watch) if asked.advise else ()
    done = replace(done, row=row, effects=effects, advice=advice, stopped=watch.stopped)
    papers = _papers(files, build, done, study)
    make_folder(files.out_path(build))
    written = write_changed(papers)
    return replace(done, papers=tuple(papers), written=tuple(path for path in papers if path in written))


def _judged(nothing: Studied, study: Study, outcomes: Outcomes) -> Studied:
    """Add what the matches say to a study of which nothing is played yet; as it is where there are none."""
    if not len(outcomes):
        return nothing
    verdict = verdict_of(study, outcomes)
    told = told_by(verdict, nothing.rests_on, nothing.plan.robot.file)
    return replace(nothing, verdict=verdict, findings=tuple(by_weight([*nothing.findings, *told])))


def _papers(files: RobotFolder, build: str, done: Studied, study: Study) -> dict[Path, bytes | None]:
    verdict = done.verdict
    if verdict is None:
        return {}
    sheet = SagSheet(
        robot=done.plan.robot.name,
        build=build,
        revision=done.plan.revision,
        headline=f"Brown-out in {verdict.brown_out.count} of {verdict.played} matches{_without(done.left_out)}",
        matches=(
            SagMatch("median match", course_of(study, verdict.median)),
            SagMatch("worst match", course_of(study, verdict.worst)),
        ),
        rests_on=done.rests_on,
        seed=done.asked.seed,
        played=verdict.played,
    )
    out = files.out_path(build)
    who = f", driver {done.asked.driver}" if done.asked.driver else ""
    of = f"{verdict.played} matches, seed {done.asked.seed}, battery {done.asked.battery}{who}"
    papers: dict[Path, bytes | None] = {
        out / "match.csv": match_csv(verdict),
        out / "sag.svg": sag_svg(sheet),
        out / "sag.pdf": sag_pdf(sheet),
        out / MATCH_FILE: match_json(told_of(done)),
    }
    if says_enough(done):
        duty = DutyFile(files.said(), of, duties_of(study, verdict, done.asked.gap_s))
        papers[files.duty_path(build)] = write_duty(duty)
    return papers


def says_enough(done: Studied) -> bool:
    """Tell whether a plan may rest on a study: enough matches of all drivers, nothing left out, a battery of the class.

    Wires are made for every battery that the robot will ever have, not for the one that is in it today.
    """
    played = done.verdict.played if done.verdict is not None else 0
    return played >= LEAST_FOR_DUTY and not (done.asked.driver or done.left_out or done.own_battery)


def _left_out(plan: Plan, machine: Machine | None) -> tuple[str, ...]:
    """Return the mechanisms with motors of which none is played."""
    played = {motor.name for motor in machine.motors} if machine is not None else set()
    motors = [device for device in plan.robot if device.kind == "motor" and device.mechanism]
    moved = {device.mechanism for device in motors if device.called in played}
    return tuple(dict.fromkeys(device.mechanism for device in motors if device.mechanism not in moved))


def _without(left: tuple[str, ...]) -> str:
    return f", without {listed(left, 'and')}" if left else ""


def told_of(done: Studied) -> MatchTold:
    """Return what match.json tells of a study."""
    asked = done.asked
    return MatchTold(
        robot=done.plan.robot.name,
        build=done.plan.robot.build,
        revision=done.plan.revision,
        inputs=done.inputs,
        asked={
            "matches": asked.matches,
            "seed": asked.seed,
            "battery": asked.battery,
            "driver": asked.driver,
            "gap_s": asked.gap_s,
            "step_ms": asked.step_ms,
            "set": list(asked.sets),
        },
        verdict=done.verdict,
        row=done.row,
        effects=done.effects,
        advice=done.advice,
        compared=done.compared,
        rests_on=done.rests_on,
        left_out=done.left_out,
        findings=done.findings,
        stopped=done.stopped,
    )


def duties_of(study: Study, verdict: Verdict, gap_s: float) -> dict[str, Duty]:
    """Return what each circuit's wires see [A], rounded up to half an ampere so that small changes change no plan."""
    share = sqrt(study.lasts_s / (study.lasts_s + gap_s))
    found: dict[str, tuple[float, ...]] = {}
    for branch in verdict.branches:
        now = (branch.peak_a, branch.worst_a, branch.rms_a, branch.rms_a * share, branch.heat_a or branch.rms_a)
        before = found.get(branch.circuit, (0.0,) * len(now))
        # What shares a circuit is added up: never less than what flows.
        found[branch.circuit] = tuple(one + other for one, other in zip(before, now, strict=True))
    return {circuit: Duty(*map(_up, currents)) for circuit, currents in found.items() if circuit}


def _up(current_a: float) -> float:
    return ceil(current_a / _STEP_A - 1e-9) * _STEP_A


def _states(study: Study, asked: Asked, plan: Plan, files: RobotFolder) -> tuple[Study, ...]:
    """Return the same study with a fresher battery, where there is one."""
    if asked.battery == FRESH:
        return ()
    fresh = machine_of(plan, battery_state=FRESH, find_part=files.library.part)
    return (replace(study, machine=fresh.machine, doubts=fresh.doubts),) if fresh.machine is not None else ()


def _drivers(drivers: tuple[Driver, ...], name: str) -> tuple[Driver, ...]:
    if not name:
        return drivers
    found = tuple(driver for driver in drivers if driver.name == name)
    if not found:
        fix = f"Take one of: {', '.join(driver.name for driver in drivers)}; or write drivers.yaml."
        raise UnreadableInputError([_refused("no-such-driver", f"There is no driver `{name}`.", fix)])
    return found


def _refused(code: str, what: str, fix: str) -> Finding:
    return Finding(code, Severity.MUST, Place(thing="match"), what, fix)
