"""The advise file, format rowcall-advise-1, as models; `schema advise` prints their schema."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field

from server.files.show_schema import (
    CaseModel,
    Name,
    NotNegative,
    Positive,
    RulesModel,
    UnitsModel,
    VehicleModel,
)

Amount = Annotated[float, Field(ge=0, allow_inf_nan=False, le=1e9)]


class _Strict(BaseModel):
    model_config = ConfigDict(extra="forbid", strict=True, frozen=True)


class SomeModel(_Strict):
    """`count` cases of one code that has a quantity."""

    code: Name
    count: int = Field(ge=1, le=2000)


class NightModel(_Strict):
    """A show, or a typical one, `times` a year; no cases: all of them; no vehicles: each of them.

    `cases`: codes (of a code with a quantity all of them) or a code with a count.
    """

    name: Name
    times: int = Field(1, ge=1, le=366)
    cases: list[Name | SomeModel] | None = Field(None, max_length=5000)
    vehicles: list[Name] | None = Field(None, max_length=50)


class VehiclePriceModel(_Strict):
    """What a vehicle costs and how it can be had.

    `distance`: by mile or kilometre; `tolls`: of one trip there and back; `loading_metre`: a metre
    of floor 2.4 m wide, in place of a day. `count`: how many can be had, `trips` each at most. A
    trailer of mass `empty` behind a vehicle that may tow `tow_limit` carries the difference.
    """

    id: Name
    day: Amount | None = None
    distance: Amount | None = None
    tolls: Amount = 0
    loading_metre: Amount | None = None
    count: int = Field(1, ge=0, le=20)
    trips: int = Field(1, ge=1, le=6)
    licence: str = Field("", max_length=20)
    empty: NotNegative | None = None
    tow_limit: NotNegative | None = None


class PricesModel(_Strict):
    """Prices in one currency of any name; all may be absent, then nothing is said of money."""

    currency: str = Field("", max_length=12)
    driver_hour: Amount | None = None
    vehicles: list[VehiclePriceModel] = Field(default_factory=list, max_length=50)


class ReplaceModel(_Strict):
    """Cases that become others: what is given changes, the rest stays."""

    codes: list[Name] = Field(min_length=1, max_length=5000)
    length: Positive | None = None
    width: Positive | None = None
    height: Positive | None = None
    mass: NotNegative | None = None
    lid_load: NotNegative | None = None
    lid_casters: bool | None = None
    turn: bool | None = None


class ChangeModel(_Strict):
    """A change of the fleet: cases replaced, sold by code, bought; `cost` of the change itself.

    What is bought goes on the nights named, or on all of them.
    """

    name: Name
    replace: list[ReplaceModel] = Field(default_factory=list, max_length=100)
    sell: list[Name] = Field(default_factory=list, max_length=5000)
    buy: list[CaseModel] = Field(default_factory=list, max_length=200)
    nights: list[Name] = Field(default_factory=list, max_length=400)
    cost: Amount | None = None


class NeedModel(_Strict):
    """`count` new cases of one outer height, and what each must hold.

    `inside`: least length, width and height inside. `volume`: least volume inside, in the cube of
    the unit of length. `front`, `behind`, `panel`: room along the length for cable and for a
    connection panel; `wall`: thickness of a side, absent: 1/2 in (12.7 mm, common practice, no
    source); `under`: what casters and base take of the height.
    """

    name: str = Field("", max_length=60)
    count: int = Field(ge=1, le=200)
    height: Positive
    inside: Annotated[list[Positive], Field(min_length=3, max_length=3)] | None = None
    volume: Positive | None = None
    wall: NotNegative | None = None
    front: NotNegative = 0
    behind: NotNegative = 0
    panel: NotNegative = 0
    under: NotNegative = 0
    mass: NotNegative = 0
    turn: bool = True


class BuyModel(_Strict):
    """New cases to be bought together; `most_sizes`: sets of up to so many footprints."""

    needs: list[NeedModel] = Field(min_length=1, max_length=12)
    most_sizes: int = Field(1, ge=1, le=3)
    nights: list[Name] | None = Field(None, max_length=60)


class HireModel(_Strict):
    """Which vehicles carry one night at least cost; `distance` and `hours` are one way.

    `booked`: the vehicles there are already: where they do not do, the ways out are priced.
    `licences`: classes held, absent: not checked. `hours_limit`: driving one driver may do in a
    day (11 by 49 CFR 395.3(a)(3), 9 by Regulation (EC) No 561/2006 Article 6(1)).
    """

    night: Name
    booked: list[Name] = Field(default_factory=list, max_length=6)
    days: int = Field(1, ge=1, le=366)
    distance: Amount = 0
    hours: float = Field(0, ge=0, le=200)
    drivers: int = Field(1, ge=1, le=10)
    hours_limit: float | None = Field(None, gt=0, le=24)
    licences: list[str] | None = Field(None, max_length=20)
    seconds: float = Field(2, gt=0, le=60)


class TimedModel(_Strict):
    """One vehicle in one move of an earlier night: minutes for so many cases."""

    minutes: float = Field(gt=0, le=1440)
    cases: int = Field(ge=1, le=5000)
    move: Literal["shop_load", "load_in", "load_out", "put_away"] = "shop_load"


class AdviseModel(_Strict):
    """What the advisor is asked: vehicles, cases, nights; prices, changes, buy, hire as wanted."""

    format: Literal["rowcall-advise-1"]
    vehicles: list[VehicleModel] = Field(min_length=1, max_length=50)
    cases: list[CaseModel] = Field(max_length=5000)
    units: UnitsModel = UnitsModel()
    name: str = Field("", max_length=120)
    date: str = Field("", max_length=40)
    rules: RulesModel = Field(default_factory=lambda: RulesModel.model_validate({}))
    nights: list[NightModel] = Field(default_factory=list, max_length=400)
    prices: PricesModel = Field(default_factory=lambda: PricesModel.model_validate({}))
    changes: list[ChangeModel] = Field(default_factory=list, max_length=20)
    buy: BuyModel | None = None
    hire: HireModel | None = None
    timed: list[TimedModel] = Field(default_factory=list, max_length=5000)
