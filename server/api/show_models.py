"""A show as the office sends and gets it; lengths in micrometres, masses in grams."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import BaseModel, Field, RootModel

from server.api.case_models import Code, Grams, Line, Um, UmOrNone, UnitsModel
from server.api.declared import NO_CONTROLS
from server.api.models import Name, Strict
from server.core.shop.details import MOST_SLOPE, MOST_WAY_UM


class RulesModel(Strict):
    """House rules for one show; null: no limit."""

    securing: Literal["us-49cfr393", "en-12195"] = "us-49cfr393"
    straps_min: int = Field(1, ge=0, le=20)
    slack_limit_um: UmOrNone | None = 76_200
    lift_top_um: Um | None = 1_524_000
    rider_mass_g: Grams | None = 68_039
    side_difference: float = Field(0.1, ge=0, le=1)
    hands: Literal["men", "mixed"] = "mixed"


class CalledModel(Strict):
    """A case called for a show; drop 1 comes off first, what is nice to have is left first."""

    code: Code
    drop: int = Field(1, ge=1, le=99)
    vehicle: str | None = Field(None, max_length=60)
    near: Literal["bulkhead", "door"] | None = None
    with_: str | None = Field(None, alias="with", max_length=40)
    priority: Literal["must", "nice"] = "must"


DropNames = Annotated[
    dict[
        Annotated[str, Field(pattern=r"^[1-9][0-9]?$")],
        Annotated[str, Field(max_length=40, pattern=NO_CONTROLS)],
    ],
    Field(max_length=99),
]
DayText = Annotated[str, Field(max_length=10, pattern=r"^(\d{4}-\d{2}-\d{2})?$")]


class VenueModel(Strict):
    """Where the load goes; null: not known, a dock of 0: unloading at street level.

    `slope_percent`: the steepest slope between dock and stage; `distance_um`: from the vehicle to
    the stage.
    """

    name: Line = ""
    dock_height_um: UmOrNone | None = None
    ramp_length_um: Um | None = None
    slope_percent: float | None = Field(None, ge=0, le=MOST_SLOPE, allow_inf_nan=False)
    floor: Literal["good", "rough", "soft"] | None = None
    distance_um: Annotated[int, Field(ge=0, le=MOST_WAY_UM)] | None = None
    notes: str = Field("", max_length=1000)


class ShowModel(Strict):
    """What the office says of a show.

    `drops`: names of drops by number, such as `{"1": "power first"}`. From `load_day` to
    `return_day` vehicles and cases are busy; empty: the day of the show.
    """

    name: Name
    date: Annotated[str, Field(max_length=40)] = ""
    load_day: DayText = ""
    return_day: DayText = ""
    drops: DropNames = Field(default_factory=dict)
    venue: VenueModel | None = None
    rules: RulesModel = Field(default_factory=lambda: RulesModel.model_validate({}))
    units: UnitsModel | None = None
    vehicles: list[str] = Field(default_factory=list, max_length=50)
    cases: list[CalledModel] = Field(default_factory=list, max_length=5000)


class ShowLine(BaseModel):
    """A show in the list."""

    id: str
    name: str
    date: str
    issued: int
    cases: int
    vehicles: list[str]
    closed: bool


class ShowsAnswer(RootModel[list[ShowLine]]):
    """Every show, newest first."""


class ShowAnswer(BaseModel):
    """A show as the office keeps it."""

    id: str
    name: str
    date: str
    load_day: str
    return_day: str
    drops: dict[str, str]
    venue: VenueModel | None
    rules: RulesModel
    units: UnitsModel
    vehicles: list[str]
    cases: list[dict[str, Any]]
    issued: int
    closed: bool
