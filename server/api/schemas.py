"""The JSON Schemas of show, plan and advise files, by address, for other programs."""

from __future__ import annotations

from typing import Final

from apiflask import APIBlueprint
from flask import Response, abort, jsonify

from server.api.models import Answers
from server.files.schemas import MODELS, schema_of

bp: Final = APIBlueprint("schemas", __name__, url_prefix="/api", tag="about")
SCHEMA: Final[Answers] = {
    200: {
        "description": "a JSON Schema, draft 2020-12",
        "content": {"application/schema+json": {"schema": {"type": "object"}}},
    },
    404: {"description": "there is no such schema"},
}


@bp.get("/schemas/<name>.json")
@bp.doc(summary="The JSON Schema of a show, plan or advise file", responses=SCHEMA)
def schema(name: str) -> Response:
    """Return the schema of `show`, `plan` or `advise`."""
    if name not in MODELS:
        abort(404)
    response = jsonify(schema_of(name))
    response.content_type = "application/schema+json"
    return response
