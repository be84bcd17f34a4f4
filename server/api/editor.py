"""The plan editor: steps on a draft, judged at once; kept, compared, planned from there on."""

from __future__ import annotations

from typing import Annotated, Any, Final, Literal

from apiflask import APIBlueprint
from pydantic import BaseModel, Field

from server.api.case_models import Code, VehicleId
from server.api.context import address, ports, someone
from server.api.models import Nothing, Strict
from server.api.office_models import JobAnswer
from server.api.plans import shown
from server.core.editing.editing import Step
from server.core.shop.case import Stance
from server.core.shop.plan import Plan
from server.files.plan_file import parse_plan, write_plan
from server.service import edit_plan, office, plan_again
from server.service.troubles import Wrong

bp: Final = APIBlueprint("editor", __name__, url_prefix="/api/shows/<show>", tag="office")


class StepModel(Strict):
    """One thing that was done by hand; rows count from 1 at the bulkhead, `at` from the left."""

    do: Literal["move", "row", "turn", "out"]
    code: Code | Literal[""] = ""
    vehicle: VehicleId | Literal[""] = ""
    row: int = Field(0, ge=0, le=1000)
    at: int = Field(0, ge=0, le=1000)
    on: list[Code] = Field(default_factory=list, max_length=20)
    fresh: bool = False
    to_vehicle: VehicleId | Literal[""] = ""
    stance: Stance = "upright"
    turned: bool = False


class EditModel(Strict):
    """Steps on a draft; no draft: on the revision itself."""

    revision: int = Field(ge=1)
    draft: dict[str, Any] | None = None
    steps: list[StepModel] = Field(default_factory=list, max_length=200)


class DraftAnswer(BaseModel):
    """A draft with everything that follows from it; nothing of it is kept."""

    plan: dict[str, Any]
    faults: list[str]
    sheets: list[dict[str, Any]]
    latest: int = Field(description="The newest revision of the show when this was asked")


class KeepModel(Strict):
    """A draft to be kept as the next revision.

    `latest`: the newest revision that the page knew. Where there is a newer one, the answer is 412
    and nothing is kept; without it the draft is kept beside whatever was made meanwhile.
    """

    revision: int = Field(ge=1)
    draft: dict[str, Any]
    latest: int | None = Field(None, ge=1)


class KeptAnswer(BaseModel):
    """The number under which a draft was kept."""

    revision: int


HowMany = Annotated[int, Field(ge=0, le=1000)]
Rows = Annotated[list[Annotated[int, Field(ge=1, le=1000)]], Field(max_length=1000)]


class AskModel(Strict):
    """Planning with other vehicles than those of the show."""

    seconds: int = Field(10, ge=1, le=300)
    vehicles: list[VehicleId] = Field(min_length=1, max_length=50)


class ReplanModel(Strict):
    """Planning from a revision on: loaded rows stay, the rest changes as little as it can.

    `loaded`, by vehicle: the numbers of those rows, or how many from the bulkhead on.
    `vehicles`: those that will drive, where they are not the revision's. `add`: cases of the fleet;
    `leave`: cases that stay here; `swap`: case → the spare in its place; `out`: cases that keep
    their row from closing and need another place.
    """

    revision: int = Field(ge=1)
    loaded: dict[str, HowMany | Rows] = Field(default_factory=dict, max_length=50)
    vehicles: list[VehicleId] | None = Field(None, min_length=1, max_length=50)
    add: list[Code] = Field(default_factory=list, max_length=200)
    leave: list[Code] = Field(default_factory=list, max_length=200)
    swap: dict[Code, Code] = Field(default_factory=dict, max_length=200)
    out: list[Code] = Field(default_factory=list, max_length=200)
    seconds: int = Field(5, ge=1, le=300)


class VehicleChoice(BaseModel):
    """A vehicle by the name that the crew knows."""

    id: str
    name: str


class VehicleChoices(BaseModel):
    """Vehicles that could drive."""

    vehicles: list[VehicleChoice]


class ProposalAnswer(JobAnswer):
    """A plan from a revision on, as far as it is made: sheets as the crew's bundle carries them."""

    faults: list[str]
    left_out: list[str]
    sheets: list[dict[str, Any]]


def _draft(document: dict[str, Any] | None) -> Plan | None:
    return None if document is None else parse_plan(document, "draft")


@bp.post("/edit")
@bp.input(EditModel, arg_name="body")
@bp.output(DraftAnswer)
@bp.doc(summary="Change a plan by hand and hear the judge", responses=[401, 403, 404, 422])
def edit(show: str, body: EditModel) -> dict[str, Any]:
    """Do steps on a draft and say at once what follows; nothing is kept."""
    base = office.revision_of(ports(), show, body.revision)
    steps = [Step(**{**one.model_dump(exclude={"on"}), "on": tuple(one.on)}) for one in body.steps]
    done = edit_plan.edit(ports(), base, _draft(body.draft), steps)
    return {
        "plan": write_plan(done.plan, done.show.units),
        "faults": list(done.faults),
        "sheets": done.sheets,
        "latest": edit_plan.latest(ports(), show),
    }


@bp.post("/drafts")
@bp.input(KeepModel, arg_name="body")
@bp.output(KeptAnswer, status_code=201)
@bp.doc(summary="Keep a draft as the next revision", responses=[401, 403, 404, 412, 422])
def keep(show: str, body: KeepModel) -> KeptAnswer:
    """Keep a draft; what the judge faults is kept too, but never issued."""
    base = office.revision_of(ports(), show, body.revision)
    edit_plan.refuse_newer(ports(), show, body.latest)
    kept = edit_plan.keep(ports(), base, parse_plan(body.draft, "draft"))
    return KeptAnswer(revision=kept.revision)


@bp.post("/plans/asked")
@bp.input(AskModel, arg_name="body")
@bp.output(JobAnswer, status_code=202)
@bp.doc(summary="Plan with other vehicles", responses=[401, 403, 404, 409])
def asked(show: str, body: AskModel) -> dict[str, Any]:
    """Put planning with other vehicles into the queue."""
    edit_plan.asked_show(ports(), show, body.vehicles)
    differs = {"vehicles": body.vehicles}
    return shown(office.ask_plan(ports(), show, seconds=body.seconds, seed=1, differs=differs))


@bp.post("/plans/replan")
@bp.input(ReplanModel, arg_name="body")
@bp.output(JobAnswer, status_code=202)
@bp.doc(summary="Plan from a revision on", responses=[401, 403, 404, 409, 422])
def replan(show: str, body: ReplanModel) -> dict[str, Any]:
    """Put re-planning into the queue; the finished job's `best` lists the moves."""
    base = office.revision_of(ports(), show, body.revision)
    ids = {vehicle.id for vehicle in base.show.vehicles}
    unknown = sorted(set(body.loaded) - ids)
    if unknown:
        expected = f"expected a vehicle of the revision ({', '.join(sorted(ids))})"
        told = (("loaded", f"{expected}, got {unknown[0][:60]}"),)
        raise Wrong("Nothing can be planned.", told)
    differs: dict[str, Any] = {"revision": body.revision, "loaded": body.loaded}
    if body.vehicles is not None:
        meant = edit_plan.asked_show(ports(), show, body.vehicles)
        differs["vehicles"] = body.vehicles
    else:
        meant = office.core_show(ports(), show)
    differs |= body.model_dump(include=set(plan_again.WISHES), exclude_defaults=True)
    plan_again.wished(ports(), base, meant, differs)
    plan_again.opened(base, differs)
    return shown(office.ask_plan(ports(), show, seconds=body.seconds, seed=1, differs=differs))


@bp.get("/plans/replan")
@bp.output(VehicleChoices)
@bp.doc(summary="See the vehicles that could drive", responses=[401, 403, 404])
def choices(show: str) -> dict[str, Any]:
    """Return every vehicle of the shop that may drive, by its id and name."""
    office.show_of(ports(), show)
    return {"vehicles": plan_again.vehicles(ports())}


@bp.get("/plans/replan/<job>")
@bp.output(ProposalAnswer)
@bp.doc(summary="See a plan from a revision on", responses=[401, 403, 404])
def proposal(show: str, job: str) -> dict[str, Any]:
    """Return how far re-planning is; once it has ended, the sheets of its plan."""
    done, made = plan_again.proposal(ports(), show, job)
    return shown(done) | {
        "faults": [] if made is None else list(made.faults),
        "left_out": [] if made is None else plan_again.left_out(made),
        "sheets": [] if made is None else plan_again.sheets_of(ports(), made),
    }


@bp.post("/plans/replan/<job>/issue")
@bp.input(Nothing, arg_name="body")
@bp.output(KeptAnswer, status_code=201)
@bp.doc(summary="Issue a plan from a revision on", responses=[401, 403, 404, 409, 422])
def issue_proposal(show: str, job: str, body: Nothing) -> KeptAnswer:  # noqa: ARG001
    """Put it into the crew's hands; refused when another plan was issued meanwhile."""
    revision = plan_again.issue_proposal(ports(), show, job, someone(), address())
    return KeptAnswer(revision=revision)
