"""What documents of the office were: their history, one change taken back, who has one open."""

from __future__ import annotations

from typing import Any, Final, Literal

from apiflask import APIBlueprint
from pydantic import BaseModel, Field, RootModel

from server.api import shapes
from server.api.context import ports, someone
from server.api.models import Strict
from server.service import changing

bp: Final = APIBlueprint("versions", __name__, url_prefix="/api", tag="office")
MOST: Final = 100


class FieldChange(BaseModel):
    """One field of a document, before and after a change."""

    field: str
    before: Any
    after: Any


class VersionLine(BaseModel):
    """One version: who kept it and when (0: before there were versions), and what it changed."""

    version: int
    at: int
    by: str
    fields: list[FieldChange]
    undoable: bool


class HistoryOfDocument(RootModel[list[VersionLine]]):
    """The versions of a document, the newest first."""


class UndoAnswer(BaseModel):
    """The version that holds the document without that change."""

    version: int


class PresenceModel(Strict):
    """A page that has a document open, or (`leaves`) is closed."""

    kind: Literal["shop", "case", "vehicle", "show"]
    id: str = Field(max_length=60)
    leaves: bool = False


class Person(BaseModel):
    """Who else has the document open, as last heard."""

    name: str
    at: int


class PresenceAnswer(BaseModel):
    """Who else has the document open, its version now, and who made that."""

    others: list[Person]
    version: int
    by: str
    at: int


@bp.get("/versions/<kind>/<path:one>")
@bp.output(HistoryOfDocument)
@bp.doc(summary="Every change of a document", responses=[401, 403, 404])
def document_history(kind: str, one: str) -> HistoryOfDocument:
    """Return the latest hundred changes of the shop (id 1), a case, a vehicle or a show."""
    shape = shapes.shape_of(kind, one)
    shapes.tag(ports().versions.number(shape.kind, shape.id))
    return HistoryOfDocument([
        VersionLine(
            version=step.number,
            at=step.stamp.at,
            by=step.stamp.by,
            fields=[FieldChange(field=name, before=was, after=now)
                    for name, was, now in step.fields],
            undoable=step.undoable,
        )
        for step in changing.history(ports(), shape, MOST)
    ])  # fmt: skip


@bp.post("/versions/<kind>/<path:one>/<int:version>/undo")
@bp.output(UndoAnswer)
@bp.doc(summary="Take back one change of a document", responses=[401, 403, 404, 412])
def undo(kind: str, one: str, version: int) -> UndoAnswer:
    """Take back what one version changed; where somebody changed the same since, 412."""
    made = changing.undo(ports(), shapes.shape_of(kind, one), version)
    shapes.tag(made)
    return UndoAnswer(version=made)


@bp.post("/presence")
@bp.input(PresenceModel, arg_name="body")
@bp.output(PresenceAnswer)
@bp.doc(summary="Say that a document is open, hear who else has it", responses=[401, 403, 404])
def presence(body: PresenceModel) -> dict[str, Any]:
    """Note that this session has a document open; a page says so every 15 seconds."""
    shape = shapes.shape_of(body.kind, body.id)
    others = changing.present(ports(), shape, someone().id, leaves=body.leaves)
    number = ports().versions.number(shape.kind, shape.id)
    last = ports().versions.get(shape.kind, shape.id, number)
    return {
        "others": [{"name": each.by, "at": each.at} for each in others],
        "version": number,
        "by": "" if last is None else last.stamp.by,
        "at": 0 if last is None else last.stamp.at,
    }
