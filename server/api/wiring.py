"""Puts the API together: blueprints, who may do what, errors, headers, counters."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from apiflask import APIFlask

from server.api import (
    account,
    bookings,
    case_lists,
    case_photos,
    crew,
    editor,
    enter,
    errors,
    fit,
    fleet,
    guard,
    host,
    json_body,
    metrics,
    models,
    morning,
    ops,
    packing,
    papers,
    pictures,
    plans,
    removal,
    roles,
    schemas,
    shows,
    streams,
    trust,
    upkeep,
    written,
)
from server.api import (
    client as pages,
)
from server.api.context import EXTENSION
from server.service.ports import Ports


def register(app: APIFlask, ports: Ports, *, client: Path, body_limit: int) -> None:
    """Give the app everything that answers requests."""
    app.extensions[EXTENSION] = ports
    seats = streams.Seats(ports.limits.streams)
    app.extensions[streams.EXTENSION] = seats
    app.config["MAX_CONTENT_LENGTH"] = body_limit
    app.config["BODY_LIMIT"] = body_limit
    app.json = json_body.JsonProvider(app)
    app.json.sort_keys = False
    _describe(app)
    errors.register(app)
    metrics.register(app, metrics.Metrics(seats))
    app.before_request(guard.same_site_only)
    app.before_request(roles.check)
    app.before_request(guard.right_body)
    packing.register(app)  # after all others: they run in the opposite order
    app.after_request(guard.add_headers)
    app.after_request(written.write_down)
    for part in (
        enter,
        account,
        crew,
        papers,
        pictures,
        fleet,
        case_lists,
        case_photos,
        shows,
        plans,
        upkeep,
        removal,
        editor,
        bookings,
        fit,
        morning,
    ):
        app.register_blueprint(part.bp)
    app.register_blueprint(schemas.bp)
    app.register_blueprint(ops.bp)
    app.register_blueprint(trust.bp)
    app.register_blueprint(host.bp)
    _pages(app, client)


def _pages(app: APIFlask, folder: Path) -> None:
    app.extensions[pages.EXTENSION] = folder
    app.register_blueprint(pages.bp)


def _describe(app: APIFlask) -> None:
    """Say in the OpenAPI document what errors look like: problem details, whatever the status."""
    problem: dict[str, Any] = models.Problem.model_json_schema()
    error = {
        "description": "Problem details (RFC 9457)",
        "content": {"application/problem+json": {"schema": problem}},
    }

    again = {
        "Retry-After": {
            "description": "Seconds to wait before it is asked again",
            "schema": {"type": "integer", "minimum": 1},
        }
    }

    @app.spec_processor
    def complete(spec: dict[Any, Any] | str) -> dict[Any, Any] | str:
        assert isinstance(spec, dict)
        for path in spec["paths"].values():
            for operation in path.values():
                if not isinstance(operation, dict):
                    continue
                answers = operation["responses"]
                answers.setdefault("503", {"description": "No room just now, or no database"})
                for status in [one for one in answers if one >= "400"]:
                    later = {"headers": again} if status in {"429", "503"} else {}
                    words = answers[status]["description"]
                    answers[status] = {**error, **later, "description": words}
                answers["default"] = error
        return spec

    app.config.update(
        OPENAPI_VERSION="3.1.0",
        AUTO_SERVERS=False,
        TAGS=["enter", "crew", "office"],
        AUTO_OPERATION_ID=True,
        HTTP_ERROR_SCHEMA=problem,
        VALIDATION_ERROR_SCHEMA=problem,
        DESCRIPTION="Lengths in micrometres, masses in grams, times in ms since 1970.",
    )
