"""The show file, format rowcall-show-1, as models; `plan --schema` prints their JSON schema."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated, Any, Literal

from pydantic import BaseModel, ConfigDict, Field, create_model

from server.core.shop.case import Case, Stance
from server.core.shop.columns import columns
from server.core.shop.details import MOST_SLOPE
from server.core.shop.vehicle import STEERING_SHARE, TONGUE_SHARE

Positive = Annotated[float, Field(gt=0, allow_inf_nan=False, le=1e6)]
NotNegative = Annotated[float, Field(ge=0, allow_inf_nan=False, le=1e9)]
Signed = Annotated[float, Field(allow_inf_nan=False, ge=-1e6, le=1e6)]
Name = Annotated[str, Field(min_length=1, max_length=60, pattern=r"^[^\x00-\x1f\x7f]+$")]


class _Strict(BaseModel):
    model_config = ConfigDict(extra="forbid", strict=True, frozen=True)


def _house(default: str) -> Any:
    """Return a field whose absence means a house default that depends on the units."""
    return Field(
        default=None,
        description=f"absent: {default}; null: no limit",
        json_schema_extra=lambda schema: (schema.pop("default", None), None)[1],
    )


class UnitsModel(_Strict):
    """Units of every length and mass in the file."""

    length: Literal["in", "cm", "mm"] = "in"
    mass: Literal["lb", "kg"] = "lb"


class RulesModel(_Strict):
    """House rules; null means no limit, an absent key the default that its description names."""

    securing: Literal["us-49cfr393", "en-12195"] = "us-49cfr393"
    straps_min: int = Field(1, ge=0, le=20)
    slack_limit: NotNegative | None = _house("3 in (76.2 mm)")
    lift_top: Positive | None = _house("60 in (1524 mm)")
    rider_mass: NotNegative | None = _house("150 lb (68.039 kg)")
    side_difference: float = Field(0.1, ge=0, le=1)
    hands: Literal["men", "mixed"] = "mixed"


class NarrowModel(_Strict):
    """Between `from` and `to` the floor is only `width` wide (centred) up to height `up_to`."""

    from_: NotNegative = Field(alias="from")
    to: Positive
    width: Positive
    up_to: Positive


class RampModel(_Strict):
    """Length along the slope, height of the deck, the maker's rating (mass), wet or not."""

    length: Positive
    deck_height: NotNegative
    rating: Positive | None = None
    wet: bool = False


class TruckAxles(_Strict):
    """A two-axle truck; the front axle stands `front_axle_to_bulkhead` ahead of the bulkhead.

    `steering_share_min`: least share of the mass on the ground that the front axle carries.
    """

    kind: Literal["truck"]
    wheelbase: Positive
    front_axle_to_bulkhead: Signed
    empty_front: NotNegative
    empty_rear: NotNegative
    front_limit: Positive | None = None
    rear_limit: Positive | None = None
    gross_limit: Positive | None = None
    steering_share_min: float = Field(STEERING_SHARE, ge=0, le=1)


class KingpinAxles(_Strict):
    """A semi-trailer; the kingpin stands `kingpin_from_bulkhead` behind the bulkhead."""

    kind: Literal["kingpin"]
    kingpin_from_bulkhead: Signed
    kingpin_to_axles: Positive
    empty_kingpin: NotNegative
    empty_axles: NotNegative
    kingpin_limit: Positive | None = None
    axles_limit: Positive | None = None
    gross_limit: Positive | None = None


class BallAxles(_Strict):
    """A trailer on a ball, which stands `ball_ahead_of_bulkhead` ahead of the bulkhead.

    `empty_tongue` presses on the ball; `tongue_share_min` and `_max` bound its share of the gross.
    """

    kind: Literal["ball"]
    ball_ahead_of_bulkhead: Signed
    ball_to_axle: Positive
    empty_tongue: NotNegative
    empty_axle: NotNegative
    tongue_limit: Positive | None = None
    axle_limit: Positive | None = None
    gross_limit: Positive | None = None
    tongue_share_min: float = Field(TONGUE_SHARE[0], ge=0, le=1)
    tongue_share_max: float = Field(TONGUE_SHARE[1], ge=0, le=1)


class StrapsModel(_Strict):
    """Straps on board and the working load limit of one."""

    count: int = Field(0, ge=0, le=1000)
    wll: Positive | None = None


class LiftGateModel(_Strict):
    """Depth and width of the platform; the rating (mass) by its own plate."""

    depth: Positive
    width: Positive
    rating: Positive | None = None


class TrackModel(_Strict):
    """Rows of anchors along both walls: heights above the floor, and from anchor to anchor."""

    heights: list[NotNegative] = Field(min_length=1, max_length=10)
    pitch: Positive


class VehicleModel(_Strict):
    """One vehicle as measured inside; door height absent: as high as the room."""

    id: Name
    width: Positive
    length: Positive
    height: Positive
    name: str = Field("", max_length=80)
    door_height: Positive | None = None
    payload: NotNegative | None = None
    narrow: list[NarrowModel] = Field(default_factory=list, max_length=20)
    ramp: RampModel | None = None
    axles: Annotated[TruckAxles | KingpinAxles | BallAxles | None, Field(discriminator="kind")] = (
        None
    )
    straps: StrapsModel | None = None
    bars: int = Field(0, ge=0, le=1000)
    driver_side: Literal["left", "right"] = "left"
    lift_gate: LiftGateModel | None = None
    track: TrackModel | None = None


class WishesModel(_Strict):
    """What a show asks of one case, or of `quantity` equal ones (codes then end in #1, #2, ...)."""

    code: Name
    drop: int = Field(1, ge=1, le=99)
    quantity: int = Field(1, ge=1, le=2000)
    vehicle: str | None = None
    near: Literal["bulkhead", "door"] | None = None
    with_: str | None = Field(None, alias="with", max_length=40)
    priority: Literal["must", "nice"] = Field(
        "must", description="nice: left before any case that must go, if not everything fits"
    )
    weighed: bool = Field(default=False, description="the mass is from a scale")


def _case_fields() -> dict[str, Any]:
    """Return a field for each column that a case declares, under its name in files."""
    types: dict[str, Any] = {
        "text": str,
        "length": Positive,
        "mass": NotNegative,
        "flag": bool,
        "stances": Annotated[list[Stance], Field(min_length=1)],
        "codes": Annotated[list[str], Field(max_length=100)],
    }
    found: dict[str, Any] = {}
    for one in columns(Case).values():
        kind = one.column.kind
        if kind == "code":
            continue
        type_ = types[kind]
        if one.required:
            found[one.name] = (type_, ...)
        elif kind == "mass":
            found[one.name] = (type_ | None, None)
        elif kind == "text":
            found[one.name] = (type_, Field(one.default, max_length=one.column.longest))
        elif isinstance(one.default, tuple):
            found[one.name] = (type_, Field(default_factory=lambda held=one: list(held.default)))
        else:
            found[one.name] = (type_, one.default)
    return found


if TYPE_CHECKING:
    CaseModel = WishesModel
else:
    CaseModel = create_model(
        "CaseModel", __base__=WishesModel, __doc__=WishesModel.__doc__, **_case_fields()
    )


class VenueModel(_Strict):
    """Where the load goes; an absent value is not known, a dock of 0 is the street.

    `slope`: the steepest slope between dock and stage in percent; `distance`: vehicle to stage.
    """

    name: str = Field("", max_length=80)
    dock_height: NotNegative | None = None
    ramp_length: Positive | None = None
    slope: float | None = Field(None, ge=0, le=MOST_SLOPE, allow_inf_nan=False)
    floor: Literal["good", "rough", "soft"] | None = None
    distance: NotNegative | None = None
    notes: str = Field("", max_length=1000)


Day = Annotated[
    str,
    Field(max_length=10, description="such as 2027-04-18; empty: the day of the show"),
]


class ShowModel(_Strict):
    """A show file, format rowcall-show-1: units, house rules, vehicles, cases.

    `drops`: names of drops by number, such as `{"1": "power first"}`. Vehicles and cases are busy
    from `load_day` to `return_day`.
    """

    format: Literal["rowcall-show-1"]
    vehicles: list[VehicleModel] = Field(min_length=1, max_length=50)
    cases: list[CaseModel] = Field(max_length=5000)
    units: UnitsModel = UnitsModel()
    name: str = Field("", max_length=120)
    date: str = Field("", max_length=40)
    load_day: Day = ""
    return_day: Day = ""
    drops: dict[
        Annotated[str, Field(pattern=r"^[1-9][0-9]?$")],
        Annotated[str, Field(min_length=1, max_length=40)],
    ] = Field(default_factory=dict, max_length=99)
    venue: VenueModel | None = None
    rules: RulesModel = Field(default_factory=lambda: RulesModel.model_validate({}))
