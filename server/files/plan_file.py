"""Plan files, format rowcall-plan-1: core plans written and read in the show's own units."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import BaseModel, ConfigDict, Field, ValidationError

from server.core.base.units import Units, from_g, from_um, to_g, to_um
from server.core.shop.plan import LeftOut, Place, Plan, Row, VehiclePlan
from server.files.errors import bad_input
from server.files.show_schema import UnitsModel

Number = Annotated[float, Field(allow_inf_nan=False, ge=-1e9, le=1e9)]


class _Strict(BaseModel):
    model_config = ConfigDict(extra="forbid", strict=True, frozen=True)


class PlaceModel(_Strict):
    """One case: where it stands, how, and on what (null: the floor)."""

    code: str
    x: Number
    y: Number
    z: Number
    dx: Number
    dy: Number
    dz: Number
    stance: Literal["upright", "on_end", "on_side"] = "upright"
    turned: bool = False
    on: str | list[str] | None = None


class RowModel(_Strict):
    """One row, numbered from the bulkhead."""

    number: int
    from_: Number = Field(alias="from")
    depth: Number
    slack: Number
    straps: int = 0
    cases: list[PlaceModel]


class AxlesModel(_Strict):
    """Mass per support with the load on."""

    front: Number
    rear: Number


class VehiclePlanModel(_Strict):
    """The rows of one vehicle."""

    id: str
    floor_length: Number
    mass: Number
    rows: list[RowModel]
    axles: AxlesModel | None = None


class LeftOutModel(_Strict):
    """A case that stays, and why."""

    code: str
    reason: str


class WayOutModel(_Strict):
    """What lets the rest go: cases to leave, or another change in words.

    `proven`: no smaller set would do by that measure.
    """

    by: str
    codes: list[str]
    mass: Number
    proven: bool


class RefusedModel(_Strict):
    """Why not every case is loaded, what is short, ways out, what a second vehicle would carry.

    `status` and `proven` tell a proof that no plan exists from a search that found none in time.
    """

    status: Literal["cannot_load", "none_found"] = "none_found"
    proven: bool = False
    reasons: list[str]
    floor_short: Number
    over_payload: Number
    ways_out: list[WayOutModel]
    second_vehicle: list[str]


class MoveModel(_Strict):
    """What the crew does differently from the plan before: one case, or a row's new number."""

    kind: Literal["off", "new", "moved", "stays", "renumbered"]
    code: str
    from_vehicle: str | None = None
    from_row: int | None = None
    to_vehicle: str | None = None
    to_row: int | None = None
    words: str


class ChoiceModel(_Strict):
    """An easier plan on more floor: a plan file of its own with what it asks of hands."""

    floor_length: Number
    lifts: int
    turns: int
    plan: dict[str, Any]


class TightRowModel(_Strict):
    """A row of the shortest plan that closes only if sides are exact."""

    vehicle: str
    row: int


class RobustModel(_Strict):
    """What room for error costs; `floor_more` is null where one of the plans is not whole."""

    row_tolerance: Number
    mass_tolerance: Number
    floor_more: Number | None
    tight_rows: list[TightRowModel]


class PlanModel(_Strict):
    """A plan file, format rowcall-plan-1.

    `asks`: plates to read and cases to weigh before the limits are known to be kept.
    """

    format: Literal["rowcall-plan-1"]
    floor_length: Number
    vehicles: list[VehiclePlanModel]
    units: UnitsModel = UnitsModel()
    revision: int = 1
    lower_bound: Number = 0
    proven: bool = False
    seconds: Number = 0
    left_out: list[LeftOutModel] = Field(default_factory=list)
    refused: RefusedModel | None = None
    asks: list[str] | None = None
    moves: list[MoveModel] | None = None
    alternatives: list[ChoiceModel] | None = None
    robust: RobustModel | None = None


def write_plan(plan: Plan, units: Units) -> dict[str, Any]:
    """Return the plan as a rowcall-plan-1 document in these units."""

    def length(um: int) -> float:
        return from_um(um, units.length)

    def place(one: Place) -> dict[str, Any]:
        sides = {key: length(getattr(one, key)) for key in ("x", "y", "z", "dx", "dy", "dz")}
        on: str | list[str] | None = list(one.on) if len(one.on) > 1 else next(iter(one.on), None)
        return {"code": one.code, **sides, "stance": one.stance, "turned": one.turned, "on": on}

    def row(one: Row) -> dict[str, Any]:
        return {
            "number": one.number,
            "from": length(one.start),
            "depth": length(one.depth),
            "slack": length(one.slack),
            "straps": one.straps,
            "cases": [place(case) for case in one.places],
        }

    def vehicle(one: VehiclePlan) -> dict[str, Any]:
        written: dict[str, Any] = {
            "id": one.vehicle,
            "floor_length": length(one.floor_length_um),
            "mass": from_g(one.mass_g, units.mass),
        }
        if one.front_g is not None and one.rear_g is not None:
            written["axles"] = {
                "front": from_g(one.front_g, units.mass),
                "rear": from_g(one.rear_g, units.mass),
            }
        return {**written, "rows": [row(each) for each in one.rows]}

    return {
        "format": "rowcall-plan-1",
        "units": {"length": units.length, "mass": units.mass},
        "revision": plan.revision,
        "floor_length": length(plan.floor_length_um),
        "lower_bound": length(plan.lower_bound_um),
        "proven": plan.proven,
        "seconds": round(plan.seconds, 3),
        "vehicles": [vehicle(each) for each in plan.vehicles],
        "left_out": [{"code": left.code, "reason": left.reason} for left in plan.left_out],
    }


def parse_plan(document: object, place: str = "plan") -> Plan:
    """Turn a plan document into a Plan; BadInput names the place inside it."""
    try:
        model = PlanModel.model_validate(document)
    except ValidationError as error:
        raise bad_input(place, error) from error

    def um(value: float) -> int:
        return to_um(value, model.units.length)

    def grams(value: float) -> int:
        return to_g(value, model.units.mass, "near")

    def read_place(one: PlaceModel) -> Place:
        on = () if one.on is None else (one.on,) if isinstance(one.on, str) else tuple(one.on)
        sides = {key: um(getattr(one, key)) for key in ("x", "y", "z", "dx", "dy", "dz")}
        return Place(code=one.code, stance=one.stance, turned=one.turned, on=on, **sides)

    def read_row(one: RowModel) -> Row:
        places = tuple(read_place(case) for case in one.cases)
        return Row(one.number, um(one.from_), um(one.depth), um(one.slack), one.straps, places)

    def read_vehicle(one: VehiclePlanModel) -> VehiclePlan:
        return VehiclePlan(
            vehicle=one.id,
            rows=tuple(read_row(row) for row in one.rows),
            floor_length_um=um(one.floor_length),
            mass_g=grams(one.mass),
            front_g=None if one.axles is None else grams(one.axles.front),
            rear_g=None if one.axles is None else grams(one.axles.rear),
        )

    return Plan(
        vehicles=tuple(read_vehicle(vehicle) for vehicle in model.vehicles),
        floor_length_um=um(model.floor_length),
        lower_bound_um=um(model.lower_bound),
        proven=model.proven,
        seconds=model.seconds,
        revision=model.revision,
        left_out=tuple(LeftOut(left.code, left.reason) for left in model.left_out),
    )
