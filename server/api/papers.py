"""Papers to print: a page for each vehicle, and the record of a night."""

from __future__ import annotations

from typing import Final

from apiflask import APIBlueprint
from flask import Response, request
from pydantic import Field

from server.api.context import ports
from server.api.models import Answers, Strict
from server.service import papers

bp: Final = APIBlueprint("papers", __name__, url_prefix="/api/shows/<show>", tag="papers")

PDF: Final[Answers] = {
    200: {
        "description": "a PDF",
        "content": {"application/pdf": {"schema": {"type": "string", "format": "binary"}}},
    },
    401: {"description": "not signed in"},
    403: {"description": "not allowed"},
    404: {"description": "no such show or vehicle"},
    409: {"description": "nothing is issued yet"},
}


class Which(Strict):
    """Which vehicle; absent: all."""

    vehicle: str | None = Field(None, max_length=60)


def _pdf(made: bytes, name: str) -> Response:
    response = Response(made, content_type="application/pdf")
    response.headers["Content-Disposition"] = f'inline; filename="{name}.pdf"'
    return response


@bp.get("/sheet.pdf")
@bp.input(Which, location="query", arg_name="which")
@bp.doc(summary="One page for each vehicle of the issued plan", responses=PDF)
def sheet(show: str, which: Which) -> Response:
    """Return the sheets; `vehicle` picks one."""
    address = ports().limits.address or request.host_url.rstrip("/")
    return _pdf(papers.sheets(ports(), show, which.vehicle, address), "sheet")


@bp.get("/wall.pdf")
@bp.doc(summary="Every row drawn large, to tape up", responses=PDF)
def wall(show: str) -> Response:
    """Return the wall sheet: a summary of each vehicle, then its rows, two on a page."""
    address = ports().limits.address or request.host_url.rstrip("/")
    return _pdf(papers.tape_up(ports(), show, "wall", address), "wall")


@bp.get("/driver.pdf")
@bp.doc(summary="One page for the driver of each vehicle", responses=PDF)
def driver(show: str) -> Response:
    """Return weights, axles, gear, hazards and hours."""
    return _pdf(papers.tape_up(ports(), show, "driver", ""), "driver")


@bp.get("/pull.pdf")
@bp.doc(summary="The pull list by home and by row", responses=PDF)
def pull(show: str) -> Response:
    """Return every case with a box to tick."""
    return _pdf(papers.tape_up(ports(), show, "pull", ""), "pull")


@bp.get("/record.pdf")
@bp.doc(summary="The record of a night on paper", responses=PDF)
def record(show: str) -> Response:
    """Return the record, folded from every event that has arrived."""
    return _pdf(papers.record(ports(), show), "record")
