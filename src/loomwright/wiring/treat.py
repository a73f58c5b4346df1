"""What is done to a wire's end: the port and the gauge pick a row of the table, nothing else does."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache

from loomwright.catalogue.part_terms import size_name
from loomwright.catalogue.pull_force import pull_force_n
from loomwright.catalogue.tables import number, table
from loomwright.model.part import Polarity, Port, PortKind
from loomwright.units.gauge import Gauge
from loomwright.wiring.treatment import Treatment

HOUSED = "housed contact"
THREE_PHASE = "three-phase joint"
BUS = "bus contact"
FOLDED = "folded"

PHASES = (Polarity.PHASE_A, Polarity.PHASE_B, Polarity.PHASE_C)

_BY_POLARITY = {
    **dict.fromkeys(PHASES, THREE_PHASE),
    Polarity.BUS_HIGH: BUS,
    Polarity.BUS_LOW: BUS,
}
_DOUBLED = 3
"""Twice the copper is three gauge numbers thicker (92^(1/39) in diameter a number)."""


@dataclass(frozen=True, slots=True)
class _Row:
    kind: PortKind
    way: str
    thinnest: Gauge | None
    thickest: Gauge | None
    cells: Mapping[str, str]

    def takes(self, gauge: Gauge | None) -> bool:
        if self.thinnest is None or self.thickest is None:
            return True
        return gauge is not None and self.thickest.number <= gauge.number <= self.thinnest.number


def treat(port: Port, gauge: Gauge | None, *, joint: str = "") -> Treatment | None:
    """Tell how a wire of this gauge is ended at this port; None where no end of the table fits.

    The gauge may be None only where it does not matter (ready-made plugs). Where the wire joins a captive
    lead, `joint` is the joint that the robot file asks for, one of `joints()`; without it the lead's
    conductor decides, and for "none" there is no end to make. The thicker side picks the terminal, the
    thinner one the pull force. A clamp's own strip length comes before the table's. A thin end is folded
    where the port allows it and twice the copper still fits; it is stripped twice as long, since folded it has to
    reach as deep as any other end in that clamp.
    """
    lead = port.lead_gauge if port.kind is PortKind.LEAD else None
    sides = [side for side in (gauge, lead) if side is not None]
    thick = min(sides, key=_number, default=None)
    thin = max(sides, key=_number, default=None)
    row = _row(port.kind, _way(port, gauge, joint), thick)
    return None if row is None else _treatment(row.cells, port, thin)


def joints() -> tuple[str, ...]:
    """Return the joints that a captive lead can have, as the robot file names them."""
    return tuple(dict.fromkeys(row.way for row in _rows() if row.kind is PortKind.LEAD))


def _number(gauge: Gauge) -> int:
    return gauge.number


def _way(port: Port, gauge: Gauge | None, joint: str) -> str:
    if port.kind is PortKind.LEAD:
        return joint or _BY_POLARITY.get(port.polarity, HOUSED)
    return FOLDED if gauge is not None and _folds(port, gauge) else ""


def _folds(port: Port, gauge: Gauge) -> bool:
    fits = port.thickest is None or port.thickest.number <= gauge.number - _DOUBLED
    return port.doubled_end and fits and _row(port.kind, FOLDED, gauge) is not None


def _row(kind: PortKind, way: str, gauge: Gauge | None) -> _Row | None:
    return next((row for row in _rows() if row.kind is kind and row.way == way and row.takes(gauge)), None)


@lru_cache(maxsize=1)
def _rows() -> tuple[_Row, ...]:
    return tuple(
        _Row(
            kind=PortKind(cells["kind"]),
            way=cells["way"],
            thinnest=Gauge.parse(cells["thinnest_awg"]) if cells["thinnest_awg"] else None,
            thickest=Gauge.parse(cells["thickest_awg"]) if cells["thickest_awg"] else None,
            cells=cells,
        )
        for cells in table("end_treatment")
    )


def _treatment(cells: Mapping[str, str], port: Port, gauge: Gauge | None) -> Treatment:
    strip_mm = number(cells, "strip_mm")
    strip_m = None if strip_mm is None else strip_mm / 1000
    strip_source = cells["strip_source"]
    folded = cells["folded"] == "yes"
    if port.strip_m is not None and strip_m is not None:
        strip_m, strip_source = (2 if folded else 1) * port.strip_m, port.source
    standard = cells["pull_standard"]
    return Treatment(
        terminal=cells["terminal"].format(size=_size(port)),
        strip_m=strip_m,
        strip_source=strip_source,
        folded=folded,
        tool=cells["tool"],
        insulation=cells["insulation"],
        good=cells["good"],
        pull_standard=standard,
        pull_n=pull_force_n(standard, gauge) if standard and gauge is not None else None,
        friction_only=port.friction_only or cells["friction_only"] == "yes",
        hand_pull=cells["hand_pull"] == "yes" and not port.on_board,
        source=cells["source"],
    )


def _size(port: Port) -> str:
    if port.stud_m is None:
        return "matching"
    return size_name("tab" if port.kind is PortKind.BLADE else "stud", port.stud_m)
