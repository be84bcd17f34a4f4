"""Photos of the night, and labels read from a photo."""

from __future__ import annotations

from typing import Any, Final

from apiflask import APIBlueprint
from flask import Response, request

from server.api.context import ports
from server.api.guard import NO_PHOTO, PHOTOS
from server.api.models import PhotoAnswer, ReadAnswer, Tag, TagAnswer
from server.api.roles import crew_device
from server.service import case_tags, pictures
from server.service.troubles import Unknown, WrongMedia

bp: Final = APIBlueprint("pictures", __name__, url_prefix="/api/shows/<show>", tag="crew")


def body() -> bytes:
    """Return the picture that was sent; its length was bounded before it was read."""
    if request.mimetype not in PHOTOS:
        raise WrongMedia(NO_PHOTO)
    return request.get_data(cache=False)


@bp.post("/photos")
@bp.output(PhotoAnswer)
@bp.doc(summary="Keep a photo", responses=[401, 403, 404, 413, 415, 422])
def add_photo(show: str) -> dict[str, Any]:
    """Keep a photo under the name that the phone gave it; twice is once."""
    name = request.args.get("id")
    return {"photo": pictures.keep(ports(), show, crew_device(), body(), name)}


@bp.get("/photos/<photo>")
@bp.doc(summary="A photo of the night", responses=[401, 404])
def photo(show: str, photo: str) -> Response:
    """Return a photo; it never changes."""
    found = ports().photos.get(show, photo)
    if found is None:
        raise Unknown("There is no such photo (it may still be on its phone).")
    response = Response(found.content, mimetype=found.media_type)
    response.headers["Cache-Control"] = "private, max-age=31536000, immutable"
    response.headers["Content-Disposition"] = "inline"
    return response


@bp.post("/read")
@bp.output(ReadAnswer)
@bp.doc(summary="Every label in a photo", responses=[401, 404, 413, 415, 422, 503])
def read_labels(show: str) -> dict[str, Any]:
    """Read the labels in a photo; `known` tells codes of the fleet or the show."""
    return pictures.read(ports(), show, body())


@bp.post("/tags")
@bp.input(Tag, arg_name="body")
@bp.output(TagAnswer)
@bp.doc(summary="Bind a further tag to a case", responses=[401, 403, 404, 409, 422])
def bind_tag(show: str, body: Tag) -> dict[str, Any]:  # noqa: ARG001  (roles check the show)
    """Let a sticker that a case carries name it from now on; twice is once."""
    return {"code": case_tags.bind(ports(), body.code, body.text)}
