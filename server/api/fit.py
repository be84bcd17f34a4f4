"""The fit table, and which case to buy or build next."""

from __future__ import annotations

from typing import Any, Final

from apiflask import APIBlueprint
from pydantic import BaseModel, Field

from server.api.case_models import Grams, Um, VehicleId
from server.api.context import ports
from server.api.models import Strict
from server.api.office_models import JobAnswer
from server.api.plans import shown
from server.core.shop.case import Case
from server.service import fit_table, office

bp: Final = APIBlueprint("fit", __name__, url_prefix="/api", tag="office")


class FitAnswer(BaseModel):
    """Kinds of cases, and for each vehicle how each kind stands in it."""

    kinds: list[dict[str, Any]]
    vehicles: list[dict[str, Any]]


class LikeModel(Strict):
    """The case that is thought of."""

    length_um: Um
    width_um: Um
    height_um: Um
    mass_g: Grams = 0
    turn: bool = True
    rides: bool = False
    lid_load_g: Grams | None = None


class PurchaseModel(Strict):
    """What is thought of, and by which shows and vehicles it is judged."""

    like: LikeModel
    shows: list[str] = Field(min_length=1, max_length=20)
    vehicles: list[VehicleId] = Field(min_length=1, max_length=10)
    seconds: int = Field(1, ge=1, le=10)


@bp.get("/fit")
@bp.output(FitAnswer)
@bp.doc(summary="How many of each case stand across each vehicle", responses=[401, 403])
def fit() -> dict[str, Any]:
    """Return the fit table of the fleet."""
    return fit_table.table(ports())


@bp.post("/purchase")
@bp.input(PurchaseModel, arg_name="body")
@bp.output(JobAnswer, status_code=202)
@bp.doc(summary="Judge footprints for a new case", responses=[401, 403, 404, 409, 422])
def purchase(body: PurchaseModel) -> dict[str, Any]:
    """Put the comparison into the planner's queue; it hangs on the first show."""
    like = Case("NEW", **body.like.model_dump())
    differs = fit_table.ask_purchase(ports(), like, body.shows, body.vehicles)
    job = office.ask_plan(ports(), body.shows[0], seconds=body.seconds, seed=0, differs=differs)
    return shown(job)
