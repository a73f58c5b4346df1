"""Mechanisms by their kind: what a group of motors moves, referred to one motor's shaft.

Gears lose: what is on the load's side counts 1/efficiency at the motor. That holds while the motors push; a load that
pushes the motors back is taken too heavy by the same factor.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cache
from math import tau
from types import MappingProxyType
from typing import TYPE_CHECKING, Final

from loomwright.catalogue.tables import table
from loomwright.match.machine import Control, Gravity, Mechanism
from loomwright.match.of_practice import practice

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from loomwright.match.of_groups import Group
    from loomwright.match.of_motors import Motor
    from loomwright.match.of_notes import Notes

_G = 9.80665
"""Standard gravity [m/s2] [nist-sp-811]."""
_CONTROLS = {"duty": Control.DUTY, "place": Control.PLACE, "speed": Control.SPEED}


@dataclass(frozen=True, slots=True)
class Kind:
    """What is usual for a kind: control, whether 0 brakes, efficiency, drag over stall torque, output's inertia."""

    control: Control
    brakes: bool
    efficiency: float
    drag: float
    inertia_kg_m2: float


@cache
def kinds() -> Mapping[str, Kind]:
    """Return every kind of mechanism of the table by its name."""
    return {
        row["kind"]: Kind(
            _CONTROLS[row["control"]],
            row["brakes"] == "yes",
            float(row["efficiency"]),
            float(row["drag"]),
            float(row["inertia_kg_m2"]),
        )
        for row in table("match_mechanism")
    }


def mechanism_of(group: Group, motors: Sequence[Motor], notes: Notes) -> Mechanism | None:
    """Return the mechanism of a group with the motors that can be played; None where it says too little."""
    build = _BUILDERS.get(group.kind)
    if build is None or not motors:
        return None
    notes.assume("efficiencies and drags of gearings are assumed, as are bearings")
    return build(_Shaft(group, motors, kinds()[group.kind], notes))


@dataclass(frozen=True, slots=True)
class _Shaft:
    """A group's motors on one shaft, with what is usual for its kind."""

    group: Group
    motors: Sequence[Motor]
    kind: Kind
    notes: Notes

    @property
    def rotors_kg_m2(self) -> float:
        return sum(motor.rotor_kg_m2 for motor in self.motors)

    @property
    def stall_nm(self) -> float:
        return sum(motor.stall_nm for motor in self.motors)

    @property
    def friction_nm(self) -> float:
        return sum(motor.friction_nm for motor in self.motors) + self.kind.drag * self.stall_nm

    @property
    def free_rad_s(self) -> float:
        return min(motor.free_rad_s for motor in self.motors)

    def need(self, *asked: tuple[str, str]) -> tuple[float, ...] | None:
        """Return all of these values, or None after asking for each that is missing."""
        found = [self.group.need(key, example, self.notes) for key, example in asked]
        known = tuple(value for value in found if value is not None)
        return known if len(known) == len(found) else None

    def gearing(self) -> float:
        """Return the gearing; where it is not said motor and output turn alike, which is asked."""
        said = self.group.said("gearing", self.notes)
        if said is not None and said > 0:
            return said
        self.notes.assume("motor and output are taken to turn alike where no gearing is said", self.group.name)
        self.notes.ask(
            "gearing-unsaid",
            self.group.mark,
            f"{self.group.path}.does.gearing",
            f"The file does not say the gearing of {self.group.name}; the study takes 1.",
            f"Write `does: {{gearing: 4}}` for {self.group.name}: motor turns for one turn of the output.",
        )
        return 1.0

    def ramp_s(self) -> float:
        said = next((value for m in self.motors for value in m.driver.ramp.values), None)
        if said is not None:
            return sum(said) / 2
        usual = practice("ramp")
        self.notes.assume(f"a ramp of {usual:g} s is taken where the file says none", self.group.name)
        return usual


def _drive(shaft: _Shaft) -> Mechanism | None:
    """Put wheels on the floor: m r^2/(g^2 eta) moves while it grips, mu m G r/(g eta) is what it grips."""
    known = shaft.need(("mass", "54 kg"), ("wheel", "15 cm"), ("gearing", "8.5"))
    if known is None:
        return None
    mass_kg, wheel_m, gearing = known
    mass_kg /= shaft.group.shares
    radius = wheel_m / 2 / gearing
    eta = shaft.kind.efficiency
    weight_nm = mass_kg * _G * radius / eta
    wheels = len(shaft.motors) * practice("wheel inertia") / gearing**2
    shaft.notes.assume("rolling resistance and the inertia of wheels are assumed")
    grip_nm = shaft.group.take("grip", "grip", shaft.notes) * weight_nm
    return replace(
        _plain(shaft, inertia=shaft.rotors_kg_m2 + wheels / eta),
        moved=mass_kg * radius**2 / eta,
        grip_nm=grip_nm,
        work_nm=grip_nm,  # a load of 1: somebody who holds as hard as these wheels grip
        friction_nm=shaft.friction_nm + practice("rolling") * weight_nm,
        metres_per_rad=radius,
    )


def _steering(shaft: _Shaft) -> Mechanism | None:
    """Turn modules on the spot: the grip of their wheels rubs on a short arm. One turn is the whole way."""
    gearing = shaft.group.take("gearing", "steer gearing", shaft.notes)
    mass_kg = shaft.group.said("mass", shaft.notes) or 0.0
    grip = shaft.group.said("grip", shaft.notes) or practice("grip")
    eta = shaft.kind.efficiency
    rub_nm = grip * mass_kg * _G * practice("scrub radius") / gearing / eta
    turned = len(shaft.motors) * practice("steer inertia") / gearing**2 / eta
    shaft.notes.assume("what turning a module on the spot takes is assumed", shaft.group.name)
    return replace(
        _plain(shaft, inertia=shaft.rotors_kg_m2 + turned), friction_nm=shaft.friction_nm + rub_nm, way=tau * gearing
    )


def _lift(shaft: _Shaft) -> Mechanism | None:
    """Hang a load on a drum: m r^2/(g^2 eta) turns with the motors, m G r/(g eta) pulls back."""
    known = shaft.need(("carries", "6 kg"), ("drum", "4 cm"), ("gearing", "12"), ("travel", "90 cm"))
    if known is None:
        return None
    carries_kg, drum_m, gearing, travel_m = known
    return _hoist(shaft, carries_kg, drum_m / 2 / gearing, travel_m)


def _climber(shaft: _Shaft) -> Mechanism | None:
    """Hang the robot on a rope: as a lift, from its stop on the floor to where it hangs."""
    known = shaft.need(("mass", "54 kg"), ("drum", "3 cm"), ("gearing", "60"))
    if known is None:
        return None
    mass_kg, drum_m, gearing = known
    return _hoist(shaft, mass_kg, drum_m / 2 / gearing, shaft.group.take("travel", "climb", shaft.notes))


def _hoist(shaft: _Shaft, mass_kg: float, radius: float, travel_m: float) -> Mechanism:
    eta = shaft.kind.efficiency
    return replace(
        _plain(shaft, inertia=shaft.rotors_kg_m2 + mass_kg * radius**2 / eta),
        gravity=Gravity.STEADY,
        gravity_nm=mass_kg * _G * radius / eta,
        way=travel_m / radius,
        metres_per_rad=radius,
    )


def _arm(shaft: _Shaft) -> Mechanism | None:
    """Put a load at the end of an arm: m L^2/(g^2 eta), and m G L/(g eta) at the horizontal."""
    known = shaft.need(("carries", "3 kg"), ("arm length", "60 cm"), ("turns", "120 deg"), ("gearing", "90"))
    if known is None:
        return None
    carries_kg, length_m, turns_rad, gearing = known
    eta = shaft.kind.efficiency
    shaft.notes.assume("arms are taken to start 45 degrees below the horizontal, all weight at their end, unsprung")
    return replace(
        _plain(shaft, inertia=shaft.rotors_kg_m2 + carries_kg * (length_m / gearing) ** 2 / eta),
        gravity=Gravity.TURNING,
        gravity_nm=carries_kg * _G * length_m / gearing / eta,
        start_angle=practice("arm start"),
        angle_per_rad=1 / gearing,
        way=turns_rad * gearing,
    )


def _roller(shaft: _Shaft) -> Mechanism | None:
    """Turn rollers: a usual inertia, and a share of the stall torque while a piece is in it."""
    shaft.notes.assume("inertia and work of rollers are assumed", shaft.group.name)
    return replace(
        _plain(shaft, inertia=_with_output(shaft, shaft.gearing())), work_nm=practice("roller work") * shaft.stall_nm
    )


def _flywheel(shaft: _Shaft) -> Mechanism | None:
    """Spin wheels that are brought to a speed and lose a share of it with every shot."""
    gearing = shaft.gearing()
    said = shaft.group.said("speed", shaft.notes)
    if not said:
        share = practice("flywheel speed")
        shaft.notes.assume(f"a full speed of {share:.0%} of the free speed is taken", shaft.group.name)
    shaft.notes.assume("inertia of flywheels and what a shot takes are assumed", shaft.group.name)
    return replace(
        _plain(shaft, inertia=_with_output(shaft, gearing)),
        full_speed=said * gearing if said else practice("flywheel speed") * shaft.free_rad_s,
        shot_share=practice("shot"),
    )


def _other(shaft: _Shaft) -> Mechanism | None:
    """Take what is of no known kind as a roller."""
    return _roller(shaft)


def _with_output(shaft: _Shaft, gearing: float) -> float:
    return shaft.rotors_kg_m2 + shaft.kind.inertia_kg_m2 / gearing**2 / shaft.kind.efficiency


def _plain(shaft: _Shaft, *, inertia: float) -> Mechanism:
    """Return a mechanism with its motors' friction and what is usual for its kind."""
    return Mechanism(
        name=shaft.group.name,
        kind=shaft.group.kind,
        control=shaft.kind.control,
        motors=len(shaft.motors),
        inertia=inertia,
        friction_nm=shaft.friction_nm,
        ramp_s=shaft.ramp_s(),
        brakes=shaft.kind.brakes,
    )


_BUILDERS: Final[Mapping[str, Callable[[_Shaft], Mechanism | None]]] = MappingProxyType(
    {
        "drive": _drive,
        "steering": _steering,
        "lift": _lift,
        "climber": _climber,
        "arm": _arm,
        "roller": _roller,
        "flywheel": _flywheel,
        "other": _other,
    }
)
