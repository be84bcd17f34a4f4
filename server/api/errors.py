"""Trouble as problem details (RFC 9457): one table from kind to status, no internals shown."""

from __future__ import annotations

import logging
from http import HTTPStatus
from itertools import islice
from typing import Any, Final

from apiflask import APIFlask, HTTPError
from flask import Response, json, request
from sqlalchemy.exc import DataError, DBAPIError, InterfaceError, OperationalError, StatementError
from sqlalchemy.exc import TimeoutError as NoConnection
from werkzeug.exceptions import HTTPException

from server.api import shapes
from server.api.problems import PROBLEMS, kind_of
from server.service import changing, troubles
from server.trouble import BadInput

# kind of trouble → its name in the table of problems, which also holds the status
KINDS: Final[dict[type[troubles.Trouble], str]] = {
    troubles.Unknown: "not-found",
    troubles.NotIn: "not-signed-in",
    troubles.NotAllowed: "not-allowed",
    troubles.WrongGuess: "wrong-guess",
    troubles.Conflict: "conflict",
    troubles.Stale: "conflict",
    troubles.TooLarge: "too-large",
    troubles.WrongMedia: "wrong-media-type",
    troubles.Wrong: "invalid-value",
    troubles.Locked: "too-many-requests",
    troubles.Busy: "busy",
    changing.ChangedMeanwhile: "changed-meanwhile",
    changing.NoVersion: "version-needed",
}
WORDS: Final[dict[int, str]] = {
    400: "This request cannot be read.",
    404: "There is no such thing here.",
    405: "This cannot be done here.",
    413: "This is more than is taken at once.",
    415: "This kind of content is not taken.",
    422: "Something in it is not as expected.",
    500: "Something went wrong here; it is written down.",
    507: "The server's disk is full: nothing was stored. Keep everything and try again later.",
}
ERRORS_MOST: Final = 50  # faults named in one answer
FIELD_MOST: Final = 200
# What whoever watches a server wants to see: people where they do not belong.
REFUSALS: Final = (troubles.NotAllowed, troubles.WrongGuess, troubles.Locked)
# What SQLite and PostgreSQL say when there is no room, or the disk fails.
NO_ROOM: Final = ("disk is full", "disk I/O error", "No space left", "could not extend file")
AWAY: Final = "The database does not answer just now. Keep everything and try again."
CROWDED: Final = "Too much is asked of the database just now. Keep everything and try again."
log = logging.getLogger("rowcall.api")


def problem(
    status: int,
    detail: str = "",
    errors: list[dict[str, Any]] | None = None,
    headers: dict[str, str] | None = None,
    **more: Any,
) -> Response:
    """Return problem details; `errors` name the fields that are wrong, `kind` its own kind."""
    kind, title = kind_of(status, more.pop("kind", ""))
    body: dict[str, Any] = {
        "type": kind,
        "title": title,
        "status": status,
        "detail": detail or WORDS.get(status, HTTPStatus(status).phrase),
        "errors": errors or [],
        **more,
    }
    response = Response(json.dumps(body), status, mimetype="application/problem+json")
    response.headers.update(headers or {})
    return response


def register(app: APIFlask) -> None:
    """Turn whatever is raised into problem details."""
    app.error_processor(from_http_error)
    app.register_error_handler(troubles.Trouble, from_trouble)
    app.register_error_handler(BadInput, from_bad_input)
    app.register_error_handler(StatementError, from_database)
    app.register_error_handler(NoConnection, from_crowd)
    app.register_error_handler(RecursionError, from_depth)
    app.register_error_handler(Exception, from_anything)


def from_http_error(error: HTTPError) -> Response:
    """Answer for a wrong body, or for what the framework found wrong with the request."""
    detail = error.detail if isinstance(error.detail, dict) else {}
    errors = [
        {"field": str(field)[:FIELD_MOST], "message": message}
        for fields in detail.values()
        if isinstance(fields, dict)
        for field, messages in islice(fields.items(), ERRORS_MOST)
        for message in messages[:ERRORS_MOST]
    ]
    headers = {
        name: str(value)
        for name, value in dict(error.headers or {}).items()
        if name.lower() in {"allow", "retry-after", "location"}
    }
    return problem(error.status_code, errors=errors, headers=headers)


def from_trouble(trouble: troubles.Trouble) -> Response:
    """Answer for a request that a service does not do."""
    kind = next(kind for kind in type(trouble).__mro__ if kind in KINDS)
    headers: dict[str, str] = {}
    errors: list[dict[str, Any]] = []
    more: dict[str, Any] = {}
    if isinstance(trouble, REFUSALS):
        # What was typed is not among it.
        fields = {"endpoint": request.endpoint, "kind": kind.__name__, "from": request.remote_addr}
        log.warning("refused", extra={"fields": fields})
    if isinstance(trouble, troubles.Locked):
        headers["Retry-After"] = str(trouble.retry_after)
    if isinstance(trouble, troubles.Wrong):
        errors = [{"field": field, "message": message} for field, message in trouble.faults]
    if isinstance(trouble, troubles.WrongGuess) and trouble.field:
        errors = [{"field": trouble.field, "message": trouble.detail}]
    if isinstance(trouble, changing.ChangedMeanwhile):
        headers["ETag"] = f'"{shapes.tag_of(trouble.version)}"'
        more["conflicts"] = [_clash(one) for one in trouble.clashes]
        more["version"] = trouble.version
    name = KINDS[kind]
    return problem(PROBLEMS[name][0], trouble.detail, errors, headers, kind=name, **more)


def _clash(one: changing.Clash) -> dict[str, Any]:
    stamp = one.stamp
    return {
        "field": one.field,
        "before": one.before,
        "yours": one.yours,
        "theirs": one.theirs,
        "by": "" if stamp is None else stamp.by,
        "at": 0 if stamp is None else stamp.at,
    }


def from_bad_input(trouble: BadInput) -> Response:
    """Answer for input that names its own place."""
    message = f"expected {trouble.expected}, got {trouble.got}"
    return problem(422, str(trouble), [{"field": trouble.place, "message": message}])


def from_database(error: StatementError) -> Response:
    """Answer when the database cannot store: a full disk has words of its own."""
    text = str(error.orig)
    if isinstance(error, DBAPIError) and any(words in text for words in NO_ROOM):
        log.error("the disk has no room: %s", text)
        return problem(507, headers={"Retry-After": "60"})
    lost = isinstance(error, DBAPIError) and error.connection_invalidated
    if lost or isinstance(error, OperationalError | InterfaceError):
        log.error("the database does not answer: %s", text)
        return problem(503, AWAY, headers={"Retry-After": "2"})
    if isinstance(error, DataError):
        # PostgreSQL keeps no U+0000 in texts, nor numbers beyond a column's: the value is at fault.
        log.warning("%s %s: a value that cannot be kept: %s", request.method, request.path, text)
        return problem(422)
    return from_anything(error)


def from_crowd(error: NoConnection) -> Response:
    """Answer when every connection to the database stayed in use as long as one may wait."""
    log.error("no connection to the database came free: %s", error)
    return problem(503, CROWDED, headers={"Retry-After": "5"})


def from_depth(error: RecursionError) -> Response:
    """Answer for a body whose brackets are nested deeper than any of ours."""
    log.warning("%s %s is nested too deep", request.method, request.path, exc_info=error)
    return problem(400)


def from_anything(error: Exception) -> Response:
    """Answer for a fault of ours: written down here, not shown there."""
    if isinstance(error, HTTPException):
        return problem(error.code or 500)
    if type(error).__module__ == "gunicorn.http.errors":
        return problem(400)  # a body that breaks off, or is no body: found as it is read
    log.error("%s %s failed", request.method, request.path, exc_info=error)
    return problem(500)
