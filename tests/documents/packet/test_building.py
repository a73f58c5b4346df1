"""What the packet says beside the wires in build order, and on the pit card beside the slots."""

from __future__ import annotations

from loomwright.documents.packet.blocks import Rows, Table
from loomwright.documents.packet.building import wires_in_order
from loomwright.documents.packet.pit import _slots
from loomwright.proof.build_order import build_order
from loomwright.proof.slot_map import slot_maps
from tests.robots import example_plan


def notes(example: str) -> dict[str, str]:
    """Return the note of each group by its title."""
    tables = [block for block in wires_in_order(example_plan(example)).blocks if isinstance(block, Table)]
    return {rows.title: rows.note for table in tables for rows in table.groups}


def test_a_group_says_how_long_the_leads_are_that_its_wires_meet() -> None:
    """Jumpers between devices 38 cm apart are 16 cm long, since each device brings 30 cm of its own bus lead."""
    plan, told = example_plan("tidepool"), notes("tidepool")
    wires = {wire.id: wire for wire in plan.wires}
    for group in build_order(plan):
        ports = [end.port for w in group.wires if not wires[w].captive for end in (wires[w].a, wires[w].b)]
        leads = {port.lead_length_m for port in ports if port is not None and port.lead_length_m}
        (_, _, said) = told[group.title].partition("own lead of ")
        assert said.startswith(" and ".join(f"{100 * lead_m:.0f} cm" for lead_m in sorted(leads))), group.title
        assert bool(said) is bool(leads), group.title
    assert "own lead of" not in "".join(notes("rockpool").values())


def test_a_label_that_says_something_else_is_told_as_a_label() -> None:
    """L9 of the example is labelled for lights and feeds air; a label that says the same is not said twice."""
    maps = slot_maps(example_plan("tidepool"))
    rows: list[Rows] = [_slots(held) for held in maps]
    loads = {row[0]: row[2] for held in rows for row in held.rows}
    assert loads["L9"] == "air module (labelled: lights)"
    assert loads["H1"] == "left front"
