"""What the office says of one case, as models; lengths in micrometres, masses in grams."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated, Literal

from pydantic import Field

from server.api.declared import (
    Code,
    ContentModel,
    Day,
    Grams,
    Um,
    change_fields,
    make,
    model_fields,
)
from server.api.models import Strict
from server.core.shop.case import Case
from server.service.records import CaseNotes, FleetCase

__all__ = ["Code", "ContentModel", "Day", "Grams", "Um"]

UmOrNone = Annotated[int, Field(ge=0, le=10**9)]
At = Annotated[int, Field(ge=-(10**9), le=10**9)]
VehicleId = Annotated[
    str, Field(min_length=1, max_length=60, pattern=r"^[A-Za-z0-9][A-Za-z0-9 ._-]*$")
]
Line = Annotated[str, Field(max_length=80, pattern=r"^[^\x00-\x1f\x7f]*$")]


class UnitsModel(Strict):
    """How people want figures shown."""

    length: Literal["in", "cm", "mm"] = "in"
    mass: Literal["lb", "kg"] = "lb"


if TYPE_CHECKING:
    # What a type checker sees of the models that are made from declared columns below.
    class NotesModel(Strict):
        """What only the office asks of a case."""

    class CaseModel(Strict):
        """A case of the fleet."""

        code: str
        notes: NotesModel

    class ChangeModel(Strict):
        """One change for many cases."""
else:
    NotesModel = make(
        "NotesModel",
        "What only the office asks of a case; days as 2027-05-14, empty where not known.",
        model_fields(CaseNotes),
    )
    CaseModel = make(
        "CaseModel",
        "A case of the fleet; `lid_load_g` null: nothing may stand on its lid.",
        {
            **model_fields(Case),
            **model_fields(FleetCase),
            "notes": (NotesModel, Field(default_factory=NotesModel)),
        },
    )
    ChangeModel = make(
        "ChangeModel",
        "What becomes of every picked case; absent: unchanged.",
        change_fields(Case, FleetCase, CaseNotes),
    )
