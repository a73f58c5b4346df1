"""The network as a deck for ngspice: copper as resistors, states as capacitors, controllers as behavioural sources.

Its shape is that of the wiring: each controller sees the voltage at its own end of its line, so that no quadratic of
line and power is solved here, as it is elsewhere.
"""

from __future__ import annotations

import subprocess
from math import inf
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING

import numpy as np

from tests.match.peers import network as net

if TYPE_CHECKING:
    from collections.abc import Iterator

_OPTIONS = ".options reltol=1e-6 abstol=1e-9 vntol=1e-7 chgtol=1e-16 method=trap itl4=100"


def deck(step_s: float) -> Iterator[str]:
    """Give the lines of the deck; steps are at most `step_s` long."""
    yield "network"
    yield from _battery()
    yield f"Rradio bus radio {net.RADIO_OHM}"
    yield f"Bradio radio 0 I={net.RADIO_W}/max(V(radio),1)"
    yield f"Ipump bus 0 {net.PUMP_A}"
    warm = ["bus", "radio"]
    of = net.owners()
    for m, one in enumerate(net.TURNING):
        yield f"Vu{m} u{m} 0 SIN(0 {one.share} {1.0 / one.period_s:.15g})"
        yield f"Cw{m} w{m} 0 {one.inertia} IC=0"
        pushed = "+".join(f"V(m{n})" for n, owner in enumerate(of) if owner is one)
        yield f"Bw{m} 0 w{m} I={net.CONSTANT:.17g}*({pushed})-{one.viscous}*V(w{m})-{one.gravity_nm}"
        for n in (n for n, owner in enumerate(of) if owner is one):
            yield f"Rt{n} bus t{n} {net.LINES[n]:.17g}"
            warm.append(f"t{n}")
            yield from _motor(n, m, one)
    yield ".ic " + " ".join(f"v({node})=12.5" for node in warm)
    yield _OPTIONS
    yield f".tran {step_s:g} {net.LASTS_S:g} 0 {step_s:g} uic"


def _battery() -> Iterator[str]:
    battery = net.BATTERY
    points = ",".join(f"{z},{volts}" for z, volts in battery.rest)
    yield f"Bemf emf 0 V=pwl(V(z),{points})-V(v1)-V(v2)-V(act)"
    yield f"Rbattery emf post {battery.ohm}"
    yield "Vsense post out 0"
    yield f"Rmain out bus {net.MAIN_OHM}"
    for n, (ohm, tau) in enumerate(battery.pairs, 1):
        yield f"Rv{n} v{n} 0 {ohm}"
        yield f"Cv{n} v{n} 0 {tau / ohm:.17g} IC=0"
        yield f"Bv{n} 0 v{n} I=I(Vsense)"
    yield f"Bover over 0 V={battery.activation_v}*asinh(I(Vsense)/{battery.activation_a})"
    yield "Rover over act 1"
    yield f"Cact act 0 {battery.activation_lag_s} IC=0"
    yield f"Cz z 0 {3600.0 * battery.capacity_ah} IC={net.FULL}"
    yield "Bz z 0 I=I(Vsense)"


def _motor(n: int, m: int, one: net.Turning) -> Iterator[str]:
    """Give a controller and its motor: V(m) is the motor's current, V(p) its power before the supply-side limit."""
    back = f"({net.CONSTANT:.17g}*V(w{m}))"
    free = f"(V(u{m})*V(t{n})-{back})/{net.OHM:.17g}"
    if one.motor_a < inf:
        free = f"min(max({free},-{one.motor_a}),{one.motor_a})"
    yield f"Bf{n} f{n} 0 V={free}"
    yield f"Bp{n} p{n} 0 V=V(f{n})*({net.OHM:.17g}*V(f{n})+{back})"
    if one.supply_a == inf:
        yield f"Bm{n} m{n} 0 V=V(f{n})"
        yield f"Bs{n} t{n} 0 I=V(p{n})/max(V(t{n}),1)"
        return
    most = f"({one.supply_a}*V(t{n}))"
    held = f"sgn(V(u{m}))*(sqrt({back}*{back}+{4.0 * net.OHM:.17g}*max({most},0))-sgn(V(u{m}))*{back})"
    yield f"Bm{n} m{n} 0 V=V(p{n})>{most} ? {held}/{2.0 * net.OHM:.17g} : V(f{n})"
    yield f"Bs{n} t{n} 0 I=min(V(p{n})/max(V(t{n}),1),{one.supply_a})"


def by_spice(program: Path, step_s: float) -> tuple[net.Course, str]:
    """Solve it with steps of at most this; return the course at ngspice's own times, and what it said."""
    asked = " ".join(["v(bus)", *(f"v(w{m})" for m in range(len(net.TURNING)))])
    with TemporaryDirectory() as folder:
        file = Path(folder) / "network.cir"
        control = ".control\nset wr_singlescale\nset numdgt=12\nrun\nwrdata found.txt " + asked + "\n.endc\n.end\n"
        file.write_text("\n".join(deck(step_s)) + "\n" + control, encoding="utf-8")
        done = subprocess.run(
            [program, "-b", file], cwd=folder, capture_output=True, text=True, check=False, timeout=120
        )
        told = done.stdout + done.stderr
        assert (Path(folder) / "found.txt").exists(), told
        table = np.loadtxt(Path(folder) / "found.txt").T
    assert table[0, -1] >= net.LASTS_S * (1 - 1e-9), told
    return net.Course(table[0], table[1], table[2:]), told
