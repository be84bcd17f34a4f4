"""What the office says of one case, as models; lengths in micrometres, masses in grams."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from server.api.models import Strict
from server.core.shop.case import Stance

Um = Annotated[int, Field(gt=0, le=10**9)]
UmOrNone = Annotated[int, Field(ge=0, le=10**9)]
At = Annotated[int, Field(ge=-(10**9), le=10**9)]
Grams = Annotated[int, Field(ge=0, le=10**9)]
Code = Annotated[str, Field(min_length=1, max_length=60, pattern=r"^[^\x00-\x1f\x7f/]+$")]
VehicleId = Annotated[
    str, Field(min_length=1, max_length=60, pattern=r"^[A-Za-z0-9][A-Za-z0-9 ._-]*$")
]
Line = Annotated[str, Field(max_length=80, pattern=r"^[^\x00-\x1f\x7f]*$")]


class UnitsModel(Strict):
    """How people want figures shown."""

    length: Literal["in", "cm", "mm"] = "in"
    mass: Literal["lb", "kg"] = "lb"


Day = Annotated[str, Field(max_length=10, pattern=r"^(\d{4}-\d{2}-\d{2})?$")]


class ContentModel(Strict):
    """What lies in a case, and how many of it."""

    what: Annotated[str, Field(min_length=1, max_length=80, pattern=r"^[^;\x00-\x1f\x7f]+$")]
    count: int = Field(1, ge=1, le=999_999)


class NotesModel(Strict):
    """What only the office asks of a case; days as 2027-05-14, empty where not known."""

    weighed_on: Day = ""
    return_on: Day = ""
    contents: list[ContentModel] = Field(default_factory=list, max_length=100)
    note: Annotated[str, Field(max_length=400, pattern=r"^[^\x00-\x1f\x7f]*$")] = ""


class CaseModel(Strict):
    """A case of the fleet; `lid_load_g` null: nothing may stand on its lid."""

    code: Code
    length_um: Um
    width_um: Um
    height_um: Um
    name: Line = ""
    department: Annotated[str, Field(max_length=40)] = ""
    home: Annotated[str, Field(max_length=40)] = ""
    mass_g: Grams = 0
    turn: bool = True
    stances: list[Stance] = Field(default_factory=lambda: list[Stance](("upright",)), min_length=1)
    lid_load_g: Grams | None = None
    rides: bool = False
    lid_casters: bool = False
    casters: bool = True
    never_under: list[Code] = Field(default_factory=list, max_length=100)
    owner: Line = ""
    state: Literal["good", "damaged", "repair", "retired"] = "good"
    notes: NotesModel = Field(default_factory=lambda: NotesModel.model_validate({}))
