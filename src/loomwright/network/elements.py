"""What a network is made of: resistors, sources, draws, each between two nodes."""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Final, TypeAlias

if TYPE_CHECKING:
    from collections.abc import Iterable

#: A node, or the name of an element: a word, or several ("left wheel", "supply", "plus").
Node: TypeAlias = str | tuple[str, ...]

#: The resistance of something that is broken, pulled out or switched off [ohm].
OPEN_OHM: Final = math.inf
_JOINT_OHM = 1e-12
"""What has less is a joint: no meter and no wire knows the difference [ohm]."""
_BREAK_OHM = 1e15
"""What has more is a break: no insulation is better [ohm]."""


class NetworkError(ValueError):
    """A network that can't be, or a question that has no answer: `what` says why, `fix` what to do."""

    def __init__(self, what: str, fix: str) -> None:
        self.what = what
        self.fix = fix
        super().__init__(f"{what} Fix: {fix}")


@dataclass(frozen=True, slots=True, kw_only=True)
class Resistor:
    """A resistance [ohm] between two nodes: 0 joins them, infinity is a break.

    Raises
    ------
    NetworkError
        For a resistance below zero, or one that is no number.
    """

    name: Node
    a: Node
    b: Node
    resistance_ohm: float

    def __post_init__(self) -> None:
        """Refuse what no resistor is."""
        _refuse_below_zero(self.name, self.resistance_ohm)


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """A voltage source [V] with its own resistance [ohm]: 0 is an ideal one, infinity one that is taken out.

    Raises
    ------
    NetworkError
        For a voltage that is no number, or a resistance that no source has.
    """

    name: Node
    plus: Node
    minus: Node
    voltage_v: float
    resistance_ohm: float = 0.0

    def __post_init__(self) -> None:
        """Refuse what no source is."""
        _refuse_below_zero(self.name, self.resistance_ohm)
        _refuse_endless(self.name, "voltage", self.voltage_v)


@dataclass(frozen=True, slots=True, kw_only=True)
class Draw:
    """A load that takes a steady current [A] from plus to minus, whatever its voltage.

    That is a fair picture near the voltage it is made for. It takes nothing where no source reaches both of its ends.

    Raises
    ------
    NetworkError
        For a current that is no number.
    """

    name: Node
    plus: Node
    minus: Node
    current_a: float

    def __post_init__(self) -> None:
        """Refuse what no load takes."""
        _refuse_endless(self.name, "current", self.current_a)


Element: TypeAlias = Resistor | Source | Draw


@dataclass(frozen=True, slots=True)
class Network:
    """Elements between nodes; a node is there as soon as an element names it.

    Raises
    ------
    NetworkError
        Where two elements have the same name.
    """

    elements: tuple[Element, ...] = ()

    def __post_init__(self) -> None:
        """Refuse two elements of one name."""
        twice = [name for name, count in Counter(element.name for element in self.elements).items() if count > 1]
        if twice:
            raise NetworkError(f"Two elements are called {said(twice[0])}.", "Give each element a name of its own.")

    @property
    def nodes(self) -> tuple[Node, ...]:
        """Every node, in the order in which elements name them."""
        return tuple(dict.fromkeys(node for element in self.elements for node in ends(element)))

    def element(self, name: Node) -> Element | None:
        """Return the element of this name, or None."""
        return next((element for element in self.elements if element.name == name), None)

    def along_with(self, *elements: Element) -> Network:
        """Return the network with more elements."""
        return Network((*self.elements, *elements))

    def changed(self, name: Node, *, resistance_ohm: float) -> Network:
        """Return the network with another resistance [ohm] in one resistor or source: a fault is just another value.

        Raises
        ------
        NetworkError
            For a name that no resistor and no source has.
        """
        found = self.element(name)
        if found is None or isinstance(found, Draw):
            raise NetworkError(
                f"No resistor and no source is called {said(name)}.", "Name one of the network's elements."
            )
        other = replace(found, resistance_ohm=resistance_ohm)
        return Network(tuple(other if element is found else element for element in self.elements))

    def opened(self, names: Iterable[Node]) -> Network:
        """Return the network with these resistors and sources broken; their nodes stay, and may float.

        Raises
        ------
        NetworkError
            For a name that no resistor and no source has.
        """
        network = self
        for name in names:
            network = network.changed(name, resistance_ohm=OPEN_OHM)
        return network


def ends(element: Element) -> tuple[Node, Node]:
    """Return the two nodes of an element, for a source or a draw plus first."""
    return (element.a, element.b) if isinstance(element, Resistor) else (element.plus, element.minus)


def is_joint(element: Resistor | Source) -> bool:
    """Tell whether an element holds its nodes together without any resistance."""
    return element.resistance_ohm < _JOINT_OHM


def is_open(element: Resistor | Source) -> bool:
    """Tell whether an element lets nothing through."""
    return element.resistance_ohm > _BREAK_OHM


def said(name: Node) -> str:
    """Write a node's or an element's name for a sentence."""
    return f"`{name}`" if isinstance(name, str) else f"`{' '.join(word for word in name if word)}`"


def _refuse_below_zero(name: Node, resistance_ohm: float) -> None:
    if math.isnan(resistance_ohm) or resistance_ohm < 0:
        raise NetworkError(
            f"{said(name)} has a resistance of {resistance_ohm:g} ohm, which nothing has.",
            "Write 0 for a joint, infinity for a break, or the resistance between.",
        )


def _refuse_endless(name: Node, what: str, value: float) -> None:
    if not math.isfinite(value):
        raise NetworkError(f"{said(name)} has a {what} of {value:g}, which is no amount.", "Write a number.")
