"""Put-away of one show, and reports over every night."""

from __future__ import annotations

from typing import Any, Final

from apiflask import APIBlueprint
from pydantic import BaseModel

from server.api.context import ports
from server.service import morning

bp: Final = APIBlueprint("morning", __name__, url_prefix="/api", tag="office")


class PutAwayAnswer(BaseModel):
    """What goes where, what is damaged or short, what goes back to its owner."""

    homes: list[dict[str, Any]]
    damaged: list[dict[str, Any]]
    short: list[dict[str, Any]]
    give_back: list[dict[str, Any]]
    contradictions: list[dict[str, Any]]
    closed: bool


class ReportAnswer(BaseModel):
    """The newest nights, and what was most often forgotten or damaged in them.

    `left`: nights that are not added up yet; asked again, some of them are.
    """

    nights: list[dict[str, Any]]
    forgotten: list[dict[str, Any]]
    damaged: list[dict[str, Any]]
    left: int


@bp.get("/shows/<show>/put-away")
@bp.output(PutAwayAnswer)
@bp.doc(summary="What goes back where", responses=[401, 403, 404])
def put_away(show: str) -> dict[str, Any]:
    """Return the put-away of a show."""
    return morning.put_away(ports(), show)


@bp.get("/reports")
@bp.output(ReportAnswer)
@bp.doc(summary="What the nights tell together", responses=[401, 403])
def reports() -> dict[str, Any]:
    """Return sums over the newest nights."""
    return morning.report(ports())
