"""The API against its own description: whatever fits it, and whatever does not, is answered as it says."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import requests
import schemathesis
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from schemathesis import Case, GenerationMode, Response
from schemathesis.checks import not_a_server_error
from schemathesis.specs.openapi import checks

from tests.web.people import House, Visitor

CHECKS = [
    not_a_server_error,
    checks.status_code_conformance,
    checks.content_type_conformance,
    checks.response_schema_conformance,
    checks.response_headers_conformance,
]
OPERATIONS = [
    *(("POST", f"/api/v1/{name}") for name in ("join", "leave", "events")),
    *(("GET", f"/api/v1/{name}") for name in ("bench", "stream", "records")),
]
# Where nothing is sent, nothing can break the description.
TRIED = [
    (method, path, mode)
    for method, path in OPERATIONS
    for mode in GenerationMode
    if mode.is_positive or path not in ("/api/v1/bench", "/api/v1/stream")
]


@pytest.fixture(scope="module")
def house(tmp_path_factory: pytest.TempPathFactory) -> Iterator[House]:
    """Give a bench whose streams end at once, so that their answers are whole."""
    made = House.of(tmp_path_factory.mktemp("schema"), tries_each=1e6, tries_in_all=1e6)
    made.desk.pulse.stop()
    yield made
    made.desk.bench.store.close()


def send(visitor: Visitor, case: Case[Any]) -> Response:
    """Send a made-up case byte for byte as it would go over the wire."""
    told = requests.Request(**case.as_transport_kwargs(base_url=f"http://{visitor.host}")).prepare()
    body = told.body.encode() if isinstance(told.body, str) else told.body or b""
    assert isinstance(body, bytes)
    fields = [(name, _text(value)) for name, value in told.headers.items() if name.lower() not in ("host", "cookie")]
    named = [("Host", visitor.host), ("Cookie", visitor.cookie), *fields]
    answer = visitor.ask_with(named, method=str(told.method), path=str(told.path_url), body=body)
    heads = {name: [value] for name, value in answer.fields if name != "content-encoding"}
    return Response(answer.status, heads, answer.body, told, elapsed=0.0, verify=True)


def _text(value: str | bytes) -> str:
    return value.decode("latin-1") if isinstance(value, bytes) else value


@pytest.mark.parametrize(("method", "path", "mode"), TRIED)
def test_every_operation_answers_as_it_is_described(house: House, method: str, path: str, mode: GenerationMode) -> None:
    """For cases that fit the description and for such that break it, from the laptop, a student and a stranger.

    No answer is an error of the program; each has a status, a type and a body that the description names.
    """
    operation = schemathesis.openapi.from_dict(house.laptop.get("/openapi.json").data)[path][method]
    visitors = (house.laptop, house.student, house.stranger)

    @settings(max_examples=15, suppress_health_check=list(HealthCheck), deadline=None)
    @given(case=operation.as_strategy(generation_mode=mode), visitor=st.sampled_from(visitors))
    def answered(case: Case[Any], visitor: Visitor) -> None:
        case.validate_response(send(visitor, case), CHECKS)

    answered()


def test_the_list_of_operations_is_complete(house: House) -> None:
    """A route that is added is tried as well."""
    told = house.laptop.get("/openapi.json").data["paths"]
    assert sorted((method.upper(), path) for path, held in told.items() for method in held) == sorted(
        (method, path) for method, path in OPERATIONS
    )


def test_the_written_page_names_every_route() -> None:
    """docs/bench-api.md tells of each address, and of no other one."""
    page = (Path(__file__).resolve().parents[2] / "docs" / "bench-api.md").read_text(encoding="utf-8")
    assert set(re.findall(r"/api/v1/[a-z]+", page)) == {path for _, path in OPERATIONS}
