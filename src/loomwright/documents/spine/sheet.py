"""What the Spine shows, and nothing else: stations from the battery on, blocks, branches, wires."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum


class Guard(StrEnum):
    """What kind of protection guards a branch; it decides the symbol."""

    BREAKER = "breaker"
    FUSE = "fuse"
    LIMIT = "limit"
    NONE = "none"


@dataclass(frozen=True, slots=True)
class SpineWire:
    """One wire as it is drawn and named.

    `colour` is a code such as "RD" or "RDBK"; `gauge` a text such as "12 AWG"; `length` a text such as "85 cm". Each is
    empty where it is not known, and the drawing then says so. `copper_mm` is the diameter of the bare conductor [mm].
    `cable` names a cable of many conductors ("network cable"), of which nobody asks one colour and one gauge.
    """

    id: str
    colour: str = ""
    gauge: str = ""
    length: str = ""
    copper_mm: float = 1.0
    cable: str = ""

    @property
    def complete(self) -> bool:
        """Tell whether everything is known that is asked of it."""
        return bool(self.length and (self.cable or (self.gauge and self.colour)))


@dataclass(frozen=True, slots=True)
class SpineStation:
    """One thing on the way from the battery to the block, with the wires that leave it towards the next station.

    `both` is whether plus and minus pass through it (a battery, a plug) or plus alone (a main breaker); minus then
    runs past it. A wire that is not known is None; the wires that leave the last station are named by the block.
    """

    title: str
    detail: str = ""
    both: bool = True
    plus: SpineWire | None = None
    minus: SpineWire | None = None


@dataclass(frozen=True, slots=True)
class SpineBranch:
    """One slot and what hangs on it.

    `used` is the share of the tightest limit that is used up (1 is at the limit, above 1 is over it), None where it
    can't be said; `binds` names that limit ("drop"), or says why there is none. `drop` is a text ("0.31 V"), empty
    where not known.
    `state` is one word where the fact is not simply planned ("guessed"). `feeds` is the id of the block or
    regulator that this branch feeds, empty for a plain load. Of a `free` slot only slot, protection and a `load` in
    words ("kept free: lift") are shown.
    """

    slot: str
    protection: str = ""
    guard: Guard = Guard.NONE
    plus: SpineWire | None = None
    minus: SpineWire | None = None
    load: str = ""
    detail: str = ""
    used: float | None = None
    binds: str = ""
    drop: str = ""
    state: str = ""
    free: bool = False
    feeds: str = ""


@dataclass(frozen=True, slots=True)
class SpineBlock:
    """A bar: a distribution block, a sub-block or a regulator, with its branches in slot order.

    `plus` and `minus` bring power from the last stations to a block that no branch feeds.
    """

    id: str
    title: str
    detail: str = ""
    branches: tuple[SpineBranch, ...] = ()
    plus: SpineWire | None = None
    minus: SpineWire | None = None


@dataclass(frozen=True, slots=True)
class SpineSheet:
    """Everything that the Spine shows.

    The blocks that no branch feeds hang on the last station. Raises ValueError where a block has no id or shares it,
    a branch feeds a block that is not there, two branches feed one block, or blocks feed each other in a ring.
    """

    robot: str
    build: str
    revision: str
    stations: tuple[SpineStation, ...]
    blocks: tuple[SpineBlock, ...]

    def __post_init__(self) -> None:
        """Check that the blocks form trees."""
        ids = [block.id for block in self.blocks]
        fed = [branch.feeds for block in self.blocks for branch in block.branches if branch.feeds]
        if not all(ids):
            raise ValueError("a block has no id")
        for name, times in Counter(ids).items():
            if times > 1:
                raise ValueError(f"two blocks are called {name!r}")
        for name, times in Counter(fed).items():
            if name not in ids:
                raise ValueError(f"a branch feeds {name!r}, which is not among the blocks")
            if times > 1:
                raise ValueError(f"{name!r} is fed by {times} branches")
        reached = [block.id for block in self.downwards()]
        if len(reached) < len(ids):
            raise ValueError(f"blocks feed each other in a ring: {', '.join(sorted(set(ids) - set(reached)))}")

    @property
    def roots(self) -> tuple[SpineBlock, ...]:
        """The blocks that no branch feeds."""
        fed = {branch.feeds for block in self.blocks for branch in block.branches}
        return tuple(block for block in self.blocks if block.id not in fed)

    def block(self, name: str) -> SpineBlock:
        """Return the block of this id."""
        return next(block for block in self.blocks if block.id == name)

    def branches(self) -> tuple[SpineBranch, ...]:
        """Return all branches, in the order in which they are drawn."""
        return tuple(branch for block in self.downwards() for branch in block.branches)

    def wires(self) -> tuple[SpineWire, ...]:
        """Return all wires that are named, leads first; one that is None is not among them."""
        ends = [(station.plus, station.minus) for station in self.stations]
        ends += [(block.plus, block.minus) for block in self.roots]
        ends += [(branch.plus, branch.minus) for branch in self.branches()]
        return tuple(wire for pair in ends for wire in pair if wire is not None)

    def downwards(self) -> Iterator[SpineBlock]:
        """Yield the blocks in the order in which they are drawn, each before those that it feeds."""
        blocks = list(self.roots)
        while blocks:
            block = blocks.pop(0)
            yield block
            blocks[:0] = [self.block(branch.feeds) for branch in block.branches if branch.feeds]
