"""The fit table."""

from __future__ import annotations

from typing import Any, Final

from apiflask import APIBlueprint
from pydantic import BaseModel

from server.api.context import ports
from server.service import fit_table

bp: Final = APIBlueprint("fit", __name__, url_prefix="/api", tag="office")


class FitAnswer(BaseModel):
    """Kinds of cases, and for each vehicle how each kind stands in it."""

    kinds: list[dict[str, Any]]
    vehicles: list[dict[str, Any]]


@bp.get("/fit")
@bp.output(FitAnswer)
@bp.doc(summary="How many of each case stand across each vehicle", responses=[401, 403])
def fit() -> dict[str, Any]:
    """Return the fit table of the fleet."""
    return fit_table.table(ports())
