"""Kits, copies of shows, who else wants a case that day, the calendar, the end of a show."""

from __future__ import annotations

from typing import Annotated, Any, Final

from apiflask import APIBlueprint
from flask import Response, request
from pydantic import BaseModel, ConfigDict, Field

from server.api import shapes
from server.api.bookings_models import KitModel, KitsModel
from server.api.context import address, ports, someone
from server.api.models import Answers, Name, Nothing, Strict
from server.service import bookings, changing, office

bp: Final = APIBlueprint("bookings", __name__, url_prefix="/api", tag="office")

CALENDAR: Final[Answers] = {
    200: {
        "description": "the shows as iCalendar",
        "content": {"text/calendar": {"schema": {"type": "string"}}},
    }
}
DayText = Annotated[str, Field(max_length=10, pattern=r"^(\d{4}-\d{2}-\d{2})?$")]


class CopyModel(Strict):
    """Name and day of the copy."""

    name: Name
    date: DayText = ""


class CopyAnswer(BaseModel):
    """The new show, and the cases and vehicles that cannot go now."""

    id: str
    stay: list[str]


class ConflictsQuery(BaseModel):
    """Which day, or from which to which, and which show not to look at."""

    model_config = ConfigDict(extra="ignore")
    date: DayText = ""
    until: DayText = ""
    besides: str = Field("", max_length=40)


class ConflictsAnswer(BaseModel):
    """Case or vehicle → names of the other shows that have it on one of those days."""

    cases: dict[str, list[str]]
    vehicles: dict[str, list[str]]


@bp.get("/kits")
@bp.output(KitsModel)
@bp.doc(summary="Every kit", responses=[401, 403])
def kits() -> Any:
    """Return the kits."""
    shapes.tag(ports().versions.number("shop", shapes.SHOP_ID))
    return KitsModel([KitModel(**one) for one in ports().fleet.settings().kits])


@bp.put("/kits")
@bp.input(KitsModel, arg_name="body")
@bp.output(KitsModel)
@bp.doc(summary="Change the kits", responses=[401, 403, 412, 422, 428])
def put_kits(body: KitsModel) -> Any:
    """Keep the kits as sent; what others changed of the shop beside them stays."""
    sent = {"kits": [one.model_dump() for one in body.root]}
    shapes.tag(changing.change(ports(), shapes.kits_shape(), sent, shapes.seen()))
    return KitsModel([KitModel(**one) for one in ports().fleet.settings().kits])


@bp.post("/shows/<show>/copy")
@bp.input(CopyModel, arg_name="body")
@bp.output(CopyAnswer, status_code=201)
@bp.doc(summary="A new show like this one", responses=[401, 403, 404, 422])
def copy(show: str, body: CopyModel) -> CopyAnswer:
    """Copy what is called and booked."""
    made, stay = bookings.copied(ports(), show, body.name.strip(), body.date)
    return CopyAnswer(id=made.id, stay=stay)


@bp.get("/conflicts")
@bp.input(ConflictsQuery, location="query", arg_name="query")
@bp.output(ConflictsAnswer)
@bp.doc(summary="What other shows of a day have", responses=[401, 403])
def conflicts(query: ConflictsQuery) -> dict[str, Any]:
    """Return cases and vehicles that are taken that day, or on one of those days."""
    return dict(bookings.conflicts(ports(), query.date, query.besides, query.until))


@bp.get("/shows.ics")
@bp.doc(summary="Every show as iCalendar", responses=CALENDAR)
def calendar() -> Response:
    """Return the calendar."""
    return ics(None)


def ics(show: str | None) -> Response:
    """Answer with the calendar of one show, or of all."""
    text = bookings.calendar(ports(), request.host.split(":")[0], show)
    response = Response(text, content_type="text/calendar; charset=utf-8")
    response.headers["Content-Disposition"] = 'attachment; filename="shows.ics"'
    return response


@bp.post("/shows/<show>/close")
@bp.output(Nothing)
@bp.doc(summary="Close a show", responses=[401, 403, 404])
def close(show: str) -> dict[str, Any]:
    """Close a show: nobody joins it any more; its record stays."""
    office.show_of(ports(), show)
    ports().shows.close(show, ports().now(), ports().by)
    ports().audit.add(
        at=ports().now(), who=someone(), address=address(), action="closed", show=show
    )
    return {}
