"""The JSON Schema is what the form says: editors accept what the program reads, and flag the usual slips."""

from __future__ import annotations

import copy
import json
import re
from collections.abc import Iterator
from importlib.resources import files
from pathlib import Path
from typing import Any

import pytest
import yaml
from click.testing import CliRunner
from hypothesis import given
from hypothesis import strategies as st
from jsonschema import Draft202012Validator

from loomwright.cli.main import main
from loomwright.jobs.start import new_folder
from loomwright.robotfile.forms.form import RobotForm
from loomwright.robotfile.forms.schema import SCHEMA_NAME, robot_schema
from loomwright.units import Dimension, show
from loomwright.units.unit_table import Unit, unit_table
from tests.robotfile.test_form import FORMS, TASTE
from tests.robotfile.test_reading import FILES
from tests.robots import robot_of

SCHEMA = robot_schema()
VALIDATOR = Draft202012Validator(SCHEMA)


class Editor(yaml.SafeLoader):
    """Reads YAML as today's editors do: by the core schema of YAML 1.2, where `yes` and `on` are words."""


Editor.yaml_implicit_resolvers = {}
for tag, pattern, starts in (
    ("tag:yaml.org,2002:bool", r"true|True|TRUE|false|False|FALSE", "tTfF"),
    ("tag:yaml.org,2002:null", r"~|null|Null|NULL|", "~nN"),
    ("tag:yaml.org,2002:int", r"[-+]?[0-9]+", "-+0123456789"),
    ("tag:yaml.org,2002:float", r"[-+]?(\.[0-9]+|[0-9]+(\.[0-9]*)?)([eE][-+]?[0-9]+)?", "-+.0123456789"),
):
    Editor.add_implicit_resolver(tag, re.compile(f"^(?:{pattern})$"), [*starts, ""])


def wrong(data: object) -> list[str]:
    """Return what an editor would flag."""
    return [f"{error.json_path}: {error.message[:120]}" for error in VALIDATOR.iter_errors(data)]


def flagged(text: str) -> bool:
    """Tell whether an editor would flag a file."""
    return bool(wrong(yaml.load(text, Loader=Editor)))  # noqa: S506  a safe loader with other words


def test_the_schema_is_valid_itself() -> None:
    """Draft 2020-12, every reference leads somewhere, and nothing is left over that nobody refers to."""
    Draft202012Validator.check_schema(SCHEMA)
    assert SCHEMA["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    used = set(re.findall(r'"#/\$defs/([^"]+)"', json.dumps(SCHEMA)))
    assert used == set(SCHEMA["$defs"])


@pytest.mark.parametrize("name", [*FILES, "taste"])
@pytest.mark.parametrize("loader", [Editor, yaml.BaseLoader], ids=["editor", "all text"])
def test_every_file_that_is_read_is_accepted(name: str, loader: type[yaml.SafeLoader]) -> None:
    """Shipped examples and the file full of doubt: no line of them is underlined."""
    text = {**FILES, "taste": TASTE}[name]
    assert wrong(yaml.load(text, Loader=loader)) == []  # noqa: S506  both are safe


SLIPS = {
    "no name": "battery: {part: battery/agm-12v-18ah}\n",
    "unknown key at the top": "robot: T\nmotors: {}\n",
    "misspelt key": "robot: T\nsensors: {a: {lenght: 85 cm}}\n",
    "key of another thing": "robot: T\nbattery: {slot: H7}\n",
    "no unit": "robot: T\nsensors: {a: {length: 85}}\n",
    "no unit, as text": 'robot: T\nsensors: {a: {length: "85"}}\n',
    "no number": "robot: T\nsensors: {a: {length: long}}\n",
    "gauge without unit": "robot: T\nsensors: {a: {wire: 12}}\n",
    "limit without its side": "robot: T\nmechanisms: {a: {motor: motor/any, limit: 40 A}}\n",
    "limit with a strange piece": "robot: T\nmechanisms: {a: {motor: motor/any, limit: {supply: {top: 3 A}}}}\n",
    "no edge": "robot: T\nsensors: {a: {facing: north}}\n",
    "neither yes nor no": "robot: T\nsensors: {a: {present: perhaps}}\n",
    "place with one length": "robot: T\nsensors: {a: {at: [120 mm]}}\n",
    "place without units": "robot: T\nsensors: {a: {at: [120, 340]}}\n",
    "list where a value belongs": "robot: T\nsensors: {a: {id: [7, 8]}}\n",
    "number below zero": "robot: T\nsensors: {a: {id: -7}}\n",
    "one claim": "robot: T\nsensors: {a: {id: {claims: [7]}}}\n",
    "long form with a key of its own": "robot: T\nsensors: {a: {id: {value: 7, sure: no}}}\n",
    "state that is none": "robot: T\nsensors: {a: {length: 85 (gessed)}}\n",
    "things as a list": "robot: T\nsensors: [a, b]\n",
    "thing as a word": "robot: T\nsensors: {a: sensor/any}\n",
    "no value": "robot: T\nsensors: {a: {length: }}\n",
    "no battery": "robot: T\nbattery:\n",
    "kind of mechanism": "robot: T\nmechanisms: {a: {does: {kind: elevator}}}\n",
    "change that is one value": "robot: T\nbuilds: {b: {change: {a: 3}}}\n",
    "change with a misspelt key": "robot: T\nbuilds: {b: {change: {a: {lenght: 85 cm}}}}\n",
    "add in the wrong place": "robot: T\nbuilds: {b: {add: {battery: {}}}}\n",
    "chain as a word": "robot: T\ndata: {main: rc}\n",
    "trunk with one place": "robot: T\nplate: {trunks: {a: [[0, 0]]}}\n",
    "trunk with four lengths": "robot: T\nplate: {trunks: {a: [[0, 0], [0, 0, 0, 0]]}}\n",
    "keep-out with two corners": "robot: T\nplate: {keep outs: {a: [[0, 0], [8 cm, 8 cm]]}}\n",
    "outline with heights": "robot: T\nplate: {outline: [[0, 0], [8 cm, 0, 0], [8 cm, 8 cm]]}\n",
    "capacity without a unit": "robot: T\nplate: {trunks: {a: {along: [[0, 0], [1 m, 0]], capacity: 20}}}\n",
    "height of the base plate": "robot: T\nplate: {height: 30 cm}\n",
    "slack without a unit": "robot: T\nwires: {slack: 3}\n",
    "step of nothing": "robot: T\nwires: {step: 0}\n",
    "order that is a word": "robot: T\ndata: {main: {order: longest}}\n",
}


@pytest.mark.parametrize("text", SLIPS.values(), ids=SLIPS.keys())
def test_the_usual_slips_are_flagged_while_typing(text: str) -> None:
    """An editor shows them before the program is run."""
    assert flagged(text)


FORMS_OF_A_FACT = {
    "length": [
        "85 cm",
        "34 in",
        '1 1/2"',
        ".5 m",
        "85 cm (guessed)",
        "unknown",
        "none found",
        "{value: 85 cm, source: Mia}",
    ],
    "height": ["-5 cm", "{any of: [5 cm, 6 cm]}", "{claims: [{value: 5 cm, source: a}, 6 cm (guessed)]}"],
    "id": ["7", "'7'", "7 (guessed)", "{value: unknown, note: ask}", "{any of: [7, 8]}"],
    "present": ["yes", "no", "true", "On", "unknown", "yes (guessed)", "{value: no, state: fitted}"],
    "facing": ["left", "Left", "up (guessed)", "{any of: [left, right]}"],
    "at": ["[0, 0]", "[12 cm, 0]", "{value: [1 in, 2 in], state: guessed}", "unknown"],
    "wire": ["12 AWG", "12awg", "1/0 AWG", "0000 ga", '"#12"', "unknown"],
    "slot": ["H7", "7", "H7 (guessed)", "{any of: [H7, 8]}"],
    "port": ["pulse 3", "4", "[digital 0, 1]", "digital 2-3"],
    "channels": ["3", "[3, 2]", "unknown"],
    "also called": ["Eye", "[Eye, Ear]", "{Eye: code}", "7"],
    "over": ["network cable", "Network  Cable"],
    "outputs off below": ["6.8 V", "6750 mV"],
    "draw": ["1.2 A", "200 mA"],
    "drop": ["5 %", "5%"],
    "note": ["words", "7", "true", "2.5"],
}


@pytest.mark.parametrize(("key", "written"), [(key, one) for key, many in FORMS_OF_A_FACT.items() for one in many])
def test_every_form_of_a_fact_is_accepted(key: str, written: str) -> None:
    """What the program reads is not underlined: short, doubtful, long, several, unknown."""
    text = f"robot: T\npneumatics:\n  a:\n    {key}: {written}\n"
    robot_of(text)
    assert not flagged(text)


MORE = [
    "maybe swapped: {which: [a, b], in: id}",
    "maybe swapped: [{which: [a, b], in: id}]",
    "removed: winch",
    "removed: [winch, arm]",
    "removed: {winch: in spring}",
    "stale: {says: a, where: b}",
    "stale: [{says: a, where: b}]",
    "notes: 7",
    "builds: {b: {without: a}}",
    "builds: {b: {without: [a, b], differs: unknown}}",
    "builds: {b: {change: {a: {id: 8}, wires: {ambient: 30 C}, main: {order: [a, b]}}}}",
    "data: {main: {order: unknown, devices: [a, b]}}",
    "data: {main: [a, b]}",
    "data: {main: {order: shortest, devices: [a, b], ends: a}}",
    "data: {main: {order: Shortest, devices: [a, b], ends: [a, b], terminators: [a, b]}}",
    "plate: {keep outs: {well: [[0, 0], [8 cm, 0], [8 cm, 8 cm]]}}",
    "plate: {trunks: {lift: {along: [[0, 0], [0, 0, 9 cm]], capacity: 20 mm, moving: yes, travel: 60 cm}}}",
    "plate: {trunks: {lift: {along: [[0, 0], [1 m, 0]], capacity: As needed}}}",
    "plates: {upper deck: {height: 30 cm, trunks: {a: [[0, 0], [1 m, 0, 40 cm]]}}}",
    "builds: {b: {change: {deck: {height: 2 cm, trunks: {a: [[0, 0], [1 m, 0]]}}}, add: {plates: {b: {note: small}}}}}",
    "wires: {step: 5 mm, service loop: 75 mm, slack: 3 %}",
    "wires: {service loop: 0, slack: 0}",
    "unsaid: ask",
]


@pytest.mark.parametrize("line", MORE)
def test_every_form_of_the_rest_is_accepted(line: str) -> None:
    """One or a list, named or not: what the program reads is not underlined."""
    assert not flagged(f"robot: T\nsensors: {{a: {{}}, b: {{}}}}\n{line}\n")


@given(st.sampled_from(list(unit_table().units)), st.floats(1e-3, 1e5), st.data())
def test_every_spelling_of_a_unit_is_accepted(unit: Unit, size: float, data: st.DataObject) -> None:
    """No unit that the program knows is underlined, however it is spelled."""
    spelling = data.draw(st.sampled_from([s for s, u in unit_table().exact[unit.dimension].items() if u is unit]))
    pattern = re.compile(SCHEMA["$defs"]["an-amount-such-as-85-cm-value"]["anyOf"][0]["pattern"])
    assert pattern.search(f"{size:g} {spelling}")
    assert pattern.search(f"{size:g}{spelling}")
    assert pattern.search(show(1.5, unit.dimension)) or unit.dimension in (Dimension.COUNT, Dimension.NUMBER)


def properties(node: Any, path: str = "") -> Iterator[tuple[str, dict[str, Any]]]:  # noqa: ANN401  any JSON
    """Give every key that the schema allows, with its description."""
    if isinstance(node, dict):
        named = node.get("properties")
        if isinstance(named, dict) and all(isinstance(value, dict) for value in named.values()):
            yield from ((f"{path}.{key}", value) for key, value in named.items())
        for key, value in node.items():
            yield from properties(value, f"{path}.{key}")
    elif isinstance(node, list):
        for item in node:
            yield from properties(item, path)


def test_every_key_has_a_description() -> None:
    """Whoever points at a key in an editor reads what it means."""
    found = list(properties(SCHEMA))
    assert len(found) > 150
    assert [path for path, value in found if not value.get("description")] == []


def test_the_schema_has_the_keys_of_the_form_and_no_other() -> None:
    """The two can't drift apart."""
    for kind in FORMS:
        held = SCHEMA if kind is RobotForm else SCHEMA["$defs"][kind.__name__]
        assert list(held["properties"]) == kind.keys(), kind.__name__
        assert held["additionalProperties"] is False


def test_the_schema_is_written_for_editors_of_every_kind() -> None:
    """Patterns keep to what every editor's engine knows, and the whole stays small."""
    text = json.dumps(SCHEMA)
    assert len(text) < 120_000
    patterns = set(re.findall(r'"pattern": "((?:[^"\\]|\\.)*)"', text))
    assert patterns
    for pattern in patterns:
        plain = json.loads(f'"{pattern}"')
        assert not re.search(r"\(\?|\\[ABZGpP]|\\[\"'%°/ -]", plain), plain


def test_the_command_writes_the_schema_and_new_points_to_it(tmp_path: Path) -> None:
    """`schema` writes what `new` puts beside the robot file, and the first line of that file names it."""
    done = CliRunner().invoke(main, ["schema"])
    assert done.exit_code == 0
    assert json.loads(done.output) == SCHEMA
    new_folder(tmp_path / "mine")
    assert json.loads((tmp_path / "mine" / SCHEMA_NAME).read_text(encoding="utf-8")) == SCHEMA
    first = (tmp_path / "mine" / "robot.yaml").read_text(encoding="utf-8").splitlines()[0]
    assert first == f"# yaml-language-server: $schema={SCHEMA_NAME}"


def test_every_example_points_to_the_schema() -> None:
    """So that whoever copies one has it too."""
    for folder in (files("loomwright") / "data" / "examples").iterdir():
        text = (folder / "robot.yaml").read_text(encoding="utf-8")
        assert text.startswith(f"# yaml-language-server: $schema={SCHEMA_NAME}\n"), folder.name


def test_asking_twice_gives_the_same_schema() -> None:
    """Nothing of one answer leaks into the next."""
    before = copy.deepcopy(SCHEMA)
    assert robot_schema() == before
