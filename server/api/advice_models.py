"""What the office asks the advisor, and prices; micrometres, grams, hundredths of the currency."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import BaseModel, Field, RootModel

from server.api.case_models import Code, Grams, Um, VehicleId
from server.api.models import Strict

Cents = Annotated[int, Field(ge=0, le=10**11)]
Room = Annotated[int, Field(ge=0, le=100_000_000)]
ShowId = Annotated[str, Field(min_length=1, max_length=40)]
Words = Annotated[str, Field(max_length=60, pattern=r"^[^\x00-\x1f\x7f]*$")]


class VehiclePriceModel(Strict):
    """What a vehicle costs and how it can be had; null: not known.

    `distance_cents`: by mile or kilometre; `tolls_cents`: one trip there and back;
    `loading_metre_cents`: a metre of floor 2.4 m wide, in place of a day. A trailer of `empty_g`
    behind a vehicle that may tow `tow_limit_g` carries the difference.
    """

    id: VehicleId
    day_cents: Cents | None = None
    distance_cents: Cents | None = None
    tolls_cents: Cents = 0
    loading_metre_cents: Cents | None = None
    count: int = Field(1, ge=0, le=20)
    trips: int = Field(1, ge=1, le=6)
    licence: Annotated[str, Field(max_length=20)] = ""
    empty_g: Grams | None = None
    tow_limit_g: Grams | None = None


class PricesModel(Strict):
    """Prices in one currency of any name. `licences`: classes held; null: not checked."""

    currency: Annotated[str, Field(max_length=12)] = ""
    driver_hour_cents: Cents | None = None
    vehicles: list[VehiclePriceModel] = Field(default_factory=list, max_length=50)
    licences: list[Annotated[str, Field(min_length=1, max_length=20)]] | None = Field(
        None, max_length=20
    )


class ChangeModel(Strict):
    """A change of the fleet: `replace` or `sell` cases by code, or `buy` more like the first."""

    name: Annotated[str, Field(min_length=1, max_length=60)]
    do: Literal["replace", "sell", "buy"]
    codes: list[Code] = Field(min_length=1, max_length=500)
    count: int = Field(1, ge=1, le=100)
    length_um: Um | None = None
    width_um: Um | None = None
    height_um: Um | None = None
    lid_casters: bool | None = None
    lid_load_g: Grams | None = None
    cost_cents: Cents | None = None


class NeedModel(Strict):
    """So many new cases, and what each must hold: least inside sides, or a volume, or both.

    `front_um`, `behind_um`, `panel_um`: room along the length for cable and a connection panel;
    `under_um`: what casters and base take of the outer height.
    """

    count: int = Field(ge=1, le=200)
    height_um: Um
    name: Words = ""
    inside_um: Annotated[list[Um], Field(min_length=3, max_length=3)]
    volume_um3: int = Field(0, ge=0, le=10**20)
    wall_um: Room = 12_700
    front_um: Room = 0
    behind_um: Room = 0
    panel_um: Room = 0
    under_um: Room = 0
    turn: bool = True


class DriveModel(Strict):
    """How far and how long one way, for how many days; `hours_limit`: a driver's driving a day."""

    days: int = Field(1, ge=1, le=366)
    distance: float = Field(0, ge=0, le=100_000)
    hours: float = Field(0, ge=0, le=200)
    drivers: int = Field(1, ge=1, le=10)
    hours_limit: float | None = Field(None, gt=0, le=24)


class _ByShows(Strict):
    shows: list[ShowId] = Field(default_factory=list, max_length=60)
    vehicles: list[VehicleId] = Field(default_factory=list, max_length=10)


class AskFleet(Strict):
    """The fleet in rows of every vehicle."""

    part: Literal["fleet"]


class AskYear(_ByShows):
    """Shows (none named: the newest 60) as judge of changes; `times`: how often each, by its id."""

    part: Literal["year"]
    changes: list[ChangeModel] = Field(default_factory=list, max_length=8)
    times: dict[ShowId, Annotated[int, Field(ge=1, le=366)]] = Field(
        default_factory=dict, max_length=60
    )


class AskBuy(_ByShows):
    """New cases to buy together; `anew`: judged by empty vehicles, for a shop that starts."""

    part: Literal["buy"]
    needs: list[NeedModel] = Field(min_length=1, max_length=12)
    most_sizes: int = Field(1, ge=1, le=3)
    anew: bool = False


class AskHire(Strict):
    """The cheapest vehicles for a show, and what the ways out of a short booking cost."""

    part: Literal["hire"]
    show: ShowId
    drive: DriveModel = Field(default_factory=lambda: DriveModel.model_validate({}))
    seconds: float = Field(2, gt=0, le=10)


class AskModel(
    RootModel[Annotated[AskFleet | AskYear | AskBuy | AskHire, Field(discriminator="part")]]
):
    """One question to the advisor; `part` says which."""


class AdviceAnswer(BaseModel):
    """How far a question is, and its answer; `job` empty: it was known already, since `at`."""

    job: str
    state: Literal["waiting", "working", "done", "failed"]
    part: str | None = None
    done: int = 0
    of: int = 0
    answer: dict[str, Any] | None = None
    at: int | None = None
    trouble: str | None = None
