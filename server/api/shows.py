"""The owner's shows, and how the crew gets in."""

from __future__ import annotations

import io
from collections.abc import Sequence
from typing import Any, Final

import segno
from apiflask import APIBlueprint
from flask import request
from pydantic import Field

from server.api import paging, shapes
from server.api.context import address, ports, someone
from server.api.models import Nothing, Strict
from server.api.office_models import (
    AuditAnswer,
    JoinCard,
    PinAnswer,
    PinModel,
)
from server.api.partial import partial
from server.api.show_models import ShowAnswer, ShowLine, ShowModel, ShowsAnswer
from server.api.wire import (
    called_from,
    called_to,
    details_from,
    details_to,
    rules_from,
    rules_to,
)
from server.core.base.units import Units
from server.service import changing, office
from server.service.join_life import join_ends_at
from server.service.records import ShowRecord

bp: Final = APIBlueprint("shows", __name__, url_prefix="/api", tag="office")


def shown(show: ShowRecord) -> dict[str, Any]:
    """Return a show as the office sees it."""
    return {
        "id": show.id,
        "name": show.name,
        "date": show.date,
        **details_to(show.details),
        "rules": rules_to(show.rules).model_dump(),
        "units": {"length": show.units.length, "mass": show.units.mass},
        "vehicles": ports().shows.vehicles(show.id),
        "cases": called_to(ports().shows.called(show.id)),
        "issued": show.issued,
        "closed": show.closed_at is not None,
    }


def _units(body: ShowModel, before: Units) -> Units:
    return before if body.units is None else Units(body.units.length, body.units.mass)


class ShowsQuery(paging.PageQuery):
    """Which shows: open or closed, on or after a day, up to one."""

    closed: bool | None = None
    since: str = Field("", max_length=10, pattern=r"^(\d{4}-\d{2}-\d{2})?$")
    until: str = Field("", max_length=10, pattern=r"^(\d{4}-\d{2}-\d{2})?$")


def _asked(query: ShowsQuery) -> Sequence[ShowRecord]:
    """Return the shows of a page: by id where it has a limit, else the newest first."""
    found = [
        one
        for one in ports().shows.all()
        if query.matches(one.id, one.name)
        and query.closed in {None, one.closed_at is not None}
        and (not query.since or one.date >= query.since)
        and (not query.until or "" < one.date <= query.until)
    ]
    if query.limit is not None or query.after:
        found.sort(key=lambda one: one.id)
    return paging.page(found, query, lambda one: one.id)


@bp.get("/shows")
@bp.input(ShowsQuery, location="query", arg_name="query")
@bp.output(ShowsAnswer)
@bp.doc(summary="The shows, all or page by page", responses=[401, 403, 422])
def all_shows(query: ShowsQuery) -> ShowsAnswer:
    """Return every show that is asked for, newest first; page by page they come by id."""
    counts = ports().shows.counts()
    return ShowsAnswer(
        [
            ShowLine(
                id=show.id,
                name=show.name,
                date=show.date,
                issued=show.issued,
                cases=counts.get(show.id, (0, []))[0],
                vehicles=counts.get(show.id, (0, []))[1],
                closed=show.closed_at is not None,
            )
            for show in _asked(query)
        ]
    )


@bp.post("/shows")
@bp.input(ShowModel, arg_name="body")
@bp.output(ShowAnswer, status_code=201)
@bp.doc(summary="Add a show", responses=[401, 403])
def add_show(body: ShowModel) -> dict[str, Any]:
    """Add a show with a join code of its own."""
    units = _units(body, ports().fleet.settings().units)
    show = ShowRecord(
        "", body.name.strip(), body.date, rules_from(body.rules), units, 0,
        details=details_from(body),
    )  # fmt: skip
    asked = office.Asked(tuple(body.vehicles), called_from(body.cases))
    return shown(office.new_show(ports(), show, asked))


@bp.get("/shows/<show>")
@bp.output(ShowAnswer)
@bp.doc(summary="One show", responses=[401, 403, 404])
def show(show: str) -> dict[str, Any]:
    """Return a show."""
    shapes.tag(ports().versions.number("show", show))
    return shown(office.show_of(ports(), show))


@bp.put("/shows/<show>")
@bp.input(ShowModel, arg_name="body")
@bp.output(ShowAnswer)
@bp.doc(summary="Replace a show", responses=[401, 403, 404, 412, 428])
def put_show(show: str, body: ShowModel) -> dict[str, Any]:
    """Keep a show in the place of the version that was seen."""
    document = body.model_dump(by_alias=True)
    shapes.tag(changing.replace(ports(), shapes.show_shape(show), document, shapes.seen()))
    return shown(office.show_of(ports(), show))


@bp.patch("/shows/<show>")
@bp.input(partial(ShowModel), arg_name="body")
@bp.output(ShowAnswer)
@bp.doc(summary="Change a show", responses=[401, 403, 404, 412, 428])
def change_show(show: str, body: Strict) -> dict[str, Any]:
    """Change the fields that are sent; the crew sees it once a plan of it is issued."""
    patch = body.model_dump(by_alias=True, exclude_unset=True)
    shapes.tag(changing.change(ports(), shapes.show_shape(show), patch, shapes.seen()))
    return shown(office.show_of(ports(), show))


@bp.get("/shows/<show>/join")
@bp.output(JoinCard)
@bp.doc(summary="How the crew gets in", responses=[401, 403, 404])
def join_card(show: str) -> dict[str, Any]:
    """Return join code, link and QR; chiefs see it too, to let a late hand in."""
    return card(office.show_of(ports(), show))


def card(found: ShowRecord) -> dict[str, Any]:
    """Return the join card of a show."""
    url = None
    if found.join_code is not None:
        base = ports().limits.address or request.host_url.rstrip("/")
        url = f"{base}/join#{found.join_code}"
    return {
        "code": found.join_code,
        "url": url,
        "qr_svg": None if url is None else qr_svg(url),
        "pin_set": found.pin is not None,
        "ends_at": join_ends_at(found),
    }


def qr_svg(text: str) -> str:
    """Return a QR code as SVG; always a full one, never the micro kind that phones do not read."""
    out = io.BytesIO()
    # Sizes by attribute: the page's policy allows no inline style.
    segno.make_qr(text, error="m").save(
        out, kind="svg", xmldecl=False, svgns=True, omitsize=True, border=4, light="#fff"
    )
    return out.getvalue().decode()


@bp.post("/shows/<show>/join/renew")
@bp.output(JoinCard)
@bp.doc(summary="A new join code", responses=[401, 403, 404, 409])
def renew_join(show: str) -> dict[str, Any]:
    """Give the show a new join code; who is in stays in."""
    office.renew_join(ports(), show)
    _audit("renewed join code", show)
    return card(office.show_of(ports(), show))


@bp.post("/shows/<show>/pin")
@bp.input(PinModel, arg_name="body")
@bp.output(PinAnswer)
@bp.doc(summary="Set the chief's PIN", responses=[401, 403, 404])
def set_pin(show: str, body: PinModel) -> dict[str, Any]:
    """Set the chief's PIN; chiefs who are in stay in until they are signed out."""
    pin = office.set_pin(ports(), show, body.pin)
    _audit("set PIN", show)
    return {"pin": pin}


@bp.post("/shows/<show>/out")
@bp.output(Nothing)
@bp.doc(summary="Sign everyone out of a show", responses=[401, 403, 404])
def sign_out_all(show: str) -> dict[str, Any]:
    """End every session of a show."""
    office.show_of(ports(), show)
    ports().people.end_sessions(show, ports().now())
    _audit("signed everyone out", show)
    return {}


@bp.get("/audit")
@bp.output(AuditAnswer)
@bp.doc(summary="Who did what", responses=[401, 403])
def audit() -> dict[str, Any]:
    """Return the latest two hundred entries."""
    return {"entries": ports().audit.latest()}


def _audit(action: str, show: str) -> None:
    ports().audit.add(at=ports().now(), who=someone(), address=address(), action=action, show=show)
