"""What the Data drawing shows, and nothing else: chains in order, and sockets with the leads that go out from them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum


@dataclass(frozen=True, slots=True)
class DataWire:
    """One wire or cable as it is drawn and named.

    `role` is "bus high", "signal" and the like; `colour` a code such as "YE", `gauge` and `length` texts, each empty
    where it is not known. `copper_mm` is the diameter of the bare conductor [mm]. `cable` names a ready-made cable, of
    which nobody asks colour and gauge. `from_left` tells whether end A is the one that is drawn on the left; `own`
    that parts bring the lead along, so that nothing is cut.
    """

    id: str
    role: str = ""
    colour: str = ""
    gauge: str = ""
    length: str = ""
    copper_mm: float = 1.0
    cable: str = ""
    from_left: bool = True
    own: bool = False

    @property
    def complete(self) -> bool:
        """Tell whether everything is known that is asked of it."""
        return bool((self.length or self.own) and (self.cable or (self.gauge and self.colour)))


class Ending(StrEnum):
    """What is known of the terminator at an end of a chain."""

    FITTED = "fitted"
    ASKED = "not told"
    MISSING = "missing"


@dataclass(frozen=True, slots=True)
class DataTerminator:
    """An end of a chain: whether a terminator is there, its resistance as a text, and how it is there or has to be."""

    state: Ending
    ohms: str = ""
    how: str = ""


@dataclass(frozen=True, slots=True)
class DataPlace:
    """One device on a chain.

    `number` is the id on the bus as a text, empty where there is none; `asks` tells that it has one and nobody said
    which for sure. `inlet` and `outlet` are the sockets that the chain uses. `warning` must not be overlooked, `hint`
    is worth knowing.
    """

    device: str
    name: str
    detail: str = ""
    number: str = ""
    asks: bool = False
    inlet: str = ""
    outlet: str = ""
    warning: str = ""
    hint: str = ""


@dataclass(frozen=True, slots=True)
class DataChain:
    """A data bus from device to device.

    `ordered` tells whether the order of `places` is that of the chain; `order` says in words where it comes from, or
    why there is none. `hops` are the wires from each place to the next, none where they are not known. `expect` is the
    reading [ohm, as a text] across high and low that follows from both terminators, empty where they are not known.
    `seen_from` is the place of the computer that reads the bus, counted from 1; 0 where none is on it.
    """

    name: str
    places: tuple[DataPlace, ...]
    hops: tuple[tuple[DataWire, ...], ...] = ()
    start: DataTerminator | None = None
    end: DataTerminator | None = None
    ordered: bool = True
    order: str = ""
    expect: str = ""
    seen_from: int = 0
    notes: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        """Check that wires lie between the places."""
        if self.ordered and len(self.hops) != max(0, len(self.places) - 1):
            raise ValueError(f"{len(self.places)} places have {len(self.hops)} stretches between them")
        if not self.ordered and self.hops:
            raise ValueError("a chain without an order has no wires from place to place")


@dataclass(frozen=True, slots=True)
class DataLead:
    """What is plugged into one socket: its wires, and the thing at their other end with its socket.

    `power` says what a network cable feeds besides, empty for none.
    """

    socket: str
    wires: tuple[DataWire, ...]
    far: str
    far_detail: str = ""
    power: str = ""


@dataclass(frozen=True, slots=True)
class DataHub:
    """A device with the leads that go out from its sockets."""

    device: str
    name: str
    detail: str = ""
    leads: tuple[DataLead, ...] = ()


@dataclass(frozen=True, slots=True)
class DataSection:
    """Leads of one kind, with what has to be said about them."""

    title: str
    hubs: tuple[DataHub, ...]
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class DataSheet:
    """Everything that the Data drawing shows."""

    robot: str
    build: str
    revision: str
    chains: tuple[DataChain, ...] = ()
    sections: tuple[DataSection, ...] = ()

    def wires(self) -> Iterator[DataWire]:
        """Yield all wires in the order in which they are drawn."""
        for chain in self.chains:
            for hop in chain.hops:
                yield from hop
        for section in self.sections:
            for hub in section.hubs:
                for lead in hub.leads:
                    yield from lead.wires
