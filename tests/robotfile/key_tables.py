"""Write the tables of keys that docs/robot-file.md prints, from the form that reads the file."""

from __future__ import annotations

import re
import sys
from pathlib import Path
from typing import Any, Final

from pydantic import BeforeValidator
from pydantic.fields import FieldInfo

from loomwright.robotfile.forms import form, form_plates, form_things
from loomwright.robotfile.forms.facts import FactOf
from loomwright.robotfile.forms.form_base import Form

PAGE: Final = Path(__file__).resolve().parents[2] / "docs" / "robot-file.md"
TABLES: Final[dict[str, type[Form]]] = {
    "file": form.RobotForm,
    "anything": form_things.PlacedForm,
    "fed": form_things.FedForm,
    "thing": form_things.ThingForm,
    "motor": form_things.MotorForm,
    "limit": form_things.LimitsForm,
    "mechanism": form_things.MechanismForm,
    "does": form_things.DoesForm,
    "battery": form_things.BatteryForm,
    "main breaker": form_things.MainBreakerForm,
    "block": form_things.BlockForm,
    "data": form.BusForm,
    "plate": form_plates.PlateForm,
    "upper plate": form_plates.UpperPlateForm,
    "trunk": form_plates.TrunkForm,
    "wires": form.WiresForm,
    "build": form.BuildForm,
    "add": form.AddForm,
    "swapped": form.SwapForm,
    "stale": form.StaleForm,
}
_TABLE = re.compile(r"(<!-- keys: (?P<name>[a-z ]+) -->\n\n)(?P<table>.*?)(\n*<!-- end -->)", re.DOTALL)
#: What is written for values that are no facts, by the function that reads them.
_WRITTEN = {
    "text_of": "any text",
    "id_list_of": "`[one id, another id]`",
    "line_of": "`[[0, 0], [640 mm, 0], [640 mm, 0, 90 cm]]`",
    "area_of": "`[[0, 0], [640 mm, 0], [640 mm, 700 mm]]`",
    "links_of": "`[[one id, another id]]`",
    "names_of": "`Lift B`, or `{Lift B: code}`",
    "remarks_of": "a text, a list, or texts by name",
    "branches": "`an id: {a key: the value}`",
}


def table(kind: type[Form]) -> str:
    """Return the keys of one form as a table, without those that it takes from another form."""
    taken = {name for above in kind.__mro__[1:] if issubclass(above, Form) for name in above.model_fields}
    rows = [
        f"| `{field.alias}` | {example(field)} | {field.description} |"
        for name, field in kind.model_fields.items()
        if name not in taken
    ]
    return "\n".join(["| key | write | meaning |", "|---|---|---|", *rows])


def example(field: FieldInfo) -> str:
    """Return what a key's value looks like."""
    if field.examples:
        return ", ".join(f"`{one}`" for one in field.examples)
    for held in field.metadata:
        if isinstance(held, FactOf):
            return ", ".join(f"`{one}`" for one in _examples(held.reader.schema))
        if isinstance(held, BeforeValidator):
            read: Any = held.func
            name = getattr(read, "__name__", "")
            if name in _WRITTEN:
                return _WRITTEN[name]
            if not name:
                return f"`{read.args[0]}`"
    return "keys of its own"


def _examples(schema: dict[str, Any]) -> list[str]:
    """Return the examples of a value, or all the words that it may be."""
    for place in (schema, *schema.get("anyOf", ())):
        if "enum" in place:
            return list(place["enum"])
        if "examples" in place:
            return [_on_one_line(one) for one in place["examples"]]
    if {"type": "boolean"} in schema.get("anyOf", ()):
        return ["yes", "no"]
    raise LookupError(f"no example in {schema}")


def _on_one_line(one: object) -> str:
    return f"[{', '.join(map(str, one))}]" if isinstance(one, list) else str(one)


def on_page() -> dict[str, str]:
    """Return the tables that the page has, by name."""
    return {found["name"]: found["table"] for found in _TABLE.finditer(PAGE.read_text(encoding="utf-8"))}


def write() -> None:
    """Put the tables of today into the page."""
    text = PAGE.read_text(encoding="utf-8")
    PAGE.write_text(
        _TABLE.sub(lambda found: f"{found[1]}{table(TABLES[found['name']])}\n\n<!-- end -->", text), encoding="utf-8"
    )


if __name__ == "__main__":
    write()
    sys.stdout.write(f"{PAGE.name} has the tables of the form.\n")
