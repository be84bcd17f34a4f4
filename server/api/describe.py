"""The OpenAPI document: errors told once, who may ask, versions by If-Match, an example or two.

The rule of versions stands in its description: what is there keeps its name and meaning, so a
client made from an older document goes on working.
"""

from __future__ import annotations

from typing import Any, Final

from apiflask import APIFlask
from pydantic import BaseModel

from server.api import models
from server.api.roles import ACCESS

ABOUT: Final = """Lengths in micrometres, masses in grams, times in ms since 1970.

Versions: within version 1 nothing is taken away and nothing changes its meaning; fields, routes,
kinds of problems and values of choices are added. A client ignores what it does not know. What is
to go is marked deprecated for a year before a version 2 stands beside this one at an address of its
own.

Errors are problem details (RFC 9457); their types are listed at /api/problems. A document of the
office has a version in its header ETag; a change names the version that it saw in If-Match.
Cases, vehicles and shows come page by page with limit and after; the next page stands in the header
Link (RFC 8288), the number of all in X-Total-Count.
Programs send a token, made in the office under Account, as Authorization: Bearer."""
TAGS: Final = [
    {"name": "enter", "description": "Coming in: crew by join code, owners by password, passkey."},
    {"name": "crew", "description": "What phones of the crew get and tell, during a night."},
    {"name": "office", "description": "The owner's shop: cases, vehicles, shows, plans."},
    {"name": "papers", "description": "Sheets and records as PDF."},
    {"name": "about", "description": "About the API itself."},
]
SCHEMES: Final = {
    "session": {
        "type": "apiKey",
        "in": "cookie",
        "name": "__Host-rowcall",
        "description": "The cookie that coming in gives; changes also send X-Rowcall: 1.",
    },
    "token": {
        "type": "http",
        "scheme": "bearer",
        "description": "A token of the scope read, change, metrics or calendar, from the office.",
    },
}
PROBLEM: Final = {"$ref": "#/components/schemas/Problem"}
CHANGED: Final = {"$ref": "#/components/schemas/ChangedProblem"}
IF_MATCH: Final = {
    "in": "header",
    "name": "If-Match",
    "required": True,
    "description": "The ETag of the version that the change was made from; * for whichever it is.",
    "schema": {"type": "string"},
    "example": '"7"',
}
AGAIN: Final = {
    "Retry-After": {
        "description": "Seconds to wait before it is asked again",
        "schema": {"type": "integer", "minimum": 1},
    }
}
ETAG: Final = {"ETag": {"description": "The version of the document", "schema": {"type": "string"}}}
EXAMPLES: Final = {
    "/api/cases/{code}": {"home": "A4", "notes": {"weighed_on": "2027-03-01"}},
    "/api/vehicles/{vehicle}": {"payload_g": 4_100_000},
    "/api/shows/{show}": {"date": "2027-05-14", "rules": {"straps_min": 2}},
    "/api/shop": {"units": {"length": "cm", "mass": "kg"}},
}


def register(app: APIFlask) -> None:
    """Complete the document that is made from routes and models."""

    @app.spec_processor
    def complete(spec: dict[Any, Any] | str) -> dict[Any, Any] | str:
        assert isinstance(spec, dict)
        schemas = spec.setdefault("components", {}).setdefault("schemas", {})
        for model in (models.Problem, models.ChangedProblem):
            _share(schemas, model)
        spec["components"]["securitySchemes"] = SCHEMES
        routes = {
            (_path(rule.rule), method.lower()): rule.endpoint
            for rule in app.url_map.iter_rules()
            for method in rule.methods or ()
        }
        for path, operations in spec["paths"].items():
            for method, operation in operations.items():
                if isinstance(operation, dict):
                    endpoint = routes[path, method]
                    part = app.blueprints[endpoint.split(".", maxsplit=1)[0]]
                    operation["tags"] = [getattr(part, "tag", None) or "about"]
                    _operation(path, method, operation, ACCESS[endpoint])
        return spec

    problem: dict[str, Any] = {"type": "object", "title": "Problem"}
    app.config.update(
        OPENAPI_VERSION="3.1.0",
        AUTO_SERVERS=False,
        TAGS=TAGS,
        AUTO_OPERATION_ID=True,
        HTTP_ERROR_SCHEMA=problem,
        VALIDATION_ERROR_SCHEMA=problem,
        DESCRIPTION=ABOUT,
    )


def _path(rule: str) -> str:
    """Return a route as the document writes it."""
    parts = (part.split(":")[-1] for part in rule.replace(">", "}").replace("<", "{\0").split("\0"))
    return "".join(parts)


def _share(schemas: dict[str, Any], model: type[BaseModel]) -> None:
    """Put a model into the shared schemas, with those that it is made of."""
    made = model.model_json_schema(ref_template="#/components/schemas/{model}")
    schemas |= made.pop("$defs", {})
    schemas[model.__name__] = made


def _operation(path: str, method: str, operation: dict[str, Any], least: str) -> None:
    answers = operation["responses"]
    answers.setdefault("503", {"description": "No room just now, or no database"})
    for status, answer in answers.items():
        if status >= "400":
            answers[status] = _problem(status, answer["description"])
    answers["default"] = _problem("default", "Problem details (RFC 9457)")
    operation["security"] = [] if least == "anyone" else [{"session": []}, {"token": []}]
    if "428" in answers:
        operation.setdefault("parameters", []).append(IF_MATCH)
        answers["200"].setdefault("headers", {}).update(ETAG)
    content = operation.get("requestBody", {}).get("content", {})
    if method == "patch" and "application/json" in content:
        content["application/json"]["example"] = EXAMPLES[path]
        content["application/merge-patch+json"] = dict(content["application/json"])


def _problem(status: str, words: str) -> dict[str, Any]:
    schema = CHANGED if status == "412" else PROBLEM
    answer: dict[str, Any] = {
        "description": words,
        "content": {"application/problem+json": {"schema": schema}},
    }
    if status in {"429", "503"}:
        answer["headers"] = AGAIN
    return answer
