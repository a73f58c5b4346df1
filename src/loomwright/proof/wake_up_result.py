"""The Wake-up list as data: questions to tick, measurements with what they should read, stages of the first power."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from loomwright.model.reason import Origin


class Topic(StrEnum):
    """What a measurement is about; the list goes through them in this order."""

    METER = "meter"
    MAIN = "battery path"
    BRANCH = "branches"
    DATA = "data"
    LIGHT = "signal light"
    MOTOR = "motors"
    BOARD = "whole board"
    CHASSIS = "chassis"
    BATTERY = "battery"
    POWER = "first power"


class Kind(StrEnum):
    """What is known of a reading beforehand."""

    RANGE = "between"
    AT_MOST = "at most"
    AT_LEAST = "at least"
    OPEN = "open"
    UNKNOWN = "unknown"


@dataclass(frozen=True, slots=True)
class Look:
    """A question that people answer by looking, and tick; the tool never answers it. `before` says before what."""

    number: int
    key: str
    before: str
    question: str
    why: str


@dataclass(frozen=True, slots=True)
class Probe:
    """Where one probe goes, in words that are found on the robot.

    `device`, `socket` and `polarity` name the port, `wire` and `end` the flag at it; empty where there is none.
    """

    words: str
    device: str = ""
    socket: str = ""
    polarity: str = ""
    wire: str = ""
    end: str = ""


@dataclass(frozen=True, slots=True)
class Setting:
    """How the meter is set: "ohms", "continuity" or "DC volts", and the range where there is a knob for it."""

    function: str
    range: str = ""

    def __str__(self) -> str:
        """Write "ohms, 200 Ω"."""
        return f"{self.function}, {self.range}" if self.range else self.function


@dataclass(frozen=True, slots=True, kw_only=True)
class Expected:
    """What a sound robot reads: bounds in SI (ohm or volt), None where there is no bound, and the same in words.

    `reason` says what it follows from, `rests_on` names what was assumed, `unknown` the devices whose part does not
    say what a meter sees there.
    """

    kind: Kind
    words: str
    reason: str
    origin: Origin
    low: float | None = None
    high: float | None = None
    rests_on: tuple[str, ...] = ()
    unknown: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Stop:
    """The limit beyond which nobody goes on [SI], in words, with what to do then and the rule or source behind it."""

    words: str
    then: str
    source: str
    below: float | None = None
    above: float | None = None


@dataclass(frozen=True, slots=True)
class Meaning:
    """What another reading would tell."""

    reading: str
    means: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Measurement:
    """One row: where both probes go, how the meter is set, what it should read, when to stop.

    `key` stays the same for life ("left wheel: W6"), `about` is the circuit, chain or device. `board` is the state that
    the block is in, `first` what to do just before. `swapped` is what the probes read the other way round, None where
    that is no matter. `notes` say how the reading behaves, `meanings` what other readings tell. `wires` are the ids of
    the wires that it is about, `through` those that the current of the meter runs through: a break in one shows.
    """

    number: int
    key: str
    topic: Topic
    about: str
    what: str
    why: str
    board: str
    red: Probe
    black: Probe
    setting: Setting
    expected: Expected
    swapped: Expected | None = None
    stop: Stop | None = None
    first: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    meanings: tuple[Meaning, ...] = ()
    wires: tuple[str, ...] = ()
    through: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class NotMeasured:
    """What has no row: in words why, and what finds a fault there; `wires` are the ids of the wires, named in them."""

    words: str
    wires: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class PowerStage:
    """One stage of the first power: what to do, which lights to expect, what to measure, when to switch off at once.

    `adds` are the circuits that get power with it, `motor` tells that something may move.
    """

    number: int
    key: str
    title: str
    adds: tuple[str, ...]
    do: tuple[str, ...]
    expect: tuple[str, ...]
    readings: tuple[Measurement, ...]
    stop: tuple[str, ...]
    motor: bool = False


@dataclass(frozen=True, slots=True)
class WakeUp:
    """Everything between the last crimp and the first match: look, measure with the battery out, then power in stages.

    `left_out` says what has no row and why: every wire of the plan is `through` a row, or named there. `stop_always`
    holds during every stage.
    """

    cautions: tuple[str, ...]
    looks: tuple[Look, ...]
    measurements: tuple[Measurement, ...]
    stages: tuple[PowerStage, ...]
    stop_always: tuple[str, ...]
    left_out: tuple[NotMeasured, ...]

    @property
    def all_readings(self) -> tuple[Measurement, ...]:
        """Every measurement, those of the stages last; their numbers go on."""
        return (*self.measurements, *(reading for stage in self.stages for reading in stage.readings))
