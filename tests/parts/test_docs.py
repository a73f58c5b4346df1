"""docs/parts.md: its case works, and its tables are the ones that the program reads."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from loomwright.catalogue.tables import table
from loomwright.model.part import Polarity, PortKind, Role
from loomwright.robotfile.marked.yaml_tree import read_tree
from loomwright.robotfile.parts import part_ports, partfile
from loomwright.robotfile.parts.library import Library
from loomwright.wiring.feeds import fits

PAGE = Path(__file__).resolve().parents[2] / "docs" / "parts.md"
HEADS = {
    "port_class": {
        "name": "name",
        "kind": "kind",
        "thinnest_awg": "thinnest AWG",
        "thickest_awg": "thickest AWG",
        "strip_mm": "strip, mm",
        "size_mm": "stud or blade, mm",
        "doubled_end": "doubled end",
        "friction_only": "friction only",
        "source": "source",
    },
    "part_kind": {"kind": "kind", "meaning": "what it is", "own_board": "wires end on a board"},
    "part_value": {"name": "value", "dimension": "what kind of amount", "meaning": "what it says"},
}


def as_markdown(name: str) -> str:
    """Write a table of the program as the page has it."""
    heads = HEADS[name]
    lines = [f"| {' | '.join(heads.values())} |", f"|{'---|' * len(heads)}"]
    lines += [f"| {' | '.join(row[column] for column in heads)} |" for row in table(name)]
    return "\n".join(lines)


def shipped_as_markdown() -> str:
    """Write the list of shipped parts as the page has it."""
    library = Library()
    parts = [part for part_id in library.ids() if (part := library.part(part_id)) is not None]
    return "\n".join(["| part | what it is |", "|---|---|", *(f"| `{part.id}` | {part.title} |" for part in parts)])


def on_page(name: str) -> str:
    """Give one table of the page."""
    found = re.search(rf"<!-- table: {name} -->\n\n(.*?)\n\n<!-- end -->", PAGE.read_text(encoding="utf-8"), re.DOTALL)
    assert found is not None
    return found[1]


def blocks() -> list[str]:
    """Give the YAML on the page."""
    return re.findall(r"```yaml\n(.*?)```", PAGE.read_text(encoding="utf-8"), re.DOTALL)


@pytest.mark.parametrize("name", HEADS)
def test_the_page_prints_the_tables_of_the_program(name: str) -> None:
    """Nobody keeps two copies by hand."""
    assert on_page(name) == as_markdown(name)


def test_the_page_lists_every_shipped_part() -> None:
    """Each id with its title."""
    assert on_page("shipped") == shipped_as_markdown()


def test_the_case_on_the_page_is_a_part_that_works(tmp_path: Path) -> None:
    """The file loads by its name, and the light strip of the case fits its outlet."""
    (tmp_path / "regulator").mkdir()
    (tmp_path / "regulator" / "lights-5v.yaml").write_text(blocks()[0], encoding="utf-8")
    library = Library(tmp_path)
    part, strip = library.part("regulator/lights-5v"), library.part("light/strip-5v")
    assert part is not None
    assert strip is not None
    outlet, supply = part.socket("out 2"), strip.first(Role.SUPPLY)
    assert outlet is not None
    assert supply is not None
    assert fits(outlet, supply)
    port = outlet.port(Polarity.PLUS)
    assert port is not None
    assert (port.kind, port.strip_m) == (PortKind.PUSH, 0.009)
    read_tree(blocks()[1].encode(), file="robot.yaml")


def test_the_page_has_every_key_of_a_part_file() -> None:
    """A key that the reader takes is explained, and no other."""
    section = PAGE.read_text(encoding="utf-8").partition("## Every key")[2].partition("\n## ")[0]
    told = set(re.findall(r"^\| (`[^|]+`) \|", section, re.MULTILINE))
    words = {word for cell in told for word in re.findall(r"`([^`]+)`", cell)}
    keys = {*partfile.PART_KEYS, *part_ports.SOCKET_KEYS, *part_ports.HOLD_KEYS}
    assert words == keys
