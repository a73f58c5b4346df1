"""Nodes at a fixed voltage from each other, by joints of no resistance and by ideal sources, taken together as one."""

from __future__ import annotations

from typing import TYPE_CHECKING

from loomwright.network.elements import NetworkError, Node, said

if TYPE_CHECKING:
    from collections.abc import Iterable

_SAME_V = 1e-9
"""Two ways to one node may differ by rounding, as a share of the voltages on the way."""


class Joints:
    """Groups of nodes with each node's fixed voltage [V] over its group's first node (a union-find with offsets)."""

    def __init__(self, nodes: Iterable[Node]) -> None:
        self._above = {node: (node, 0.0) for node in nodes}
        self._size = dict.fromkeys(self._above, 1)

    def join(self, name: Node, plus: Node, minus: Node, voltage_v: float) -> None:
        """Hold `plus` at this voltage [V] over `minus`.

        Raises
        ------
        NetworkError
            Where other joints and ideal sources already hold them at another.
        """
        one, one_v = self.find(plus)
        other, other_v = self.find(minus)
        if one == other:
            if abs(one_v - other_v - voltage_v) > _SAME_V * max(1.0, abs(voltage_v), abs(one_v), abs(other_v)):
                raise NetworkError(
                    f"{said(name)} wants {voltage_v:g} V between {said(plus)} and {said(minus)}, and other ideal "
                    f"sources or joints of no resistance hold {one_v - other_v:g} V there.",
                    "Give the source or the joint the resistance that it really has.",
                )
            return
        if self._size[one] < self._size[other]:
            self._above[one] = (other, other_v + voltage_v - one_v)
            self._size[other] += self._size[one]
        else:
            self._above[other] = (one, one_v - voltage_v - other_v)
            self._size[one] += self._size[other]

    def find(self, node: Node) -> tuple[Node, float]:
        """Return the first node of this one's group, and how far this one is above it [V]."""
        over_v = 0.0
        while True:
            above, step_v = self._above[node]
            if above == node:
                return node, over_v
            over_v += step_v
            node = above
