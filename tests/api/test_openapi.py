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
        if method in {"get", "post", "put", "patch", "delete"}
    }
    there = {
        (rule.rule.replace("<int:", "<").replace("<path:", "<"), method)
        for rule in quick.app.url_map.iter_rules()
        for method in (rule.methods or set()) - {"HEAD", "OPTIONS"}
        if rule.rule.startswith("/api/")
        and rule.endpoint not in {"openapi.spec", "docs_page.page", "docs_page.style"}
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


def test_errors_are_told_once_and_every_operation_says_who_may_ask(quick: Bench) -> None:
    document = quick.client().get("/api/openapi.json").json
    assert document is not None
    schemas = document["components"]["schemas"]
    assert {"Problem", "ChangedProblem", "ClashModel"} <= set(schemas)
    assert set(document["components"]["securitySchemes"]) == {"session", "token"}
    tags = {tag["name"] for tag in document["tags"]}
    for path, operations in document["paths"].items():
        for method, operation in operations.items():
            assert set(operation["tags"]) <= tags
            assert "security" in operation
            for status, answer in operation["responses"].items():
                if status >= "400":  # and "default"
                    schema = answer["content"]["application/problem+json"]["schema"]
                    wanted = "ChangedProblem" if status == "412" else "Problem"
                    assert schema == {"$ref": f"#/components/schemas/{wanted}"}, path
            if method == "patch":
                assert "application/merge-patch+json" in operation["requestBody"]["content"]
                names = [one["name"] for one in operation["parameters"]]
                assert "If-Match" in names, path
    assert document["paths"]["/api/shows/{show}/plans/{revision}"]["get"]["security"] != []
    assert document["paths"]["/api/problems"]["get"]["security"] == []


def test_the_page_about_the_api_names_every_operation_and_fetches_nothing(quick: Bench) -> None:
    caller = quick.client()
    document = caller.read("/api/openapi.json")
    page = caller.get("/api/docs")
    assert (page.status_code, page.mimetype) == (200, "text/html")
    for path, operations in document["paths"].items():
        for method in operations:
            assert f"<code>{method.upper()} {path}</code>" in page.text
    assert "http://" not in page.text
    assert "https://" not in page.text
    assert caller.get("/api/docs.css").mimetype == "text/css"
