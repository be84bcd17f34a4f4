"""Deleting: cases, vehicles and shows without a history, and the demo."""

from __future__ import annotations

from functools import partial
from typing import Any, Final

from apiflask import APIBlueprint
from pydantic import BaseModel

from server.api import shapes
from server.api.context import ports
from server.api.models import Nothing
from server.service import changing, removal

bp: Final = APIBlueprint("removal", __name__, url_prefix="/api", tag="office")


class DemoAnswer(BaseModel):
    """How many cases of the demo were removed."""

    cases: int


@bp.delete("/cases/<path:code>")
@bp.output(Nothing)
@bp.doc(summary="Delete a case that was on no show", responses=[401, 403, 404, 409, 412, 428])
def delete_case(code: str) -> dict[str, Any]:
    """Delete a case as it was seen (If-Match)."""
    outside, shape = ports(), shapes.case_shape(code)
    seen = shapes.seen()
    changing.remove(outside, shape, seen, partial(removal.delete_case, outside, code))
    return {}


@bp.delete("/vehicles/<vehicle>")
@bp.output(Nothing)
@bp.doc(summary="Delete a vehicle that no show had", responses=[401, 403, 404, 409, 412, 428])
def delete_vehicle(vehicle: str) -> dict[str, Any]:
    """Delete a vehicle as it was seen (If-Match)."""
    outside, shape = ports(), shapes.vehicle_shape(vehicle)
    seen = shapes.seen()
    changing.remove(outside, shape, seen, partial(removal.delete_vehicle, outside, vehicle))
    return {}


@bp.delete("/shows/<show>")
@bp.output(Nothing)
@bp.doc(summary="Delete a show that was never issued", responses=[401, 403, 404, 409, 412, 428])
def delete_show(show: str) -> dict[str, Any]:
    """Delete a show as it was seen (If-Match)."""
    outside, shape = ports(), shapes.show_shape(show)
    seen = shapes.seen()
    changing.remove(outside, shape, seen, partial(removal.delete_show, outside, show))
    return {}


@bp.delete("/demo")
@bp.output(DemoAnswer)
@bp.doc(summary="Remove the demo shop and its show", responses=[401, 403, 409])
def remove_demo() -> dict[str, Any]:
    """Remove everything that the demo brought."""
    return {"cases": removal.remove_demo(ports())}
