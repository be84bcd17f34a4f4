"""Plans asked for, looked at, issued, printed."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any, Final

from apiflask import APIBlueprint
from flask import Response, jsonify

from server.api.context import address, ports, someone
from server.api.models import Nothing
from server.api.office_models import (
    ConcernsAnswer,
    IssueModel,
    JobAnswer,
    PlanAnswer,
    PlanLine,
    PlanModel,
    PlansAnswer,
)
from server.files.plan_file import write_plan
from server.service import edit_plan, hand_out, office
from server.service.records import Job, PlanRecord

bp: Final = APIBlueprint("plans", __name__, url_prefix="/api/shows/<show>", tag="office")


def shown(job: Job) -> dict[str, Any]:
    """Return a job as the office sees it."""
    return {
        "job": job.id,
        "state": job.state,
        "best": job.best,
        "revision": job.revision,
        "trouble": job.trouble,
    }


@bp.post("/plans")
@bp.input(PlanModel, arg_name="body")
@bp.output(JobAnswer, status_code=202)
@bp.doc(summary="Plan a show", responses=[401, 403, 404, 409])
def plan(show: str, body: PlanModel) -> dict[str, Any]:
    """Put planning into the queue."""
    differs = body.model_dump(include={"alternatives", "robust"}, exclude_defaults=True)
    return shown(
        office.ask_plan(
            ports(), show, seconds=body.seconds, seed=body.seed, differs=differs or None
        )
    )


@bp.get("/jobs/<job>")
@bp.output(JobAnswer)
@bp.doc(summary="How far planning is", responses=[401, 403, 404])
def job(show: str, job: str) -> dict[str, Any]:
    """Return a job with the best plan so far."""
    return shown(office.job_of(ports(), show, job))


@bp.delete("/jobs/<job>")
@bp.output(Nothing)
@bp.doc(summary="Stop planning and keep the best", responses=[401, 403, 404])
def stop(show: str, job: str) -> dict[str, Any]:
    """Ask the planner to stop; the best plan so far is kept."""
    ports().jobs.stop(office.job_of(ports(), show, job).id)
    return {}


@bp.get("/plans")
@bp.output(PlansAnswer)
@bp.doc(summary="Every revision of a show", responses=[401, 403, 404])
def plans(show: str) -> PlansAnswer:
    """Return every revision, oldest first."""
    office.show_of(ports(), show)
    return PlansAnswer(
        [
            PlanLine(
                revision=one.revision,
                made_at=one.made_at,
                issued_at=one.issued_at,
                floor_length_um=one.plan.floor_length_um,
                lower_bound_um=one.plan.lower_bound_um,
                proven=one.plan.proven,
                left_out=len(one.plan.left_out),
                faults=len(one.faults),
            )
            for one in ports().plans.all(show)
        ]
    )


@bp.get("/plans/<int:revision>")
@bp.output(PlanAnswer)
@bp.doc(summary="One revision", responses=[401, 403, 404])
def revision(show: str, revision: int) -> dict[str, Any]:
    """Return a plan with its figures."""
    record = office.revision_of(ports(), show, revision)
    marks = {one.vehicle.id: one.mark for one in ports().fleet.vehicles()}
    return {
        "revision": record.revision,
        "plan": write_plan(record.plan, record.show.units),
        "faults": list(record.faults),
        "sheets": record.sheets or hand_out.sheets(record.show, record.plan, marks),
        "issued": office.show_of(ports(), show).issued == record.revision,
        "quality": _quality(record),
        "drops": {case.code: case.drop for case in record.show.cases},
    }


def _quality(record: PlanRecord) -> dict[str, Any]:
    """Return how good a plan was found to be, and what was asked when it was made."""
    plan = record.plan
    made = ports().jobs.made(record.show_id, record.revision)
    return {
        "floor_length_um": plan.floor_length_um,
        "lower_bound_um": plan.lower_bound_um,
        "proven": plan.proven,
        "vehicles": len(plan.vehicles),
        "left_out": len(plan.left_out),
        "seconds": plan.seconds,
        "asked": None if made is None else made.asked,
        "trouble": None if made is None else made.trouble,
        "robust": None if made is None else (made.best or {}).get("robust"),
        "by_planner": made is not None,
    }


@bp.get("/plans/<int:revision>/concerns")
@bp.output(ConcernsAnswer)
@bp.doc(summary="What should be settled before issue", responses=[401, 403, 404])
def list_concerns(show: str, revision: int) -> Response:
    """Return what is wrong with a plan, each with its way out."""
    return jsonify([asdict(one) for one in office.concerns_of(ports(), show, revision)])


@bp.post("/plans/<int:revision>/issue")
@bp.input(IssueModel, arg_name="body")
@bp.output(Nothing)
@bp.doc(summary="Hand a revision to the crew", responses=[401, 403, 404, 409, 412, 422])
def issue(show: str, revision: int, body: IssueModel) -> dict[str, Any]:
    """Put a revision into the crew's hands."""
    edit_plan.refuse_later(ports(), show, body.instead_of)
    office.issue(ports(), show, revision, someone(), address(), words=body.words)
    return {}
