"""Read a plan.yaml that is as the tool wrote it, quickly; anything else is left to the careful reader.

The file is the largest that every command reads. A sound one needs no marks, so its nodes are turned into plain
data without them; at the first oddity the answer is None, and the careful reader says what is wrong and where.
"""

from __future__ import annotations

import re
from typing import Any, Final

import yaml

from loomwright.plan.memory import PLAN_FORMAT, Memory

_LARGEST: Final = 1_000_000
_WHOLE: Final = re.compile(r"[1-9][0-9]{0,8}")
_NUMBER_AT_END: Final = re.compile(r"[0-9]{1,9}$")
_LOADER: Final = getattr(yaml, "CBaseLoader", yaml.BaseLoader)
_TOP: Final = ("robot", "build", "revision", "inputs")


class _OddError(Exception):
    """Something that the tool does not write."""


def quick_memory(data: bytes) -> Memory | None:
    """Return what a sound plan file remembers, or None where anything about it is odd."""
    if len(data) > _LARGEST:
        return None
    try:
        top = _plain(yaml.compose(data, Loader=_LOADER))
        return _memory(top)
    except (_OddError, yaml.YAMLError, UnicodeDecodeError, RecursionError, KeyError, TypeError, AttributeError):
        return None


def _plain(node: yaml.Node | None) -> Any:  # noqa: ANN401  YAML is anything
    if isinstance(node, yaml.ScalarNode):
        return node.value
    if isinstance(node, yaml.SequenceNode):
        return [_plain(item) for item in node.value]
    if not isinstance(node, yaml.MappingNode):
        raise _OddError
    held = {key.value: _plain(value) for key, value in node.value if isinstance(key, yaml.ScalarNode)}
    if len(held) != len(node.value):
        raise _OddError
    return held


def _memory(top: dict[str, Any]) -> Memory:
    if top["format"] != str(PLAN_FORMAT) or not _WHOLE.fullmatch(top["next wire"]):
        raise _OddError
    wires: dict[tuple[str, str], str] = {}
    slots: dict[str, str] = {}
    sources: dict[str, str] = {}
    count = 0
    for circuit in top["circuits"]:
        name = circuit["circuit"]
        sources[name] = circuit["source"]
        slot = circuit["slot"]["value"]
        if slot:
            slots[name] = slot
        for wire in circuit["wires"]:
            wires[name, wire["role"]] = wire["id"]
            count += 1
    next_wire = int(top["next wire"])
    texts = [*sources, *sources.values(), *slots.values(), *wires.values(), *(top[key] for key in _TOP)]
    used = [int(found[0]) for wire in wires.values() if (found := _NUMBER_AT_END.search(wire))]
    sound = (
        all(isinstance(text, str) for text in texts)
        and len(sources) == len(top["circuits"])
        and len(wires) == count == len(set(wires.values()))
        and next_wire > max(used, default=0)
    )
    if not sound:
        raise _OddError
    return Memory(
        robot=top["robot"],
        build=top["build"],
        revision=top["revision"],
        inputs=top["inputs"],
        next_wire=next_wire,
        wires=wires,
        slots=slots,
        sources=sources,
    )
