"""Case lists of any shop: what one means, and its good lines into the fleet."""

from __future__ import annotations

import json
from dataclasses import asdict
from typing import Any, Final

from apiflask import APIBlueprint
from flask import request
from pydantic import BaseModel, ConfigDict, Field, ValidationError

from server.api.context import ports
from server.api.declared import NO_CONTROLS, Code, Grams, Um
from server.api.models import Strict
from server.files.lists.lines import Line
from server.files.lists.propose import Choices, Proposal, plain, propose
from server.service import list_import
from server.service.troubles import Wrong
from server.trouble import BadInput

bp: Final = APIBlueprint("case_lists", __name__, url_prefix="/api", tag="office")
MOST_SKIPPED: Final = 200


class ListChoices(Strict):
    """What the owner chose: columns count from 1, heading 0 is none; absent: found out."""

    sheet: str | None = Field(None, max_length=80)
    heading: int | None = Field(None, ge=0, le=100_000)
    columns: dict[str, int] | None = Field(None, max_length=20)
    units: dict[str, str] = Field(default_factory=dict, max_length=4)


class ListQuery(BaseModel):
    """The name of the file, and `choices` as JSON."""

    model_config = ConfigDict(extra="ignore")
    name: str = Field("", max_length=200)
    choices: str = Field("{}", max_length=4_000)


class ProposalAnswer(BaseModel):
    """What a list means: sheets, columns, units, lines, rows that are no cases, questions."""

    sheets: list[dict[str, Any]]
    sheet: str
    heading: int
    columns: list[dict[str, Any]]
    units: dict[str, str]
    lines: list[dict[str, Any]]
    skipped: list[dict[str, Any]]
    questions: list[dict[str, Any]]
    numbering: str


class ListLineModel(Strict):
    """One case as the owner accepted it; null: the list does not state it."""

    code: Code
    length_um: Um
    width_um: Um
    height_um: Um
    mass_g: Grams | None = None
    name: str = Field("", max_length=80, pattern=NO_CONTROLS)
    department: str = Field("", max_length=40, pattern=NO_CONTROLS)
    home: str = Field("", max_length=40, pattern=NO_CONTROLS)
    note: str = Field("", max_length=400, pattern=NO_CONTROLS)
    lid_load_g: Grams | None = None
    rides: bool | None = None
    casters: bool | None = None


class ListModel(Strict):
    """The good lines of a list; `numbering`: the pattern of its numbers, to be the shop's own."""

    cases: list[ListLineModel] = Field(min_length=1, max_length=10_000)
    numbering: str = Field("", max_length=40, pattern=NO_CONTROLS)


class ListAnswer(BaseModel):
    """How many cases are new, changed and the same; every refused line with its reason."""

    new: int
    changed: int
    same: int
    refused: list[dict[str, Any]]
    numbering: str
    hint: str


@bp.post("/cases/propose")
@bp.input(ListQuery, location="query", arg_name="query")
@bp.output(ProposalAnswer)
@bp.doc(summary="What a case list means; nothing is saved", responses=[401, 403, 413, 415, 422])
def propose_list(query: ListQuery) -> dict[str, Any]:
    """Return columns, units, lines and questions of a file or of pasted cells."""
    try:
        found = propose(request.get_data(), query.name or "The list", _choices(query.choices))
    except BadInput as bad:
        raise Wrong(str(bad), (("file", f"expected {bad.expected}"),)) from bad
    return _answer(found)


@bp.post("/cases/list")
@bp.input(ListModel, arg_name="body")
@bp.output(ListAnswer)
@bp.doc(summary="Save the good lines of a case list", responses=[401, 403])
def save_list(body: ListModel) -> dict[str, Any]:
    """Save what is right and return the rest with its reasons."""
    lines = [
        list_import.ListLine(
            sides_um=(one.length_um, one.width_um, one.height_um),
            **one.model_dump(exclude={"length_um", "width_um", "height_um"}),
        )
        for one in body.cases
    ]
    return asdict(list_import.import_lines(ports(), lines, body.numbering))


def _choices(text: str) -> Choices:
    """Return the owner's choices; Wrong names what is none."""
    try:
        read = ListChoices.model_validate(json.loads(text))
    except (ValueError, ValidationError, RecursionError) as error:
        raise Wrong("The choices cannot be read.", (("choices", "expected JSON"),)) from error
    return Choices(read.sheet, read.heading, read.columns, read.units)


def _answer(found: Proposal) -> dict[str, Any]:
    """Return a proposal for the page: integers inside, every question beside its line."""
    said = plain(found)
    roles = {place: role for role, place in found.roles.places.items()}
    columns = [
        {
            "column": one.place + 1,
            "heading": one.heading,
            "role": roles.get(one.place, "note" if one.place in found.roles.notes else ""),
            "sample": found.sample(one.place),
        }
        for one in found.table.columns
    ]
    return {
        "sheets": [{"name": name, "cases": count} for name, count in found.sheets],
        "sheet": found.table.sheet.name,
        "heading": found.table.first,
        "columns": columns,
        "units": said["units"],
        "lines": [_line(one) for one in found.lines],
        "skipped": [asdict(one) for one in found.skipped[:MOST_SKIPPED]],
        "questions": [asdict(one) for one in found.whole],
        "numbering": list_import.own_numbering(ports(), [one.code for one in found.lines]),
    }


def _line(line: Line) -> dict[str, Any]:
    sides = [None if side is None else round(side * 1000) for side in line.sides_mm]
    return {
        "row": line.row,
        "part": line.part,
        "code": line.code,
        "name": line.name[:80],
        "department": line.department[:40],
        "home": line.home[:40],
        "note": line.note[:400],
        "length_um": sides[0],
        "width_um": sides[1],
        "height_um": sides[2],
        "mass_g": None if line.mass_g is None else round(line.mass_g),
        "quantity": line.quantity,
        "asks": [{"field": one.field, "why": one.why} for one in line.asks],
    }
