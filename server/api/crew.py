"""What the crew's phones ask during a night."""

from __future__ import annotations

import hashlib
import json
from typing import Any, Final

from apiflask import APIBlueprint
from flask import Response, jsonify, request

from server.api import streams
from server.api.context import address, ports, someone
from server.api.models import (
    Answers,
    DeviceAnswer,
    DevicesAnswer,
    EventsAnswer,
    EventsBatch,
    EventsPage,
    Heartbeat,
    Last,
    NotesAnswer,
    Nothing,
    Since,
)
from server.api.roles import crew_device
from server.core.night.running_numbers import first_numbers
from server.service import enter, last_times, take_events
from server.service import record as records
from server.service.records import StoredEvent
from server.service.troubles import NotAllowed

PAGE_BYTES: Final = 1_000_000  # a phone reads on; a thousand facts of 150 kB were too much for it
bp: Final = APIBlueprint("crew", __name__, url_prefix="/api/shows/<show>", tag="crew")


STREAM: Final[Answers] = {
    200: {
        "description": "server-sent events `cursor` and `bundle`",
        "content": {"text/event-stream": {"schema": {"type": "string"}}},
    },
    503: {"description": "no room for one more stream: ask again by polling"},
}

CSV: Final[Answers] = {
    200: {"description": "one fact a line", "content": {"text/csv": {"schema": {"type": "string"}}}}
}


@bp.get("/bundle")
@bp.doc(summary="All that a phone needs for a show", responses=[304, 401, 404, 409])
def bundle(show: str) -> Response:
    """Hand out the issued plan with the fleet, figures and lists."""
    body = json.dumps(
        last_times.bundle(ports(), show, someone().role), separators=(",", ":"), ensure_ascii=False
    )
    response = Response(body, mimetype="application/json")
    response.set_etag(hashlib.sha256(body.encode()).hexdigest()[:32])
    response.headers["Cache-Control"] = "no-cache, private"
    response.make_conditional(request)
    return response


@bp.post("/events")
@bp.input(EventsBatch, arg_name="body")
@bp.input(Last, location="query", arg_name="query")
@bp.output(EventsAnswer)
@bp.doc(summary="Facts in, unseen facts out", responses=[401, 403, 404])
def take(show: str, body: EventsBatch, query: Last) -> Response:
    """Store what is new once, and answer with what this phone has not seen."""
    device = crew_device()
    if body.device != device:
        raise NotAllowed("This is not the phone that joined.")
    taken = take_events.take(ports(), show, device, body.events)
    page, cursor, more = _page(show, body.since, query.last)
    ranges = take_events.gaps(ports(), show, device) if body.events else ()
    numbers = first_numbers(ranges, take_events.MOST_GAPS)
    answer = {
        "stored": taken.stored,
        "refused": [
            {"id": one, "reason": why} | ({"code": code} if code else {})
            for one, why, code in taken.refused
        ],
        "cursor": cursor,
        "more": more,
        "notes": ports().log.notes(show),
        "gaps": numbers,
        "gap_ranges": ranges,
        "now": ports().now(),
    }
    if not body.events:  # a phone that has nothing to send asks every few seconds
        answer["backed_up"] = take_events.backed_up(ports())
    return _with_facts(answer, page)


@bp.get("/events")
@bp.input(Since, location="query", arg_name="query")
@bp.output(EventsPage)
@bp.doc(summary="Facts after a cursor", responses=[401, 404])
def events(show: str, query: Since) -> Response:
    """Return a page of facts in the order of arrival."""
    page, cursor, more = _page(show, query.since, query.last)
    return _with_facts({"cursor": cursor, "more": more}, page)


def _page(show: str, since: int, last: str) -> tuple[list[StoredEvent], int, bool]:
    """Return what comes after a fact, the cursor after it, and whether there is more.

    A server restored from a backup may have grown past the phone's number since: there that number
    is another fact, or none, and the phone reads all anew.
    """
    log, most = ports().log, take_events.PAGE + 1
    named = bool(last and since)
    page = log.since(show, since - named, most + named)
    if named:
        known = bool(page) and (page[0].seq, page[0].id) == (since, last)
        page = page[1:]
    else:
        known = bool(page) or since <= log.cursor(show)
    if not known:
        since, page = 0, log.since(show, 0, most)
    shown = _within(page[: most - 1])
    more = len(shown) < len(page)
    return shown, shown[-1].seq if shown else since, more


def _within(page: list[StoredEvent]) -> list[StoredEvent]:
    """Return as much of a page as one answer holds; one fact at least."""
    size = 0
    for place, one in enumerate(page):
        size += len(one.document)
        if size > PAGE_BYTES and place:
            return page[:place]
    return page


def _with_facts(answer: dict[str, Any], page: list[StoredEvent]) -> Response:
    """Return an answer with facts in it, each exactly as it was stored, hence not read again."""
    facts = ",".join(f'{{"seq":{one.seq},"at":{one.at},"event":{one.document}}}' for one in page)
    rest = json.dumps(answer, separators=(",", ":"))
    return Response(f'{rest[:-1]},"events":[{facts}]}}', mimetype="application/json")


@bp.get("/notes")
@bp.output(NotesAnswer)
@bp.doc(summary="What the server found when it judged again", responses=[401, 404])
def notes(show: str) -> dict[str, Any]:
    """Return the server's notes of a show."""
    return {"notes": ports().log.notes(show)}


@bp.get("/stream")
@bp.input(Since, location="query", arg_name="query")
@bp.doc(
    summary="Live: says that there is something new",
    responses=STREAM,
)
def stream(show: str, query: Since) -> Response:
    """Open a stream for a phone; it only says that there is news."""
    last = request.headers.get("Last-Event-ID", "")
    since = int(last) if last.isdecimal() and len(last) < 16 else query.since
    return streams.open_stream(show, since)


@bp.post("/heartbeat")
@bp.input(Heartbeat, arg_name="body")
@bp.output(Nothing)
@bp.doc(summary="What this phone holds back", responses=[401, 403, 404])
def heartbeat(show: str, body: Heartbeat) -> dict[str, Any]:
    """Keep what the phone says of itself, for the chief's screen."""
    device = crew_device()
    if body.device != device:
        raise NotAllowed("This is not the phone that joined.")
    ports().people.heard(show, device, unsent=body.unsent, last_n=body.last_n, now=ports().now())
    return {}


@bp.get("/devices")
@bp.output(DevicesAnswer)
@bp.doc(summary="Every phone of the show", responses=[401, 403, 404])
def devices(show: str) -> DevicesAnswer:
    """Return every phone with what it holds back and when it was last heard."""
    arrived = ports().log.gaps(show)
    return DevicesAnswer(
        [
            DeviceAnswer(
                device=one.id,
                name=one.name,
                role=one.role,
                unsent=one.unsent,
                last_n=one.last_n,
                heard_at=one.heard_at,
                missing=take_events.missing(ports(), one, arrived.get(one.id)),
                out=one.out_at is not None,
            )
            for one in ports().people.devices(show)
        ]
    )


@bp.post("/devices/<device>/out")
@bp.output(Nothing)
@bp.doc(summary="Sign a phone out", responses=[401, 403, 404])
def sign_out_device(show: str, device: str) -> dict[str, Any]:
    """End the session of a phone; what it has not sent can still be carried by another."""
    enter.sign_out_device(ports(), show, device, someone(), address())
    return {}


@bp.get("/record")
@bp.doc(summary="The record of a night, to be checked later", responses=[401, 403, 404])
def record(show: str) -> Response:
    """Return every fact in order under its chain of digests."""
    response = jsonify(records.of_show(ports(), show))
    response.headers["Content-Disposition"] = f'attachment; filename="record-{show}.json"'
    return response


@bp.get("/record.csv")
@bp.doc(summary="The record of a night as CSV", responses=CSV)
def record_csv(show: str) -> Response:
    """Return every fact in order, one a line."""
    text = "\ufeff" + records.as_csv(ports(), show)
    response = Response(text, content_type="text/csv; charset=utf-8")
    response.headers["Content-Disposition"] = f'attachment; filename="record-{show}.csv"'
    return response
