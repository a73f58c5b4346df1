"""Tables, docs/sources.toml and the program hold each other."""

from __future__ import annotations

import re
import tomllib
from importlib.resources import files
from pathlib import Path

import pytest

from loomwright.catalogue.sources import source, sources
from loomwright.catalogue.tables import table
from tests.reference.published import FOLDER, rows

ROOT = FOLDER.parent.parent
STANDINGS = {"published", "quoted", "common practice", "from memory", "computed", "chosen"}
SHIPPED = sorted(path.stem for path in Path(str(files("loomwright") / "data" / "tables")).glob("*.csv"))
COPIED = sorted(path.stem for path in FOLDER.glob("*.csv"))


def _keys_in_tables() -> set[str]:
    shipped = {row["source"] for name in SHIPPED for row in table(name) if "source" in row}
    return shipped | {row["source"] for name in COPIED for row in rows(name)}


def test_every_row_names_a_source_that_exists() -> None:
    """No table row without a source, no key without its entry."""
    assert SHIPPED
    assert COPIED
    assert _keys_in_tables() - set(sources()) == set()


def test_a_table_without_sources_holds_words_only() -> None:
    """What a column of units, parts or kinds means needs no source; a number does."""
    for name in SHIPPED:
        words = [cell for row in table(name) if "source" not in row for cell in row.values()]
        assert not [cell for cell in words if re.fullmatch(r"-?\d+(\.\d+)?", cell)], name


def test_every_source_is_used() -> None:
    """A key is in a table, or the program or a part speaks of it."""
    kinds = {".py", ".yaml", ".toml", ".csv"}
    texts = [p.read_text(encoding="utf-8") for p in (ROOT / "src").rglob("*") if p.suffix in kinds and p.is_file()]
    words = {word.strip(".") for word in re.findall(r"[\w.-]+", "\n".join(texts))}
    unused = {key for key in sources() if key not in _keys_in_tables() and key not in words}
    assert unused == set()


def test_every_source_says_where_and_how_it_was_come_by() -> None:
    """Title, place and standing are there; what is from memory says so in its key as well."""
    for key, entry in sources().items():
        assert entry.title, key
        assert entry.standing in STANDINGS, key
        assert (entry.standing == "from memory") == key.endswith("memory"), key


def test_a_source_is_told_in_one_line() -> None:
    """A document is named with its place; what is no document says so."""
    assert str(source("cfr-183.425-table-5")) == (
        "33 CFR 183.425, conductors: general; Table 5, allowable amperage of conductors"
    )
    assert str(source("breaker-ambient")).endswith("(common practice)")
    with pytest.raises(KeyError):
        source("hearsay")


def test_the_file_is_the_one_in_docs() -> None:
    """What the program reads is docs/sources.toml, entry by entry."""
    written = tomllib.loads((ROOT / "docs" / "sources.toml").read_text(encoding="utf-8"))
    assert {key: entry["title"] for key, entry in written.items()} == {k: s.title for k, s in sources().items()}
