"""Schemathesis makes requests from our own OpenAPI document: no 5xx, no undocumented answer."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from typing import Any

import hypothesis
import pytest
import schemathesis
import schemathesis.core.result
from schemathesis.checks import not_a_server_error
from schemathesis.specs.openapi.checks import (
    response_schema_conformance,
    status_code_conformance,
)

from tests.support.app import Bench

EXAMPLES = 8
# The test's own transport unpacks nothing.
HEADERS = {"X-Rowcall": "1", "Accept-Encoding": "identity"}
pytestmark = pytest.mark.slow
CHECKS = [not_a_server_error, status_code_conformance, response_schema_conformance]
# Streams have no end; signing out would end the test's own session.
LEFT_OUT = (
    "/api/shows/{show}/stream",
    "/api/session",
    "/api/shows/{show}/out",
    "/api/demo",  # removes the show that the test has joined
)


@pytest.fixture(scope="module")
def served(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Bench, str]]:
    """Yield the demo and the cookie of an owner who has joined its show."""
    folder = tmp_path_factory.mktemp("schema")
    bench = Bench(f"sqlite:///{folder / 'rowcall.sqlite'}", folder).demo()
    owner = bench.owner()
    joined = owner.post(
        "/api/join", {"code": bench.code, "name": "Olive", "device": "device-owner"}
    )
    assert joined.status_code == 200
    cookie = owner.http.get_cookie("rowcall")
    assert cookie is not None
    yield bench, cookie.value
    bench.close()


def test_no_request_made_from_the_document_breaks_the_server(served: tuple[Bench, str]) -> None:
    bench, cookie = served
    document = schemathesis.openapi.from_wsgi("/api/openapi.json", bench.app)
    tried, wrong = 0, []
    for found in document.get_all_operations():
        assert isinstance(found, schemathesis.core.result.Ok), found
        operation = found.ok()
        if operation.path in LEFT_OUT:
            continue
        tried += 1
        try:
            _try(operation, cookie)
        except AssertionError as error:
            wrong.append(f"{operation.label}: {error}")
        except BaseExceptionGroup as group:
            wrong += [f"{operation.label}: {error}" for error in group.exceptions]
    assert tried > 40
    counted = bench.app.extensions["rowcall_metrics"].requests.collect()[0].samples
    told = Counter[str]()
    for one in counted:
        if one.name.endswith("_created"):
            continue  # a time, not a count
        told[one.labels.get("status", "")] += int(one.value)
    assert told["200"] + told["201"] > 50, told  # the owner was in, and a good part got through
    assert told["401"] < 20, told
    assert not wrong, "\n\n".join(wrong)


def _try(operation: Any, cookie: str) -> None:
    """Send some requests of one operation; half of those of a show go to one that is there."""

    @hypothesis.settings(
        max_examples=EXAMPLES,
        deadline=None,
        suppress_health_check=list(hypothesis.HealthCheck),
        phases=[hypothesis.Phase.generate],
    )
    @hypothesis.given(case=operation.as_strategy(), there=hypothesis.strategies.booleans())
    def send(case: Any, there: bool) -> None:
        if there and "show" in (case.path_parameters or {}):
            case.path_parameters["show"] = "demo"
        case.call_and_validate(
            headers=HEADERS,
            cookies={"rowcall": cookie},
            checks=CHECKS,
        )

    send()
