"""duty.json: what a match study found for each branch, with the digest of the files that it was made from."""

from __future__ import annotations

import json
from dataclasses import asdict, dataclass
from typing import TYPE_CHECKING, Final

from loomwright.sizing.duty import Duty

if TYPE_CHECKING:
    from collections.abc import Mapping
    from pathlib import Path

FORMAT: Final = 1
_LARGEST: Final = 1_000_000


@dataclass(frozen=True, slots=True)
class DutyFile:
    """The duties of a study by circuit; `inputs` is the digest of what the files said then, `of` the study in words."""

    inputs: str
    of: str
    duties: Mapping[str, Duty]


def duty_name(build: str) -> str:
    """Return the name of the file for a build."""
    return f"duty.{build}.json" if build else "duty.json"


def read_duty(path: Path) -> DutyFile | None:
    """Return what is kept, None where there is none, or where this program did not write it: then limits are used."""
    try:
        held = json.loads(path.read_bytes()) if path.stat().st_size <= _LARGEST else {}
        rows = held["branches"].items() if held["format"] == FORMAT else ()
        duties = {str(name): Duty(**{key: _amount(value) for key, value in row.items()}) for name, row in rows}
        return DutyFile(str(held["inputs"]), str(held["of"]), duties) if duties else None
    except (OSError, ValueError, KeyError, TypeError, AttributeError, RecursionError):
        return None


def write_duty(kept: DutyFile) -> bytes:
    """Return the bytes of the file."""
    told = {
        "format": FORMAT,
        "inputs": kept.inputs,
        "of": kept.of,
        "branches": {name: asdict(duty) for name, duty in sorted(kept.duties.items())},
    }
    return (json.dumps(told, indent=2, ensure_ascii=False) + "\n").encode()


def _amount(value: object) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float) or not 0 <= value < 1e5:  # noqa: PLR2004  amperes
        raise ValueError("no current")
    return float(value)
