"""Deleting: cases, vehicles and shows without a history, and the demo."""

from __future__ import annotations

from typing import Any, Final

from apiflask import APIBlueprint
from pydantic import BaseModel

from server.api.context import ports
from server.api.models import Nothing
from server.service import removal

bp: Final = APIBlueprint("removal", __name__, url_prefix="/api", tag="office")


class DemoAnswer(BaseModel):
    """How many cases of the demo were removed."""

    cases: int


@bp.delete("/cases/<path:code>")
@bp.output(Nothing)
@bp.doc(summary="Delete a case that was on no show", responses=[401, 403, 404, 409])
def delete_case(code: str) -> dict[str, Any]:
    """Delete a case."""
    removal.delete_case(ports(), code)
    return {}


@bp.delete("/vehicles/<vehicle>")
@bp.output(Nothing)
@bp.doc(summary="Delete a vehicle that no show had", responses=[401, 403, 404, 409])
def delete_vehicle(vehicle: str) -> dict[str, Any]:
    """Delete a vehicle."""
    removal.delete_vehicle(ports(), vehicle)
    return {}


@bp.delete("/shows/<show>")
@bp.output(Nothing)
@bp.doc(summary="Delete a show that was never issued", responses=[401, 403, 404, 409])
def delete_show(show: str) -> dict[str, Any]:
    """Delete a show."""
    removal.delete_show(ports(), show)
    return {}


@bp.delete("/demo")
@bp.output(DemoAnswer)
@bp.doc(summary="Remove the demo shop and its show", responses=[401, 403, 409])
def remove_demo() -> dict[str, Any]:
    """Remove everything that the demo brought."""
    return {"cases": removal.remove_demo(ports())}
