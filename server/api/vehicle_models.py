"""What the office says of one vehicle, as models; lengths in micrometres, masses in grams."""

from __future__ import annotations

from typing import Literal

from pydantic import Field, RootModel

from server.api.case_models import At, Grams, Line, Um, UmOrNone, VehicleId
from server.api.models import Strict


class NarrowModel(Strict):
    """A stretch of floor that is only so wide, up to a height."""

    from_um: UmOrNone
    to_um: Um
    width_um: Um
    up_to_um: Um


class RampModel(Strict):
    """The walk ramp; the rating is the maker's."""

    length_um: Um
    deck_height_um: UmOrNone
    rating_g: Grams | None = None
    wet: bool = False


class AxlesModel(Strict):
    """Two supports; positions behind the bulkhead, limits from the plate."""

    kind: Literal["truck", "kingpin", "ball"]
    front_at_um: At
    rear_at_um: At
    empty_front_g: Grams
    empty_rear_g: Grams
    front_limit_g: Grams | None = None
    rear_limit_g: Grams | None = None
    gross_limit_g: Grams | None = None
    share_min: float | None = Field(None, ge=0, le=1)
    share_max: float | None = Field(None, ge=0, le=1)


class StrapsModel(Strict):
    """Straps on board; the working load limit is the one on the label."""

    count: int = Field(0, ge=0, le=1000)
    wll_g: Grams | None = None


class LiftGateModel(Strict):
    """The lift gate; the rating is the one on its own plate."""

    deep_um: Um
    wide_um: Um
    rating_g: Grams | None = None


class TrackModel(Strict):
    """Rows of anchors along both walls."""

    heights_um: list[UmOrNone] = Field(min_length=1, max_length=10)
    pitch_um: Um


class VehicleModel(Strict):
    """A vehicle as measured inside; `mark` picks its colour and shape on screens.

    `aside`: it is given back or laid up, and offered for no show any more.
    """

    id: VehicleId
    width_um: Um
    length_um: Um
    height_um: Um
    name: Line = ""
    mark: int = Field(0, ge=0, le=7)
    door_height_um: Um | None = None
    payload_g: Grams | None = None
    narrow: list[NarrowModel] = Field(default_factory=list, max_length=20)
    ramp: RampModel | None = None
    axles: AxlesModel | None = None
    straps: StrapsModel | None = None
    bars: int = Field(0, ge=0, le=1000)
    driver_side: Literal["left", "right"] = "left"
    lift_gate: LiftGateModel | None = None
    track: TrackModel | None = None
    aside: bool = False


class VehiclesAnswer(RootModel[list[VehicleModel]]):
    """Every vehicle."""
