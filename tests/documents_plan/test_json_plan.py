"""plan.json: stable keys for scripts, the same words and numbers as the tables."""

from __future__ import annotations

import json
from typing import Any

from loomwright.documents.json.plan import plan_json
from loomwright.documents.tables.every import rows_of
from tests.documents_plan.factories import (
    CAUTIONS,
    LENGTH_UNKNOWN,
    TOO_HOT,
    WHERE_IS_IT,
    branch,
    plan,
    reasoned,
    robot,
    rules,
    sizing,
)


def told(**said: Any) -> dict[str, Any]:  # noqa: ANN401  any field of a plan
    """Write a plan and read it back, refusing what is no JSON."""

    def refuse(word: str) -> None:
        raise AssertionError(f"{word} is no JSON")

    held: dict[str, Any] = json.loads(plan_json(plan(**said)), parse_constant=refuse)
    return held


def test_it_names_the_plan() -> None:
    held = told()
    assert (held["format"], held["robot"], held["build"]) == (1, "Tidepool", "practice")
    assert (held["rules"]["name"], held["rules"]["dated"]) == ("common practice", "2024-01-01")
    assert (held["revision"], held["inputs"], held["next_wire"]) == (plan().revision, "sha256 of the inputs", 9)
    assert held["cautions"] == list(CAUTIONS)
    assert held["notes"] == [
        "The pull forces here break the joint: use them on samples made for the purpose, never on the robot."
    ]
    assert told(robot=robot(build=""))["build"] is None


def test_it_tells_every_rule_in_force_as_the_sheet_does() -> None:
    in_force = told()["rules"]["in_force"]
    assert [rule["rule"] for rule in in_force] == [rule.id for rule in rules().rules]
    assert in_force[0] == {
        "rule": "gauge-40a",
        "severity": "must",
        "sentence": "A 40 A circuit has 12 AWG or thicker.",
        "source": "common practice",
        "dated": None,
    }


def test_circuits_and_wires_have_the_words_and_numbers_of_the_tables() -> None:
    held = told()
    for sheet in ("circuits", "wires"):
        for row, other in zip(rows_of(sheet, plan()), held[sheet], strict=True):
            for key, cell in row.items():
                if key == "path" or (sheet == "circuits" and key in {"wires", "decided_by", "reasons", "sources"}):
                    continue  # lists and mappings here, told together in a table
                assert other[key] == (None if cell == "-" else cell), key


def test_unknown_is_a_word_and_what_does_not_apply_is_null() -> None:
    held = {one["circuit"]: one for one in told()["circuits"]}
    assert held["intake"]["length_m"] == "unknown"
    assert held["main chain"]["drop_v"] is None
    assert held["left front"]["length_m"] == 0.853


def test_each_decision_carries_its_reason() -> None:
    held = {one["circuit"]: one for one in told()["circuits"]}["left front"]
    assert held["reasons"]["current_a"] == {
        "reason": "the supply limit",
        "origin": "given",
        "source": "robot.yaml:12:40",
    }
    assert list(held["reasons"]) == ["slot", "protection_a", "current_a", "sustained_a", "length_m", "gauge", "colours"]
    assert (held["wires"], held["decided_by"]) == (["W1", "W2"], ["rule book", "drop"])


def test_sizing_is_told_with_every_limit() -> None:
    held = {one["circuit"]: one for one in told()["circuits"]}["left front"]["sizing"]
    assert [one["name"] for one in held["constraints"]] == ["ampacity", "drop"]
    assert held["constraints"][1]["limit"] == 0.6
    assert held["exclusions"] == [{"gauge": "14 AWG", "broken": ["rule book"]}]
    assert held["reach"] == [{"gauge": "12 AWG", "one_way_m": 1.40012}]
    assert {one["circuit"]: one for one in told()["circuits"]}["main chain"]["sizing"] is None


def test_findings_have_their_own_form_gravest_first() -> None:
    assert told()["findings"] == [one.as_dict() for one in (TOO_HOT, WHERE_IS_IT, LENGTH_UNKNOWN)]
    assert [one["code"] for one in told()["questions"]] == ["no-source", "length-unknown"]


def test_numbers_that_are_none_are_never_written() -> None:
    endless = sizing(drop_v=float("nan"), area_mm2=float("inf"))
    (held,) = told(circuits=(branch("a", 1, sizing=endless, current=reasoned(float("inf"))),))["circuits"]
    assert (held["drop_v"], held["current_a"], held["sizing"]["area_mm2"]) == ("unknown", "unknown", None)


def test_the_same_plan_gives_the_same_bytes_in_any_order_of_circuits() -> None:
    assert plan_json(plan()) == plan_json(plan(tuple(reversed(plan().circuits))))
    assert plan_json(plan()).endswith(b"}\n")
