"""The API describes itself as OpenAPI 3.1."""

from __future__ import annotations

from openapi_spec_validator import OpenAPIV31SpecValidator

from tests.support.app import Bench


def test_the_document_is_valid_openapi_3_1(quick: Bench) -> None:
    document = quick.client().get("/api/openapi.json").json
    assert document is not None and document["openapi"] == "3.1.0"
    OpenAPIV31SpecValidator(document).validate()


def test_every_api_route_is_described_and_every_operation_has_problem_details(
    quick: Bench,
) -> None:
    document = quick.client().get("/api/openapi.json").json
    assert document is not None
    described = {
        (path.replace("{", "<").replace("}", ">"), method.upper())
        for path, operations in document["paths"].items()
        for method in operations
        if method in {"get", "post", "put", "delete"}
    }
    there = {
        (rule.rule.replace("<int:", "<").replace("<path:", "<"), method)
        for rule in quick.app.url_map.iter_rules()
        for method in (rule.methods or set()) - {"HEAD", "OPTIONS"}
        if rule.rule.startswith("/api/") and rule.endpoint != "openapi.spec"
    }
    assert described == there
    for path, operations in document["paths"].items():
        for operation in operations.values():
            if isinstance(operation, dict):
                for status in ("default", "503"):
                    kinds = operation["responses"][status]["content"]
                    assert "application/problem+json" in kinds, path
                # A database that is away can meet any of them: when to come again is told.
                assert "Retry-After" in operation["responses"]["503"]["headers"], path


def test_every_operation_has_a_name_of_its_own(quick: Bench) -> None:
    document = quick.client().get("/api/openapi.json").json
    assert document is not None
    names = [
        operation["operationId"]
        for operations in document["paths"].values()
        for operation in operations.values()
        if isinstance(operation, dict)
    ]
    assert len(names) == len(set(names)) > 30
