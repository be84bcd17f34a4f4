"""Everything of the shop in one zip, and back into a shop that has nothing yet."""

from __future__ import annotations

from typing import Any, Final

from apiflask import APIBlueprint
from flask import Response, request
from pydantic import BaseModel

from server.api.context import address, ports, someone
from server.api.models import Answers
from server.exporting import as_zip, documents, names_of, opened_zip
from server.service import account, bring_back

bp: Final = APIBlueprint("everything", __name__, url_prefix="/api", tag="office")

ZIP: Final[Answers] = {
    200: {
        "description": "every file of an export, with digests",
        "content": {"application/zip": {"schema": {"type": "string", "format": "binary"}}},
    }
}


class BroughtBack(BaseModel):
    """How many cases and shows came back."""

    cases: int
    shows: int


@bp.get("/everything.zip")
@bp.doc(summary="Take everything", responses=ZIP)
def take() -> Response:
    """Return fleet, shows, plans, records and photos as plain files; no secret is in them."""
    response = Response(as_zip(ports()), content_type="application/zip")
    response.headers["Content-Disposition"] = 'attachment; filename="everything.zip"'
    return response


@bp.post("/everything")
@bp.output(BroughtBack)
@bp.doc(summary="Bring everything back", responses=[401, 403, 409, 413, 415, 422])
def bring() -> dict[str, Any]:
    """Bring an export back into an empty shop; every digest is compared before anything is kept."""
    read = opened_zip(request.get_data(), "zip")
    export = bring_back.read(documents(names_of(read), read))
    shows = bring_back.bring_back(ports(), export, read)
    account.note(ports(), someone(), address(), "brought everything back", f"{shows} shows")
    return {"cases": len(export.cases), "shows": shows}
