"""A team's rack in a folder of its own, made with few words."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from loomwright.jobs.rack.signing import Signed, sign_rack
from loomwright.records.event import Role
from loomwright.robotfile.folder import open_folder
from loomwright.store import Store, open_store
from tests.records.events import NOON, key
from tests.robots import example_text

START = "2026-02-06T09:00:00Z"


def folder_of(path: Path, name: str = "tidepool") -> Path:
    """Write an example's robot file into a folder."""
    path.mkdir(exist_ok=True)
    (path / "robot.yaml").write_text(example_text(name), encoding="utf-8")
    return path


@contextmanager
def store_of(folder: Path) -> Iterator[Store]:
    """Open the records of a folder, always as the same laptop."""
    robot, _ = open_folder(folder).read()
    with open_store(folder / "bench.db", robot=robot.name, now=NOON, new_origin=lambda: "laptop-test") as store:
        yield store


def told(number: int, kind: str, about: str, **fields: Any) -> dict[str, Any]:  # noqa: ANN401  any field of an event
    """Return an event of the rack as it is sent."""
    return {"key": key(number), "kind": kind, "about": about, "who": "AB", "measured_at": START} | fields


def read(number: int, about: str, mohm: float, **fields: Any) -> dict[str, Any]:  # noqa: ANN401  any field of an event
    """Return a charged battery's resistance between 1 and 18 A."""
    conditions = {"low_a": 1.0, "high_a": 18.0, "rest_v": 13.0, "since_charge_h": 12.0, "temperature_c": 25.0}
    held = {"value": mohm / 1000, "unit": "ohm", "conditions": conditions}
    return told(number, "resistance", about, **(held | fields))


def sign(folder: Path, *events: dict[str, Any], role: Role = Role.STUDENT) -> Signed:
    """Write events of the rack down."""
    with store_of(folder) as store:
        return sign_rack(store, events, role, now=NOON)


def good_and_bad(folder: Path) -> Path:
    """Put a good battery and a bad one on the rack, each read three times on three days, and charged."""
    events: list[dict[str, Any]] = []
    for label, mohm in (("B1", 11.0), ("B2", 24.0)):
        events.append(told(len(events) + 1, "battery", label))
        for day in (4, 5, 6):
            at = f"2026-02-0{day}T09:00:00Z"
            n = len(events) + 1
            events.append(
                told(n, "charged", label, tool="C1", value=13.5, unit="V", measured_at=f"2026-02-0{day - 1}T20:00:00Z")
            )
            events.append(read(n + 1, label, mohm, measured_at=at))
    sign(folder, *events)
    return folder
