"""The lock files keep their promise: everything is in them, by hash, and they hold on any machine."""

from __future__ import annotations

import re
import tomllib
from importlib.metadata import distribution, distributions
from pathlib import Path
from typing import Any, Final

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

ROOT: Final = Path(__file__).resolve().parents[2]
PROJECT: Final[dict[str, Any]] = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
_ENTRY: Final = re.compile(
    r"^(?P<name>[\w.-]+)(?:\[(?P<extras>[\w.,-]+)\])?==(?P<version>\S+)(?P<rest>.*(?:\n {4}.*)*)", re.MULTILINE
)
HERE: Final = {canonicalize_name(found.metadata["Name"]) for found in distributions()}


def text(lock: str) -> str:
    """Read a lock file."""
    return (ROOT / "requirements" / f"{lock}.txt").read_text(encoding="utf-8")


def pins(lock: str) -> dict[str, str]:
    """Give each package's locked version."""
    return {entry["name"]: entry["version"] for entry in _ENTRY.finditer(text(lock))}


def asked(*groups: str) -> list[Requirement]:
    """Give what pyproject.toml asks for: the program's own needs and those of some groups."""
    entries = list(PROJECT["project"]["dependencies"])
    for group in groups:
        for entry in PROJECT["dependency-groups"][group]:
            entries += [entry] if isinstance(entry, str) else PROJECT["dependency-groups"][entry["include-group"]]
    return [Requirement(entry) for entry in entries]


@pytest.mark.parametrize(("lock", "groups"), [("run", ("build",)), ("test", ("build", "test", "lint"))])
def test_what_pyproject_asks_for_is_locked_in_a_version_that_fits(lock: str, groups: tuple[str, ...]) -> None:
    """Whoever adds a dependency runs `python tools/lock.py` too."""
    locked = pins(lock)
    unfit = [
        str(wanted)
        for wanted in asked(*groups)
        if (version := locked.get(canonicalize_name(wanted.name))) is None or version not in wanted.specifier
    ]
    assert unfit == []


def test_the_larger_lock_holds_the_smaller_one() -> None:
    """So set-up for tests leaves the program with the packages that it is used with."""
    assert pins("run").items() <= pins("test").items()


@pytest.mark.parametrize("lock", ["run", "test"])
def test_every_package_is_locked_by_hash_and_no_address_is_named(lock: str) -> None:
    """No package without a hash, no line that is neither package, hash nor remark, no place to fetch from."""
    entries = list(_ENTRY.finditer(text(lock)))
    assert entries
    assert [entry["name"] for entry in entries if "--hash=sha256:" not in entry["rest"]] == []
    left = _ENTRY.sub("", text(lock))
    assert [line for line in left.splitlines() if line and not line.startswith("#")] == []
    assert "://" not in text(lock)


def test_a_package_that_another_asks_for_with_an_extra_is_locked_with_that_extra() -> None:
    """Else an older pip looks for it anew, and refuses the newest version that it finds as not locked."""
    extras = {entry["name"]: set((entry["extras"] or "").split(",")) - {""} for entry in _ENTRY.finditer(text("test"))}
    unlocked = [
        f"{wanted} for {name}"
        for name in extras
        if name in HERE
        for wanted in map(Requirement, distribution(name).requires or ())
        if wanted.extras
        and (wanted.marker is None or any(wanted.marker.evaluate({"extra": e}) for e in ("", *extras[name])))
        if not wanted.extras <= extras[canonicalize_name(wanted.name)]
    ]
    assert unlocked == []
