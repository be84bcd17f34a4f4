"""Many cases at once: one change, labels; and the history of one."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any, Final, Literal

from apiflask import APIBlueprint
from flask import Response
from pydantic import BaseModel, Field, RootModel

from server.api.case_models import ChangeModel, Code
from server.api.context import ports
from server.api.models import Answers, Strict
from server.api.pictures import body as photo_body
from server.service import lists, pictures, upkeep
from server.service.first_evening import first_evening
from server.service.label_paper import LabelPaper

bp: Final = APIBlueprint("upkeep", __name__, url_prefix="/api", tag="office")

PDF: Final[Answers] = {
    200: {
        "description": "a PDF",
        "content": {"application/pdf": {"schema": {"type": "string", "format": "binary"}}},
    }
}


class BulkModel(Strict):
    """Which cases, and what becomes of them."""

    codes: list[Code] = Field(min_length=1, max_length=10_000)
    change: ChangeModel


class BulkAnswer(BaseModel):
    """How many cases differ now."""

    changed: int


Face = Literal["ends", "lid", "side"]
Sheet = Literal["a4", "a4_large", "a4_whole", "letter", "letter_large", "letter_whole", "roll"]


class LabelsModel(Strict):
    """Labels of these cases on this paper; `first`: the first free place of a used sheet."""

    codes: list[Code] = Field(min_length=1, max_length=500)
    sheet: Sheet = "a4"
    roll: str = Field("", max_length=16)
    faces: list[Face] = Field(default=["ends", "lid", "side"], min_length=1, max_length=3)
    first: int = Field(1, ge=1, le=4)
    count: int = Field(1, ge=1, le=20)
    contact: str = Field("", max_length=80)


class TestPageQuery(Strict):
    """On which paper."""

    paper: Literal["a4", "letter"] = "a4"


class PrinterAnswer(BaseModel):
    """Which squares of the printed test page were read, in mm of a module, and what to do."""

    read_mm: list[float]
    missing_mm: list[float]
    smallest_mm: float | None
    good: bool
    advice: str


class HistoryAnswer(RootModel[list[dict[str, Any]]]):
    """Where a case was seen, newest first."""


class ListsAnswer(BaseModel):
    """The lists of a shop that has not edited its own."""

    checks: list[dict[str, Any]]
    walk: list[dict[str, Any]]


class BackupMade(BaseModel):
    """One backup: when, in which file, how large, and what was wrong with it (empty: nothing)."""

    at: int
    file: str
    rows: int
    bytes: int
    trouble: str


class BackupAnswer(BaseModel):
    """The last backup by `serve --backups`, and the last that came back the same on trial."""

    last: BackupMade | None
    good: BackupMade | None


@bp.get("/backup")
@bp.output(BackupAnswer)
@bp.doc(summary="When the last good backup was", responses=[401, 403])
def backup() -> dict[str, Any]:
    """Return the last backup and the last good one; null where none was made by the server."""
    return {"last": None, "good": None, **(ports().settings.get("backup") or {})}


class FirstEveningAnswer(BaseModel):
    """Which steps of the first evening are done with the shop's own data, the demo aside."""

    fleet: bool
    vehicle: bool
    show: str
    planned: bool
    issued: bool
    joined: bool


@bp.get("/first-evening")
@bp.output(FirstEveningAnswer)
@bp.doc(summary="How far a new shop is", responses=[401, 403])
def how_far() -> dict[str, Any]:
    """Return the steps from a fleet to a phone that joined, each done or not."""
    return asdict(first_evening(ports()))


@bp.get("/shop/lists")
@bp.output(ListsAnswer)
@bp.doc(summary="The lists to begin with", responses=[401, 403])
def standard_lists() -> dict[str, Any]:
    """Return the checks and the walk that a shop begins with."""
    return {"checks": list(lists.CHECKS), "walk": list(lists.WALK)}


@bp.post("/cases/change")
@bp.input(BulkModel, arg_name="body")
@bp.output(BulkAnswer)
@bp.doc(summary="Change many cases, or none", responses=[401, 403, 422])
def change(body: BulkModel) -> BulkAnswer:
    """Make one change to every picked case."""
    values = body.change.model_dump(exclude_none=True)
    return BulkAnswer(changed=upkeep.change(ports(), body.codes, values))


@bp.post("/labels.pdf")
@bp.input(LabelsModel, arg_name="body")
@bp.doc(summary="Labels of picked cases", responses=PDF)
def labels(body: LabelsModel) -> Response:
    """Return labels to print."""
    faces = tuple(body.faces)
    paper = LabelPaper(body.sheet, body.roll, faces, body.first, body.count, body.contact)
    made = upkeep.labels(ports(), body.codes, paper)
    response = Response(made, content_type="application/pdf")
    response.headers["Content-Disposition"] = 'attachment; filename="labels.pdf"'
    return response


@bp.get("/labels/test-page.pdf")
@bp.input(TestPageQuery, location="query", arg_name="query")
@bp.doc(summary="A page that proves a printer", responses=PDF)
def test_page(query: TestPageQuery) -> Response:
    """Return the printer test page."""
    response = Response(ports().print_test_page(query.paper), content_type="application/pdf")
    response.headers["Content-Disposition"] = 'attachment; filename="printer-test-page.pdf"'
    return response


@bp.post("/labels/test-page")
@bp.output(PrinterAnswer)
@bp.doc(summary="What a printer can", responses=[401, 403, 413, 415, 422, 503])
def read_test_page() -> dict[str, Any]:
    """Read a photo of the printed test page: which squares came out well enough."""
    return pictures.printer(ports(), photo_body())


@bp.get("/cases/<path:code>/history")
@bp.output(HistoryAnswer)
@bp.doc(summary="Where a case was seen", responses=[401, 403, 404])
def history(code: str) -> HistoryAnswer:
    """Return what phones said of a case."""
    return HistoryAnswer(upkeep.history(ports(), code))
