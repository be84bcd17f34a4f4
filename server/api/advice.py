"""What to own and what to hire: questions to the advisor, and the prices they are answered with."""

from __future__ import annotations

from typing import Any, Final

from apiflask import APIBlueprint

from server.api import shapes
from server.api.advice_models import AdviceAnswer, AskModel, PricesModel
from server.api.context import ports
from server.service import advice, advice_inputs

bp: Final = APIBlueprint("advice", __name__, url_prefix="/api", tag="office")


@bp.get("/prices")
@bp.output(PricesModel)
@bp.doc(summary="Prices of vehicles and hours", responses=[401, 403])
def prices() -> dict[str, Any]:
    """Return the prices as they were entered."""
    shapes.tag(advice_inputs.prices_version(ports()))
    return advice_inputs.prices_document(ports())


@bp.put("/prices")
@bp.input(PricesModel, arg_name="body")
@bp.output(PricesModel)
@bp.doc(summary="Keep prices of vehicles and hours", responses=[401, 403, 412, 428])
def put_prices(body: PricesModel) -> dict[str, Any]:
    """Keep the prices."""
    kept = advice_inputs.keep_prices(ports(), body.model_dump(), shapes.seen())
    shapes.tag(advice_inputs.prices_version(ports()))
    return kept


@bp.post("/advice")
@bp.input(AskModel, arg_name="body")
@bp.output(AdviceAnswer, status_code=202)
@bp.doc(summary="Ask what to own, what to buy or what to hire", responses=[401, 403, 404, 409])
def ask(body: AskModel) -> dict[str, Any]:
    """Put a question into the queue, or return its answer where nothing has changed since."""
    return advice.ask(ports(), body.root.model_dump())


@bp.get("/advice/<job>")
@bp.output(AdviceAnswer)
@bp.doc(summary="How far the advisor is", responses=[401, 403, 404])
def answer(job: str) -> dict[str, Any]:
    """Return a question with what is known so far."""
    return advice.shown(advice.job_of(ports(), job))


@bp.delete("/advice/<job>")
@bp.output(AdviceAnswer)
@bp.doc(summary="Stop the advisor and keep what is known", responses=[401, 403, 404])
def stop(job: str) -> dict[str, Any]:
    """Stop a question."""
    asked = advice.job_of(ports(), job)
    ports().jobs.stop(asked.id)
    return advice.shown(asked)
