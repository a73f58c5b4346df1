"""One network and many single changes of it: every break, bad joint and short at once, by one inverse."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, TypeAlias

import numpy as np

from loomwright.network.elements import Draw, NetworkError, Node, Resistor, ends, is_joint, is_open, said
from loomwright.network.engine.joints import Joints
from loomwright.network.result import refuse_unknown

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping, Sequence

    import numpy.typing as npt

    from loomwright.network.elements import Element, Network

    Floats: TypeAlias = npt.NDArray[np.float64]

_LEAK_S = 1e-9
"""What lies between every node and earth, as insulation does: it ties down what floats [S]."""
_METER_OHM = 1e7
"""What lies between the probes of a usual voltmeter [ohm]."""
_JOINT_OHM = 1e-7
"""What a joint without resistance is taken for: several side by side then share a current [ohm]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Other:
    """Another resistance [ohm] in a resistor or source that the network has; infinity breaks it."""

    name: Node
    resistance_ohm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Bridge:
    """One more resistance [ohm] above 0 between two nodes."""

    a: Node
    b: Node
    resistance_ohm: float


Change: TypeAlias = Other | Bridge | None


class Variants:
    """A network once as it is for every change; `None` changes nothing.

    The answers agree with `solve` and `ohms` of the changed network but for a leak of 1 gigohm at each node: to a
    thousandth up to 100 kilohm. Where nothing else ties two nodes together, they are those of that leak. An
    ohmmeter's answer has the sources at work as resistances alone.

    Raises
    ------
    NetworkError
        For a name that no resistor or source has, a node that is not there, a bridge without resistance.
    """

    def __init__(self, network: Network, changes: Sequence[Change]) -> None:
        changed = {change.name for change in changes if isinstance(change, Other)}
        self._elements = {element.name: element for element in network.elements if not isinstance(element, Draw)}
        self._node = _places(network, changed)
        # A current of its own for each: as a conductance, what floats would drown beside milliohms.
        branches = [one for one in self._elements.values() if one.name in changed or not _does_nothing(one, self._node)]
        nodes = 1 + max(self._node.values(), default=-1)
        self._branch = {element.name: nodes + place for place, element in enumerate(branches)}
        self._ohm = {element.name: max(element.resistance_ohm, _JOINT_OHM) for element in branches}
        inverse: Floats = np.linalg.inv(self._matrix(nodes, branches)).astype(np.float64)
        driven = self._driven(network.elements)
        self._inverse, self._plain = inverse, inverse @ driven
        parts = [self._part(change) for change in changes]
        self._column = np.array([column for column, _, _ in parts]).reshape(len(parts), len(inverse))
        self._row = np.array([row for _, row, _ in parts]).reshape(len(parts), len(inverse))
        self._by = np.array([by for _, _, by in parts])
        self._plain_part = self._row @ driven

    def volts(self, red: Node, black: Node) -> Floats:
        """Return what a voltmeter of 10 megohm reads from black to red [V], for each change; raises as `ohms`."""
        one, other = self._probes(red, black)
        plain = self._plain[one] - self._plain[other]
        seen = self._column[:, one] - self._column[:, other]
        open_v = plain + self._by * seen * self._plain_part
        # What floats is pulled to nothing by the meter itself.
        return np.asarray(open_v * _METER_OHM / (_METER_OHM + self.ohms(red, black)), dtype=np.float64)

    def ohms(self, red: Node, black: Node) -> Floats:
        """Return the resistance between two nodes [ohm], for each change; raises for an unknown node."""
        one, other = self._probes(red, black)
        inverse = self._inverse
        plain = inverse[one, one] + inverse[other, other] - inverse[one, other] - inverse[other, one]
        seen = (self._column[:, one] - self._column[:, other]) * (self._row[:, one] - self._row[:, other])
        return np.asarray(np.maximum(plain + self._by * seen, 0.0), dtype=np.float64)

    def _matrix(self, nodes: int, branches: Sequence[Element]) -> Floats:
        """Return the tableau: a row for each node's currents, and one for each branch's voltage."""
        size = nodes + len(branches)
        matrix = np.zeros((size, size))
        matrix[range(nodes), range(nodes)] = _LEAK_S
        for element in branches:
            a, b = (self._node[node] for node in ends(element))
            place, sign = self._branch[element.name], _sign(element)
            matrix[a, place] += sign
            matrix[b, place] -= sign
            if math.isinf(self._ohm[element.name]):
                matrix[place, place] = 1.0
                continue
            matrix[place, a] += 1.0
            matrix[place, b] -= 1.0
            matrix[place, place] -= sign * self._ohm[element.name]
        return matrix

    def _driven(self, elements: Sequence[Element]) -> Floats:
        driven = np.zeros(1 + max(self._node.values(), default=-1) + len(self._branch))
        for element in elements:
            if isinstance(element, Draw):
                driven[self._node[element.plus]] -= element.current_a
                driven[self._node[element.minus]] += element.current_a
            elif not isinstance(element, Resistor) and not math.isinf(element.resistance_ohm):
                driven[self._branch[element.name]] = element.voltage_v
        return driven

    def _part(self, change: Change) -> tuple[Floats, Floats, float]:
        """Return how a change moves the inverse: a column, a row, and by how much (source: woodbury-1950-memory)."""
        inverse: Floats = self._inverse
        if change is None:
            return np.zeros(len(inverse)), np.zeros(len(inverse)), 0.0
        if isinstance(change, Bridge):
            one, other = self._probes(change.a, change.b)
            if not change.resistance_ohm > 0:
                raise NetworkError(
                    "A bridge has no resistance.", "Give it one above 0; for a joint a milliohm will do."
                )
            column, row = inverse[:, one] - inverse[:, other], inverse[one] - inverse[other]
            return column, row, -1.0 / (change.resistance_ohm + (row[one] - row[other]))
        place = self._branch_place(change.name)
        was_ohm = self._ohm[change.name]
        if math.isinf(was_ohm):
            raise NetworkError(f"{said(change.name)} is open already.", "Bridge its ends instead.")
        through = float(inverse[place, place])
        column, row = np.asarray(inverse[:, place], dtype=np.float64), np.asarray(inverse[place], dtype=np.float64)
        return column, row, self._series(change.name, max(change.resistance_ohm, _JOINT_OHM) - was_ohm, through)

    def _series(self, name: Node, more_ohm: float, through: float) -> float:
        """Return by how much more resistance in a branch moves the inverse; the limit for a break."""
        if math.isinf(more_ohm):
            return -1.0 / through
        more = -_sign(self._elements[name]) * more_ohm
        return -more / (1.0 + more * through)

    def _probes(self, red: Node, black: Node) -> tuple[int, int]:
        refuse_unknown((red, black), self._node)
        return self._node[red], self._node[black]

    def _branch_place(self, name: Node) -> int:
        if name not in self._branch:
            raise NetworkError(
                f"No resistor and no source is called {said(name)}.", "Name one of the network's elements."
            )
        return self._branch[name]


def _places(network: Network, changed: Collection[Node]) -> dict[Node, int]:
    """Return a number for each node; nodes that a joint without resistance holds together have one."""
    joints = Joints(network.nodes)
    for element in network.elements:
        if isinstance(element, Resistor) and is_joint(element) and element.name not in changed:
            joints.join(element.name, element.a, element.b, 0.0)
    firsts = {node: joints.find(node)[0] for node in network.nodes}
    numbers = {first: number for number, first in enumerate(dict.fromkeys(firsts.values()))}
    return {node: numbers[first] for node, first in firsts.items()}


def _does_nothing(element: Element, place: Mapping[Node, int]) -> bool:
    """Tell whether a resistor has both ends in one place, or is open for good."""
    if not isinstance(element, Resistor):
        return False
    a, b = ends(element)
    return place[a] == place[b] or is_open(element)


def _sign(element: Element) -> float:
    """Return how a branch's current counts: a resistor's from a to b, a source's out of its plus."""
    return 1.0 if isinstance(element, Resistor) else -1.0
