"""The JSON Schema of robot.yaml, from the same form that reads it."""

from __future__ import annotations

import json
from typing import Any

from loomwright.robotfile.form import RobotForm

SCHEMA_NAME = "robot.schema.json"
_WORTH_A_NAME = 120


def robot_schema() -> dict[str, Any]:
    """Return the JSON Schema (draft 2020-12) of the robot file.

    What is said of many things in the same way (a length with its doubt) stands once under `$defs`.
    """
    schema = RobotForm.model_json_schema(mode="validation")
    shared: dict[str, tuple[str, Any]] = {}
    whole = {name: _shared(value, shared) for name, value in schema.items() if name != "$defs"}
    defs = {name: _shared(value, shared) for name, value in schema["$defs"].items()}
    facts = dict(shared.values())
    head = {"$schema": "https://json-schema.org/draft/2020-12/schema", "title": "robot.yaml"}
    return {**head, **{k: v for k, v in whole.items() if k != "title"}, "$defs": {**defs, **facts}}


def _shared(node: Any, shared: dict[str, tuple[str, Any]]) -> Any:  # noqa: ANN401  JSON is anything
    """Replace every large `anyOf` by a reference to one copy of it."""
    if isinstance(node, list):
        return [_shared(item, shared) for item in node]
    if not isinstance(node, dict):
        return node
    held = {
        key: _shared(value, shared) for key, value in node.items() if key not in ("title", "default") or _is_name(node)
    }
    words = json.dumps(held.get("anyOf"), sort_keys=True)
    if "anyOf" not in held or len(words) < _WORTH_A_NAME:
        return held
    name, _ = shared.setdefault(words, (f"said{len(shared) + 1}", {"anyOf": held["anyOf"]}))
    return {**{key: value for key, value in held.items() if key != "anyOf"}, "$ref": f"#/$defs/{name}"}


def _is_name(node: dict[str, Any]) -> bool:
    """Tell whether a mapping holds properties by name, where "title" would be a key of the robot file."""
    return all(isinstance(value, dict) for value in node.values())
