"""One robot with a bit of everything, and its studies, played once for all tests of what stands on the kernel."""

from __future__ import annotations

from functools import cache
from typing import Any

from loomwright.match.of_plan import MachineOf
from loomwright.match.study import Outcomes, Study, play_study
from loomwright.robotfile.drivers.driver_file import shipped_drivers
from tests.match.small_robot import played, small_robot

MATCHES = 48


def busy_robot() -> dict[str, Any]:
    """Return a file with a drive in two sides, a lift, two rollers, a flywheel and stored air."""
    robot = small_robot()
    motor = {"motor": "motor/brushless-500w", "controller": "controller/inline-40a", "length": "50 cm"}
    limited = motor | {"limit": {"supply": "40 A", "motor": "80 A"}}
    side = {"does": {"kind": "drive side", "mass": "54 kg", "wheel": "15 cm", "gearing": 8.5}, **limited}
    turning = motor | {"limit": {"supply": "30 A", "motor": "60 A"}}
    robot["blocks"] = {"block": {"part": "block/12-heavy-12-light-2-fused", "lead length": "20 cm"}}
    robot["mechanisms"] = {
        "left drive": {
            "does": side["does"],
            "motors": {"left front": limited, "left rear": limited},
        },
        "right drive": {
            "does": side["does"],
            "motors": {"right front": limited, "right rear": limited},
        },
        "lift": robot["mechanisms"]["lift"],
        "grabber": {"does": {"kind": "roller", "gearing": 4}, **turning},
        "feeder": {"does": {"kind": "roller", "gearing": 4}, **turning},
        "shooter": {"does": {"kind": "flywheel", "speed": "4000 rpm", "gearing": 1}, **turning},
    }
    robot["pneumatics"] = {
        "air module": {"part": "pneumatics/control-module", "length": "40 cm"},
        "compressor": {"part": "compressor/12v", "length": "50 cm"},
    }
    return robot


@cache
def made() -> MachineOf:
    """Return what is made of the busy robot."""
    return played(busy_robot())


@cache
def study() -> Study:
    """Return its study, with the shipped drivers."""
    machine = made().machine
    assert machine is not None
    return Study(machine, made().doubts, shipped_drivers().drivers)


@cache
def outcomes() -> Outcomes:
    """Play it once; nobody may write into it."""
    done = play_study(study(), MATCHES)
    for values in (done.matches, done.branches, done.ways, done.drawn, done.joints):
        values.setflags(write=False)
    return done
