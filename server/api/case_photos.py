"""Photos of cases: in the office added, taken over from a night, removed; to crews shown."""

from __future__ import annotations

from typing import Annotated, Any, Final

from apiflask import APIBlueprint
from flask import Response
from pydantic import BaseModel, ConfigDict, Field, RootModel

from server.api.context import ports
from server.api.models import Nothing, PhotoAnswer, Strict
from server.api.pictures import body
from server.service import case_photos as service
from server.service.records import Photo

bp: Final = APIBlueprint("case_photos", __name__, url_prefix="/api", tag="office")


class PhotoLine(BaseModel):
    """What is known of a photo; `words` say what is on it."""

    id: str
    words: str
    media_type: str
    at: int


class NightPhotoLine(BaseModel):
    """A photo that a phone took of a case on a night."""

    show: str
    photo: str
    at: int
    words: str


class AllPhotosAnswer(RootModel[dict[str, list[PhotoLine]]]):
    """Photos by the code of their case."""


class CasePhotosAnswer(BaseModel):
    """The photos of a case, and those of nights that are not its own yet."""

    photos: list[PhotoLine]
    from_nights: list[NightPhotoLine]


class AddQuery(BaseModel):
    """What is on the photo, in words."""

    model_config = ConfigDict(extra="ignore")
    words: Annotated[str, Field(max_length=120, pattern=r"^[^\x00-\x1f\x7f]*$")] = ""


class SizeQuery(BaseModel):
    """`small=1`: as lists show it."""

    model_config = ConfigDict(extra="ignore")
    small: bool = False


class TakeModel(Strict):
    """Which photo of which night."""

    show: Annotated[str, Field(max_length=32)]
    photo: Annotated[str, Field(max_length=64)]


@bp.get("/case-photos")
@bp.output(AllPhotosAnswer)
@bp.doc(summary="Which photos every case has", responses=[401, 403])
def every() -> dict[str, Any]:
    """Return what is known of every photo, without the pictures."""
    return service.all_photos(ports())


@bp.get("/cases/<path:code>/photos")
@bp.output(CasePhotosAnswer)
@bp.doc(summary="The photos of a case", responses=[401, 403, 404])
def of_case(code: str) -> dict[str, Any]:
    """Return the photos of a case, and those that phones took of it on nights."""
    return service.of_case(ports(), code)


@bp.post("/cases/<path:code>/photos")
@bp.input(AddQuery, location="query", arg_name="query")
@bp.output(PhotoAnswer, status_code=201)
@bp.doc(summary="Add a photo to a case", responses=[401, 403, 404, 409, 413, 415, 422, 503])
def add(code: str, query: AddQuery) -> dict[str, Any]:
    """Keep a photo as it was sent; the same again is kept once."""
    return {"photo": service.add(ports(), code, body(), query.words)}


@bp.post("/cases/<path:code>/photos/from-night")
@bp.input(TakeModel, arg_name="body")
@bp.output(PhotoAnswer, status_code=201)
@bp.doc(summary="Make a photo of a night one of the case", responses=[401, 403, 404, 409])
def take(code: str, body: TakeModel) -> dict[str, Any]:
    """Copy a photo that a phone sent with a fact about this case."""
    return {"photo": service.take_from_night(ports(), code, body.show, body.photo)}


@bp.get("/cases/<path:code>/photos/<photo>")
@bp.input(SizeQuery, location="query", arg_name="query")
@bp.doc(summary="A photo of a case", responses=[401, 403, 404])
def photo(code: str, photo: str, query: SizeQuery) -> Response:
    """Return a photo; it never changes."""
    return _picture(service.get(ports(), code, photo, small=query.small))


@bp.get("/shows/<show>/cases/<path:code>/photos/<photo>")
@bp.doc(summary="A small photo of a case of a show", tags=["crew"], responses=[401, 404])
def on_show(show: str, code: str, photo: str) -> Response:
    """Return the small photo of a case that this show calls; it never changes."""
    return _picture(service.of_show(ports(), show, code, photo))


def _picture(found: Photo) -> Response:
    response = Response(found.content, mimetype=found.media_type)
    response.headers["Cache-Control"] = "private, max-age=31536000, immutable"
    response.headers["Content-Disposition"] = "inline"
    return response


@bp.delete("/cases/<path:code>/photos/<photo>")
@bp.output(Nothing)
@bp.doc(summary="Remove a photo of a case", responses=[401, 403, 404])
def remove(code: str, photo: str) -> dict[str, Any]:
    """Remove a photo."""
    service.remove(ports(), code, photo)
    return {}
