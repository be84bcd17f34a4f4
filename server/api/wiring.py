"""Puts the API together: blueprints, who may do what, errors, headers, counters."""

from __future__ import annotations

from pathlib import Path

from apiflask import APIFlask

from server.api import (
    account,
    advice,
    at_once,
    bookings,
    case_lists,
    case_photos,
    crew,
    describe,
    docs_page,
    editor,
    enter,
    errors,
    everything,
    fit,
    fleet,
    guard,
    hooks,
    host,
    json_body,
    metrics,
    morning,
    ops,
    packing,
    papers,
    pictures,
    plans,
    problems,
    removal,
    roles,
    schemas,
    shows,
    streams,
    tokens,
    trust,
    upkeep,
    versions,
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
    seats = streams.Seats(ports.limits.streams, ports.limits.threads)
    app.extensions[streams.EXTENSION] = seats
    app.config["MAX_CONTENT_LENGTH"] = body_limit
    app.config["BODY_LIMIT"] = body_limit
    app.json = json_body.JsonProvider(app)
    app.json.sort_keys = False
    describe.register(app)
    errors.register(app)
    metrics.register(app, metrics.Metrics(seats))
    app.before_request(guard.possible_address)
    app.before_request(guard.same_site_only)
    app.before_request(roles.check)
    at_once.register(app)
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
        advice,
        morning,
        problems,
        versions,
        tokens,
        hooks,
        everything,
    ):
        app.register_blueprint(part.bp)
    app.register_blueprint(schemas.bp)
    app.register_blueprint(ops.bp)
    app.register_blueprint(trust.bp)
    app.register_blueprint(host.bp)
    app.register_blueprint(docs_page.bp)
    _pages(app, client)


def _pages(app: APIFlask, folder: Path) -> None:
    app.extensions[pages.EXTENSION] = folder
    app.register_blueprint(pages.bp)
