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

from tests.support.app import Bench, Caller

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


class Owner:
    """An owner who has joined the demo show, and who comes back after being signed out."""

    def __init__(self, bench: Bench) -> None:
        self._bench = bench
        self._caller = self._come_in()

    def _come_in(self) -> Caller:
        owner = self._bench.owner()
        joining = {"code": self._bench.code, "name": "Olive", "device": "device-owner"}
        assert owner.post("/api/join", joining).status_code == 200
        return owner

    def cookie(self) -> str:
        """Return a cookie that is good; some operation before may have ended the session."""
        if self._caller.get("/api/session").status_code != 200:
            self._caller = self._come_in()
        cookie = self._caller.http.get_cookie("rowcall")
        assert cookie is not None
        return cookie.value


@pytest.fixture(scope="module")
def served(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Bench]:
    """Yield the demo."""
    folder = tmp_path_factory.mktemp("schema")
    bench = Bench(f"sqlite:///{folder / 'rowcall.sqlite'}", folder).demo()
    yield bench
    bench.close()


def test_no_request_made_from_the_document_breaks_the_server(served: Bench) -> None:
    bench, owner = served, Owner(served)
    document = schemathesis.openapi.from_wsgi("/api/openapi.json", bench.app)
    tried, wrong = 0, []
    for found in document.get_all_operations():
        assert isinstance(found, schemathesis.core.result.Ok), found
        operation = found.ok()
        if operation.path in LEFT_OUT:
            continue
        tried += 1
        try:
            _try(operation, owner.cookie())
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
        # The document names two ways to be let in; made-up ones would end at the door.
        if case.headers:
            case.headers.pop("Authorization", None)
        case.cookies = {}
        case.call_and_validate(
            headers=HEADERS,
            cookies={"rowcall": cookie},
            checks=CHECKS,
        )

    send()
