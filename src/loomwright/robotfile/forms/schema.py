"""The JSON Schema of robot.yaml, from the same form that reads it."""

from __future__ import annotations

import json
import re
from typing import Any

from loomwright.robotfile.forms.facts import NAMED
from loomwright.robotfile.forms.form import RobotForm

SCHEMA_NAME = "robot.schema.json"
_DROPPED = ("title", "default", NAMED)
_CHANGEABLE = (
    *("MechanismForm", "MotorForm", "ThingForm", "BlockForm", "BatteryForm", "MainBreakerForm", "BusForm"),
    *("WiresForm", "PlateForm", "UpperPlateForm"),
)


def robot_schema() -> dict[str, Any]:
    """Return the JSON Schema (draft 2020-12) of the robot file.

    What is said of many things in the same way (a length with its doubt) stands once under `$defs`.
    """
    schema = RobotForm.model_json_schema(mode="validation")
    schema["required"] = ["robot"]
    # What a build changes is any thing by its id, with the keys that such a thing has.
    schema["$defs"]["BuildForm"]["properties"]["change"]["additionalProperties"] = {
        "anyOf": [{"$ref": f"#/$defs/{name}"} for name in _CHANGEABLE]
    }
    shared: dict[str, tuple[str, Any]] = {}
    whole = {name: _shared(value, shared) for name, value in schema.items() if name not in ("$defs", "title")}
    defs = {name: _shared(value, shared) for name, value in schema["$defs"].items()}
    head = {"$schema": "https://json-schema.org/draft/2020-12/schema", "title": "robot.yaml"}
    return {**head, **whole, "$defs": {**defs, **dict(shared.values())}}


def _shared(node: Any, shared: dict[str, tuple[str, Any]]) -> Any:  # noqa: ANN401  JSON is anything
    """Replace every piece that has a name by a reference to one copy of it."""
    if isinstance(node, list):
        return [_shared(item, shared) for item in node]
    if not isinstance(node, dict):
        return node
    held = {key: _shared(value, shared) for key, value in node.items() if key not in _DROPPED or _holds_keys(node)}
    if NAMED in node:
        own = {key: held.pop(key) for key in ("description", "examples") if key in held}
        words = json.dumps(held, sort_keys=True)
        name, _ = shared.setdefault(words, (_unused(node[NAMED], shared), held))
        return {**own, "$ref": f"#/$defs/{name}"}
    if "anyOf" in held and not _holds_keys(node):
        held["anyOf"] = [one for one in held["anyOf"] if one != {"type": "null"}]
        if len(held["anyOf"]) == 1:
            return {**held.pop("anyOf")[0], **held}
    return held


def _unused(title: str, shared: dict[str, tuple[str, Any]]) -> str:
    """Make a name for a piece that no other piece has."""
    plain = re.sub(r"[^a-z0-9]+", "-", title.casefold()).strip("-")
    taken = {name for name, _ in shared.values()}
    return next(name for count in range(1, 99) if (name := plain if count == 1 else f"{plain}-{count}") not in taken)


def _holds_keys(node: dict[str, Any]) -> bool:
    """Tell whether a mapping holds properties by name, where "title" would be a key of the robot file."""
    return all(isinstance(value, dict) for value in node.values())
