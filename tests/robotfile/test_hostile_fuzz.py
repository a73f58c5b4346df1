"""Whatever somebody or something does to a robot file: exit 0, 1 or 2, and never a traceback.

A longer run: `FUZZ_EXAMPLES=20000 python -m pytest tests/robotfile/test_hostile_fuzz.py`.
"""

from __future__ import annotations

import os
import tempfile
from pathlib import Path
from typing import Any

import pytest
import yaml
from click.testing import CliRunner
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from loomwright.cli.main import main
from loomwright.robotfile.parts.library import Library
from tests.robotfile.test_reading import FILES

EXAMPLES = int(os.environ.get("FUZZ_EXAMPLES", "25"))
LIMITS = settings(max_examples=EXAMPLES, suppress_health_check=[HealthCheck.too_slow], deadline=None)
TEXTS = list(FILES.values())
DATA = [yaml.load(text, Loader=yaml.BaseLoader) for text in TEXTS]  # noqa: S506  BaseLoader gives plain text only
SCALARS = [
    "", "unknown", "none found", "none", "?", "H1", "H1 (guessed)", "0", "-1", "1e30", "1e999999999", "nan", ".inf",
    "99999999999", "1/0", "0.5", "12 AWG", "40 A", "0 A", "85 cm", "-85 cm", "0 cm", "100 m", "5 %", "500 %", "30 C",
    "-300 C", "yes", "no", "on", "built in", "block", "battery", "main", "main breaker", "left front", "lift",
    "robot controller", "motor/any", "block/any", "motor/brushed", "controller/any", "computer/any", "device/any",
    "sensor/any", "plug/battery-quick-disconnect", "breaker/snap-action-40a", "regulator/any", "light/signal",
    "pneumatics/any", "valve/any", "servo/any", "radio/any", "terminator/bus-120-ohm", "../../x", "x" * 200, "²", "٣",
    "digital 0-63", "pulse 0", "heavy", "fused", "network cable", "ask", "bus", "network", "drive", "practice",
    "é\u0301",
]  # fmt: skip
PIECES = [
    *"{}[]:,#&*!|>'\"%@`-?~\t\n \\\x00\x85\ufeff\u2028é",
    "- ",
    ": ",
    " #",
    "<<: ",
    "!!str ",
    "&a ",
    "*a",
    "---\n",
    "...\n",
]


def ending(data: bytes, *words: str) -> int:
    """Check a robot file and return the exit code; a mistake of ours is raised."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        (folder / "robot.yaml").write_bytes(data)
        done = CliRunner().invoke(main, ["check", name, *words])
        assert [path.name for path in folder.iterdir()] == ["robot.yaml"]
    if done.exception is not None and not isinstance(done.exception, SystemExit):
        raise done.exception
    assert "Traceback" not in done.output
    return done.exit_code


@st.composite
def scribbled(draw: st.DrawFn) -> str:
    """Draw a file that somebody's fingers slipped over: characters and lines lost, doubled, swapped, put in."""
    text = draw(st.sampled_from(TEXTS))
    for _ in range(draw(st.integers(1, 4))):
        at = draw(st.integers(0, max(len(text) - 1, 0)))
        length = draw(st.sampled_from([1, 1, 2, 5, 20, 200]))
        lines = text.splitlines(keepends=True)
        match draw(st.sampled_from(["cut", "double", "put", "swap", "lose line", "double line", "indent"])):
            case "cut":
                text = text[:at] + text[at + length :]
            case "double":
                text = text[: at + length] + text[at : at + length] + text[at + length :]
            case "put":
                text = text[:at] + draw(st.sampled_from(PIECES)) + text[at:]
            case kind if lines:
                one, other = (draw(st.integers(0, len(lines) - 1)) for _ in range(2))
                if kind == "swap":
                    lines[one], lines[other] = lines[other], lines[one]
                elif kind == "lose line":
                    del lines[one]
                elif kind == "double line":
                    lines.insert(other, lines[one])
                else:
                    lines[one] = draw(st.sampled_from(["  ", " ", "\t", ""])) + lines[one].lstrip(" ")
                text = "".join(lines)
    return text


def nasty() -> st.SearchStrategy[Any]:
    """Draw a value that stands in the wrong place: a word, a list, a mapping, doubt, depth."""
    scalar = st.sampled_from(SCALARS)
    keys = st.sampled_from(
        ["value", "claims", "any of", "state", "note", "hold", "peak", "for", "motor", "order", "x", ""]
    )
    return st.recursive(
        scalar, lambda inner: st.lists(inner, max_size=3) | st.dictionaries(keys, inner, max_size=3), max_leaves=6
    )


@st.composite
def rebuilt(draw: st.DrawFn) -> str:
    """Draw a file that YAML likes and nobody meant: values replaced, moved, renamed, taken out."""
    data = yaml.safe_load(yaml.safe_dump(draw(st.sampled_from(DATA))))
    for _ in range(draw(st.integers(1, 4))):
        spots = list(places(data))
        holder, key = draw(st.sampled_from(spots))
        if key not in holder and not isinstance(holder, list):
            continue
        match draw(st.sampled_from(["replace", "replace", "move", "rename", "lose", "add"])):
            case "replace":
                holder[key] = draw(nasty())
            case "move":
                other, name = draw(st.sampled_from(spots))
                holder[key] = yaml.safe_load(
                    yaml.safe_dump(other[name] if name in other or isinstance(other, list) else "x")
                )
            case "lose":
                del holder[key]
            case kind if isinstance(holder, dict):
                name = draw(st.sampled_from([*SCALARS, *(str(name) for _, name in spots)]))
                holder[name] = holder.pop(key) if kind == "rename" else draw(nasty())
    return yaml.safe_dump(data, sort_keys=False, allow_unicode=True)


FED: dict[str, list[Any]] = {
    "slot": ["H1", "H2", "L1", "L2"],
    "length": ["1 mm", "85 cm", "40 m"],
    "wire": ["4/0 AWG", "12 AWG", "22 AWG", "40 AWG"],
    "protection": ["1 A", "10 A", "40 A", "300 A"],
    "id": ["0", "1", "2", "63"],
    "present": ["yes", "no"],
    "bus": ["none", "none"],
    "maker": ["group A", "group B"],
    "from": ["block", "robot controller", "main breaker"],
    "feed": ["heavy", "light", "fused"],
    "over": ["wires", "network cable"],
    "draw": ["1 mA", "3 A", "500 A"],
    "bundle": ["1", "60"],
    "drop": ["0.1 %", "50 %"],
    "at": [["0", "0"], ["-5 m", "5 m"], ["1 mm", "1 mm"]],
    "height": ["-1 m", "0 cm", "2 m"],
    "port": ["pulse 0", "digital 0-5", "data", ["analog 0", "analog 1"]],
    "joint": ["none", "butt joint", "housed contact"],
    "plus colour": ["red", "BK"],
}
MOTOR: dict[str, list[Any]] = {
    **FED,
    "motor": [name for name in Library().ids() if name.startswith("motor/")],
    "controller": [name for name in Library().ids() if name.startswith("controller/")],
    "motor length": ["1 mm", "85 cm", "40 m"],
    "limit": [{"supply": "0 A"}, {"supply": "300 A", "motor": "1 A"}, {"enabled": "no", "supply": "5 A"}],
    "ramp": ["0 s", "0.2 s to 0.3 s", "1000 s"],
}
WHOLE: dict[str, list[Any]] = {
    "leads": ["4/0 AWG", "6 AWG", "22 AWG"],
    "lead length": ["1 mm", "85 cm", "40 m"],
    "terminators": [["robot controller"], ["block", "robot controller"]],
    "jumper": ["yes", "no"],
    "unsaid": ["ask", "decide"],
    "rules": ["common-practice", "bench-trainer"],
}
GROUPS = ("sensors", "lights", "electronics", "pneumatics", "data", "blocks", "main breaker", "battery", "every motor")


@st.composite
def said_otherwise(draw: st.DrawFn) -> str:
    """Draw a file in which facts are other facts, doubtful, disputed or gone: it can be read, and has to be judged."""
    data = yaml.safe_load(yaml.safe_dump(draw(st.sampled_from(DATA))))
    holders = [holder for holder, key in places(data) if isinstance(holder, dict) and key in ("part", "motor", *WHOLE)]
    for _ in range(draw(st.integers(1, 4))):
        holder = draw(st.sampled_from(holders))
        pool = dict(MOTOR if "motor" in holder else FED if "part" in holder and "leads" not in holder else {})
        pool |= {key: values for key, values in WHOLE.items() if key in holder}
        if "part" in holder:
            kind = str(holder["part"]).split("/", maxsplit=1)[0]
            pool["part"] = [name for name in Library().ids() if name.startswith(f"{kind}/")] or ["unknown"]
        if not pool:
            continue
        key = draw(st.sampled_from(list(pool)))
        one, other = (draw(st.sampled_from(pool[key])) for _ in range(2))
        holder[key] = one if key in ("limit", "rules") or draw(st.booleans()) else draw(doubtful(one, other))
    if draw(st.integers(0, 3)) == 0:
        data.pop(draw(st.sampled_from(GROUPS)), None)
    return yaml.safe_dump(data, sort_keys=False, allow_unicode=True)


def doubtful(one: Any, other: Any) -> st.SearchStrategy[Any]:  # noqa: ANN401  any value of a file
    """Draw one of the ways to say that something is not sure."""
    claims = {"claims": [{"value": one, "source": "code"}, other]}
    return st.sampled_from(
        ["unknown", "none found", {"value": one, "state": "guessed"}, {"any of": [one, other]}, claims]
    )


def places(data: Any) -> list[tuple[Any, Any]]:  # noqa: ANN401  any data of a file
    """Give every container of a file with each of its keys."""
    found: list[tuple[Any, Any]] = []
    items = list(data.items()) if isinstance(data, dict) else list(enumerate(data)) if isinstance(data, list) else []
    for key, value in items:
        found.append((data, key))
        found += places(value)
    return found


@given(scribbled())
@LIMITS
def test_slips_of_the_fingers_never_break_the_check(text: str) -> None:
    """Lost, doubled and swapped characters and lines."""
    assert ending(text.encode("utf-8", "surrogatepass")) in (0, 1, 2)


@given(rebuilt())
@LIMITS
def test_values_in_the_wrong_place_never_break_the_check(text: str) -> None:
    """Well-formed YAML with anything anywhere: what is read may be planned, judged and told."""
    assert ending(text.encode()) in (0, 1, 2)


@given(said_otherwise())
@settings(LIMITS, max_examples=max(EXAMPLES // 2, 1))  # each is planned to the end, which takes half a second
def test_other_facts_never_break_the_check(text: str) -> None:
    """Files that can be read for the most part, with facts of every kind: they are planned and judged to the end."""
    assert ending(text.encode()) in (0, 1, 2)


@given(said_otherwise() | rebuilt(), st.sampled_from(["practice", "parade", "../x", "x"]))
@settings(LIMITS, max_examples=max(EXAMPLES // 2, 1))
def test_builds_never_break_the_check(text: str, build: str) -> None:
    """The same for a build, which lays one part of the file over the rest."""
    assert ending(text.encode(), "--build", build) in (0, 1, 2)


@given(st.binary(max_size=300))
@LIMITS
def test_random_bytes_are_refused(data: bytes) -> None:
    """Noise is no robot."""
    assert ending(data) == 2


@given(st.text(alphabet="robt: T\n{}[],-&*!#'\"ab1 \t", max_size=120))
@LIMITS
def test_random_signs_of_yaml_never_break_the_check(text: str) -> None:
    """Brackets, colons and quotes in any order."""
    assert ending(text.encode()) in (0, 1, 2)


def test_the_fuzz_would_see_a_traceback(monkeypatch: pytest.MonkeyPatch) -> None:
    """A mistake of ours reaches the test that looks for it."""

    def break_down(*_: object, **__: object) -> None:
        raise KeyError("a mistake of ours")

    monkeypatch.setattr("loomwright.jobs.check.open_folder", break_down)
    with pytest.raises(KeyError):
        ending(b"robot: T\n")
