"""Read a plan.yaml that is as the tool wrote it, quickly; anything else is left to the careful reader.

The file is the largest that every command reads. A sound one needs no marks, so its nodes are turned into plain
data without them; at the first oddity the answer is None, and the careful reader says what is wrong and where.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any, Final

import yaml

from loomwright.plan.memory import PLAN_FORMAT, Memory
from loomwright.robotfile.plans.kept import memory_from
from loomwright.robotfile.plans.plan_form import FORM, Form, Group, Rows, Text

_LARGEST: Final = 2_000_000
_FORMAT: Final = re.compile(r"[1-9][0-9]{0,8}")
_NUMBER_AT_END: Final = re.compile(r"[0-9]{1,9}$")
_LOADER: Final = getattr(yaml, "CBaseLoader", yaml.BaseLoader)


class _OddError(Exception):
    """Something that the tool does not write."""


def quick_memory(data: bytes) -> Memory | None:
    """Return what a sound plan file remembers, or None where anything about it is odd."""
    if len(data) > _LARGEST:
        return None
    try:
        top = _plain(yaml.compose(data, Loader=_LOADER))
        _look_at(top, FORM)
        memory = memory_from(top)
        _look_at_names(top, memory)
    except (_OddError, yaml.YAMLError, RecursionError, KeyError, TypeError, ValueError, AttributeError):
        return None
    return memory


def _plain(node: yaml.Node | None) -> Any:  # noqa: ANN401  YAML is anything
    if isinstance(node, yaml.ScalarNode):
        _refuse(odd=not node.value and not node.style)  # the tool writes nothing as ""
        return node.value
    if isinstance(node, yaml.SequenceNode):
        return [_plain(item) for item in node.value]
    if not isinstance(node, yaml.MappingNode):
        raise _OddError
    held = {key.value: _plain(value) for key, value in node.value if isinstance(key, yaml.ScalarNode)}
    if len(held) != len(node.value):
        raise _OddError
    return held


def _look_at(held: dict[str, Any], fields: Mapping[str, Form]) -> None:
    """Raise at the first value that is not of its form; what a text must say is seen when it is read."""
    for key, form in fields.items():
        value = held.get(key)
        if value is None:
            continue  # where it must not be missing, a KeyError tells
        if isinstance(form, Text):
            _refuse(odd=not isinstance(value, str))
            form.read(value)
        elif isinstance(form, Group):
            _refuse(odd=not isinstance(value, dict))
            _look_at(value, form.fields)
        elif isinstance(form, Rows):
            _refuse(odd=not isinstance(value, list))
            for item in value:
                _look_at(item, form.fields)
        else:
            _refuse(odd=not isinstance(value, list) or not all(isinstance(item, str) for item in value))


def _look_at_names(top: dict[str, Any], memory: Memory) -> None:
    """Raise where something stands twice, an id would be given out again, or a piece is of no wire."""
    used = [int(found[0]) for wire in memory.wires.values() if (found := _NUMBER_AT_END.search(wire))]
    wires = sum(len(circuit["wires"]) for circuit in top["circuits"])
    cut = [wire for held in memory.cuts for piece in held.wires for wire in piece]
    sound = (
        _FORMAT.fullmatch(top["format"])
        and memory.format <= PLAN_FORMAT
        and len(memory.sources) == len(top["circuits"])
        and len(memory.wires) == wires == len(set(memory.wires.values()))
        and len(memory.devices) == len(top.get("devices", ()))
        and len(memory.routes) == len(top.get("runs", ()))
        and len(memory.bundles) == len(top.get("bundles", ()))
        and len(memory.certificates) == len(top.get("proofs", ()))
        and len(cut) == len(set(cut)) == len(set(cut) & set(memory.wires.values()))
        and memory.next_wire > max(used, default=0)
    )
    _refuse(odd=not sound)


def _refuse(*, odd: bool) -> None:
    if odd:
        raise _OddError
