"""Read YAML into a marked tree: raw text only, every limit kept, every fault found at once."""

from __future__ import annotations

from typing import TYPE_CHECKING

import yaml

from loomwright.findings import UnreadableInputError
from loomwright.robotfile.marked.source_text import read_source
from loomwright.robotfile.marked.tree import Entry, Mapping, Node, Scalar, Sequence, without_marks
from loomwright.robotfile.marked.tree_builder import TreeBuilder
from loomwright.robotfile.marked.yaml_faults import explain

if TYPE_CHECKING:
    from collections.abc import Iterator

__all__ = ["Entry", "Mapping", "Node", "Scalar", "Sequence", "read_tree", "without_marks"]

# The parser built on libyaml is about ten times faster; where it is missing, the slow one gives the same marks.
_LOADER = getattr(yaml, "CSafeLoader", yaml.SafeLoader)


def read_tree(data: bytes, *, file: str) -> Mapping:
    """Read one YAML document whose top is a mapping; `file` is the name used in marks and faults.

    Values keep the text that was typed. Aliases are followed within limits; tags and `<<` are refused.

    Raises
    ------
    UnreadableInputError
        With the first fault of YAML itself, or else with all faults of the content.
    """
    source = read_source(data, file=file)
    events: Iterator[yaml.Event] = yaml.parse(source.text, Loader=_LOADER)
    builder = TreeBuilder(source, events)
    try:
        top = builder.document()
    except yaml.YAMLError as error:
        raise UnreadableInputError([explain(error, source)]) from None
    if builder.faults:
        raise UnreadableInputError(sorted(builder.faults, key=lambda fault: (fault.place.line, fault.place.column)))
    assert isinstance(top, Mapping)  # noqa: S101  anything else is among the faults
    return top
