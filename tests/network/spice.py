"""ngspice as a twin: the same network written as a deck, and the voltages that its operating point has."""

from __future__ import annotations

import math
import re
import subprocess
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING

from loomwright.network import Draw, Network, Resistor

if TYPE_CHECKING:
    from collections.abc import Iterable

# A simulator has no joint without resistance; this stands for one, and is far below every wire.
JOINT_OHM = 1e-9


def deck_lines(network: Network, number: dict[object, int]) -> Iterable[str]:
    """Give a line of the deck for each element that is there; nodes by their number."""
    for count, element in enumerate(network.elements):
        if isinstance(element, Resistor):
            if not math.isinf(element.resistance_ohm):
                yield f"R{count} {number[element.a]} {number[element.b]} {element.resistance_ohm or JOINT_OHM:.17g}"
        elif isinstance(element, Draw):
            yield f"I{count} {number[element.plus]} {number[element.minus]} DC {element.current_a:.17g}"
        elif not math.isinf(element.resistance_ohm):
            yield f"V{count} inner{count} {number[element.minus]} DC {element.voltage_v:.17g}"
            yield f"R{count} inner{count} {number[element.plus]} {element.resistance_ohm or JOINT_OHM:.17g}"


def operating_point(program: Path, lines: Iterable[str], asked: Iterable[int]) -> dict[int, float]:
    """Return the voltage of each asked node over node 0 [V], as ngspice finds it."""
    wanted = list(asked)
    prints = "\n".join(f"print v({number})" for number in wanted)
    deck = "\n".join(["twin", *lines, ".options reltol=1e-9 abstol=1e-15 vntol=1e-12 gmin=1e-18 numdgt=12", ".control"])
    deck = f"{deck}\nset numdgt=12\nop\n{prints}\n.endc\n.end\n"
    with TemporaryDirectory() as folder:
        file = Path(folder) / "twin.cir"
        file.write_text(deck, encoding="utf-8")
        done = subprocess.run([program, "-b", file], capture_output=True, text=True, check=False, timeout=60)
    found = {int(n): float(v) for n, v in re.findall(r"^v\((\d+)\) = (\S+)$", done.stdout, re.MULTILINE)}
    assert set(found) == set(wanted), done.stdout + done.stderr
    return found


def spice_ohm(program: Path, network: Network, red: object, black: object) -> float:
    """Return the resistance between two nodes: one ampere from black to red, and the voltage that it makes."""
    number = {node: count for count, node in enumerate([black, *(n for n in network.nodes if n != black)])}
    # A simulator wants a way to zero from every node; these are far above all that is measured.
    tied = [f"RT{count} {count} 0 1e15" for count in number.values() if count]
    lines = [*deck_lines(network, number), *tied, f"IM 0 {number[red]} DC 1"]
    return operating_point(program, lines, [number[red]])[number[red]]
