"""The bench as /api/v1/bench tells it, for the API's description; the data are those of `documents.json.bench`."""

from __future__ import annotations

from pydantic import BaseModel, ConfigDict

from loomwright.records.event import Role


class _Told(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)


class SignedTold(_Told):
    """Who did or saw something, and when by their clock."""

    key: str
    who: str
    measured_at: str
    tool: str = ""
    words: str = ""


class EndTold(_Told):
    """One end of a wire: what it will be, and what was recorded of it. `of` goes into the next event about it."""

    wire: str
    end: str
    where: str
    terminal: str
    card: int | None
    by_hand: str
    how: str
    standing: str
    done: bool
    made_by_file: bool
    why: list[str]
    reflag: bool
    second_person: bool
    as_planned: dict[str, str]
    of: list[str]
    made: list[SignedTold]
    pulls: list[SignedTold]
    failures: list[SignedTold]


class WireTold(_Told):
    """One wire as it is drawn; `length_mm` [mm]."""

    id: str
    use: str
    role: str
    colour: str
    fill: str
    stripe: str
    gauge: str
    length_mm: float | None
    slot: str
    trunks: list[str]
    captive: bool


class StepTold(_Told):
    """Wires that are made together."""

    circuit: str
    work: str
    first: str
    second: str
    reminder: str
    missing: list[str]
    made_by_file: bool
    wires: list[WireTold]
    ends: list[EndTold]


class GroupTold(_Told):
    """One group of the order of building."""

    title: str
    do: str
    why: str
    moving: bool
    steps: list[StepTold]


class EndsTold(_Told):
    """Every end in the order of building."""

    robot: str
    build: str
    revision: str
    counts: dict[str, int]
    groups: list[GroupTold]


class PowerTold(_Told):
    """What was last told of power; `of` goes into the next event about it."""

    told_on: bool
    of: list[str]


class LookTold(_Told):
    """A question that is answered by looking, and whose answers count now. `of` goes into the next answer."""

    number: int
    key: str
    before: str
    question: str
    why: str
    of: list[str]
    confirmed: list[SignedTold]


class ProbeTold(_Told):
    """Where a probe goes."""

    words: str
    device: str
    wire: str
    end: str


class StopTold(_Told):
    """The reading at which to stop, and what to do then."""

    words: str
    then: str


class MeaningTold(_Told):
    """What a reading would mean."""

    reading: str
    means: str


class ReadingTold(SignedTold):
    """A reading of a meter; no value is an open circuit."""

    value: float | None
    unit: str


class RowTold(_Told):
    """One row of the Wake-up list with its readings and what they tell. `of` goes into the next reading."""

    number: int
    key: str
    topic: str
    about: str
    what: str
    why: str
    board: str
    red: ProbeTold
    black: ProbeTold
    setting: str
    unit: str
    expected: str
    rests_on: list[str]
    stop: StopTold | None
    first: list[str]
    notes: list[str]
    meanings: list[MeaningTold]
    wires: list[str]
    verdict: str
    told: str
    then: str
    of: list[str]
    readings: list[ReadingTold]


class StageTold(_Told):
    """One stage of the first power."""

    number: int
    key: str
    title: str
    adds: list[str]
    do: list[str]
    expect: list[str]
    stop: list[str]
    motor: bool
    readings: list[RowTold]
    confirmed: list[SignedTold]


class LocksTold(_Told):
    """What has to be done, in sentences, before somebody signs, measures, answers before power, or gives power."""

    signing: list[str]
    measuring: list[str]
    answers: list[str]
    power: list[str]


class WakeUpTold(_Told):
    """The Wake-up list."""

    locks: LocksTold

    cautions: list[str]
    stop_always: list[str]
    left_out: list[str]
    power: PowerTold
    looks: list[LookTold]
    rows: list[RowTold]
    stages: list[StageTold]


class HuntEventTold(SignedTold):
    """Something that was told of a hunt, and what it is about; an answer may have a `value` in V, A or ohm."""

    about: str
    value: float | None = None
    unit: str = ""


class HuntTold(_Told):
    """The open hunt for a fault: `key` and the keys of what was mended go into the next answer's `of`."""

    key: str
    begun: SignedTold
    answers: list[HuntEventTold]
    mended: list[HuntEventTold]
    dangers: list[HuntEventTold]


class BenchTold(_Told):
    """Everything that screens show. `arrival` counts the records that it knows; `stale`: the robot's files say more."""

    arrival: int
    robot: str
    build: str
    revision: str
    stale: bool
    role: Role
    settings: dict[str, str]
    ends: EndsTold
    hunt: HuntTold | None
    wake_up: WakeUpTold
