"""The owner's shop: settings, cases, vehicles."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Final, Literal

from apiflask import APIBlueprint
from flask import Response, jsonify, request
from pydantic import Field

from server.api import errors, paging, shapes
from server.api.case_models import CaseModel
from server.api.context import ports
from server.api.models import Answers, Strict
from server.api.office_models import (
    CasesAnswer,
    ImportAnswer,
    ImportQuery,
    ShopModel,
)
from server.api.partial import partial
from server.api.vehicle_models import VehicleModel, VehiclesAnswer
from server.api.wire import case_from, case_plain, vehicle_from, vehicle_to
from server.service import changing
from server.service import shop as service
from server.service.changing import Shape
from server.service.csv_table import BadCsv
from server.service.fleet_csv import write_fleet
from server.service.vehicle_csv import write_vehicles

bp: Final = APIBlueprint("fleet", __name__, url_prefix="/api", tag="office")


class CasesQuery(paging.PageQuery):
    """Which cases."""

    department: str = Field("", max_length=60)
    state: Literal["good", "damaged", "repair", "retired"] | None = None


CSV: Final[Answers] = {
    200: {
        "description": "a CSV file",
        "content": {"text/csv": {"schema": {"type": "string"}}},
    }
}


@bp.get("/shop")
@bp.output(ShopModel)
@bp.doc(summary="The shop's settings and lists", responses=[401, 403])
def shop() -> dict[str, Any]:
    """Return how the shop counts, numbers and checks."""
    return _read(shapes.shop_shape())


@bp.put("/shop")
@bp.input(ShopModel, arg_name="body")
@bp.output(ShopModel)
@bp.doc(summary="Replace the shop's settings and lists", responses=[401, 403, 412, 428])
def put_shop(body: ShopModel) -> dict[str, Any]:
    """Keep the shop's settings in the place of the version that was seen."""
    return _replaced(shapes.shop_shape(), body)


@bp.patch("/shop")
@bp.input(partial(ShopModel), arg_name="body")
@bp.output(ShopModel)
@bp.doc(summary="Change the shop's settings and lists", responses=[401, 403, 412, 428])
def change_shop(body: Strict) -> dict[str, Any]:
    """Change the fields that are sent; what others changed beside them stays."""
    return _changed(shapes.shop_shape(), body)


@bp.get("/cases")
@bp.input(CasesQuery, location="query", arg_name="query")
@bp.output(CasesAnswer)
@bp.doc(summary="The fleet, whole or page by page", responses=[401, 403, 422])
def cases(query: CasesQuery) -> Response:
    """Return every case that is asked for, by code; Link names the next page."""
    found = [
        one
        for one in ports().fleet.cases()
        if query.matches(one.case.code, one.case.name)
        and query.department in {"", one.case.department}
        and query.state in {None, one.state}
    ]
    shown = paging.page(found, query, lambda one: one.case.code)
    return jsonify([case_plain(one) for one in shown])


@bp.post("/cases")
@bp.input(CaseModel, arg_name="body")
@bp.output(CaseModel, status_code=201)
@bp.doc(summary="Add a case", responses=[401, 403, 409])
def add_case(body: CaseModel) -> CaseModel:
    """Add a case to the fleet."""
    service.put_case(ports(), case_from(body), new=True)
    return body


@bp.get("/cases/<path:code>")
@bp.output(CaseModel)
@bp.doc(summary="One case", responses=[401, 403, 404])
def case(code: str) -> dict[str, Any]:
    """Return a case."""
    return _read(shapes.case_shape(code))


@bp.put("/cases/<path:code>")
@bp.input(CaseModel, arg_name="body")
@bp.output(CaseModel)
@bp.doc(summary="Replace a case", responses=[401, 403, 404, 412, 428])
def put_case(code: str, body: CaseModel) -> dict[str, Any]:
    """Keep a case in the place of the version that was seen; its code stays."""
    return _replaced(shapes.case_shape(code), body)


@bp.patch("/cases/<path:code>")
@bp.input(partial(CaseModel), arg_name="body")
@bp.output(CaseModel)
@bp.doc(summary="Change a case", responses=[401, 403, 404, 412, 428])
def change_case(code: str, body: Strict) -> dict[str, Any]:
    """Change the fields that are sent; what others changed beside them stays."""
    return _changed(shapes.case_shape(code), body)


@bp.post("/cases/import")
@bp.input(ImportQuery, location="query", arg_name="query")
@bp.output(ImportAnswer)
@bp.doc(
    summary="Take in a fleet from a CSV file: all or nothing",
    responses=[401, 403, 413, 415],
    operation_id="import_cases",
)
def import_cases(query: ImportQuery) -> Any:
    """Take in a fleet file, or say what it would do."""
    return _taken(service.import_fleet, dry_run=query.dry_run)


@bp.get("/cases.csv")
@bp.doc(
    summary="The fleet as a CSV file",
    responses=CSV,
)
def cases_csv() -> Response:
    """Return the fleet as a file that can be imported again."""
    fleet = ports().fleet
    return _sheet(write_fleet(fleet.cases(), fleet.settings().units), 'filename="fleet.csv"')


@bp.get("/vehicles")
@bp.input(paging.PageQuery, location="query", arg_name="query")
@bp.output(VehiclesAnswer)
@bp.doc(summary="The vehicles, all or page by page", responses=[401, 403, 422])
def vehicles(query: paging.PageQuery) -> VehiclesAnswer:
    """Return every vehicle that is asked for, by id; Link names the next page."""
    found = [
        one for one in ports().fleet.vehicles() if query.matches(one.vehicle.id, one.vehicle.name)
    ]
    shown = paging.page(found, query, lambda one: one.vehicle.id)
    return VehiclesAnswer([vehicle_to(one) for one in shown])


@bp.post("/vehicles")
@bp.input(VehicleModel, arg_name="body")
@bp.output(VehicleModel, status_code=201)
@bp.doc(summary="Add a vehicle", responses=[401, 403, 409])
def add_vehicle(body: VehicleModel) -> VehicleModel:
    """Add a vehicle."""
    service.put_vehicle(ports(), vehicle_from(body), new=True)
    return body


@bp.get("/vehicles/<vehicle>")
@bp.output(VehicleModel)
@bp.doc(summary="One vehicle", responses=[401, 403, 404])
def vehicle(vehicle: str) -> dict[str, Any]:
    """Return a vehicle."""
    return _read(shapes.vehicle_shape(vehicle))


@bp.put("/vehicles/<vehicle>")
@bp.input(VehicleModel, arg_name="body")
@bp.output(VehicleModel)
@bp.doc(summary="Replace a vehicle", responses=[401, 403, 404, 409, 412, 428])
def put_vehicle(vehicle: str, body: VehicleModel) -> dict[str, Any]:
    """Keep a vehicle in the place of the version that was seen; plans keep it as it was."""
    return _replaced(shapes.vehicle_shape(vehicle), body)


@bp.patch("/vehicles/<vehicle>")
@bp.input(partial(VehicleModel), arg_name="body")
@bp.output(VehicleModel)
@bp.doc(
    summary="Change a vehicle, put it aside, take it back",
    responses=[401, 403, 404, 409, 412, 428],
)
def change_vehicle(vehicle: str, body: Strict) -> dict[str, Any]:
    """Change the fields that are sent; plans made before keep the vehicle as it was."""
    return _changed(shapes.vehicle_shape(vehicle), body)


@bp.post("/vehicles/import")
@bp.input(ImportQuery, location="query", arg_name="query")
@bp.output(ImportAnswer)
@bp.doc(
    summary="Take in vehicles from a CSV file: all or nothing",
    responses=[401, 403, 413, 415],
    operation_id="import_vehicles",
)
def import_vehicles(query: ImportQuery) -> Any:
    """Take in a file of vehicles, or say what it would do."""
    return _taken(service.import_vehicles, dry_run=query.dry_run)


@bp.get("/vehicles.csv")
@bp.doc(summary="The vehicles as a CSV file", responses=CSV)
def vehicles_csv() -> Response:
    """Return the vehicles as a file that can be imported again."""
    fleet = ports().fleet
    return _sheet(
        write_vehicles(fleet.vehicles(), fleet.settings().units), 'filename="vehicles.csv"'
    )


def _read(shape: Shape) -> dict[str, Any]:
    """Return a document with its version; the version is read first, so it is never too new."""
    shapes.tag(ports().versions.number(shape.kind, shape.id))
    return shape.now()


def _replaced(shape: Shape, body: Strict) -> dict[str, Any]:
    document = body.model_dump(by_alias=True)
    shapes.tag(changing.replace(ports(), shape, document, shapes.seen()))
    return shape.now()


def _changed(shape: Shape, body: Strict) -> dict[str, Any]:
    patch = body.model_dump(by_alias=True, exclude_unset=True)
    shapes.tag(changing.change(ports(), shape, patch, shapes.seen()))
    return shape.now()


def _taken(take: Callable[..., service.Imported], *, dry_run: bool) -> Any:
    """Take in the file of this request; every wrong cell is told by row and column."""
    try:
        done = take(ports(), request.get_data(), dry_run=dry_run)
    except BadCsv as bad:
        count = len(bad.faults) + bad.more
        detail = f"{count} wrong {'cell' if count == 1 else 'cells'}: nothing was imported."
        return errors.problem(422, detail, [
            {"field": f"row {one.row}, {one.column}", "message": f"expected {one.expected}, got "
             f"{one.got}", "row": one.row, "column": one.column, "expected": one.expected,
             "got": one.got}
            for one in bad.faults
        ])  # fmt: skip
    return {
        "new": done.new,
        "changed": done.changed,
        "same": done.same,
        "changes": [
            {
                "code": one.code,
                "fields": [
                    {"field": field, "before": before, "after": after}
                    for field, before, after in one.fields
                ],
            }
            for one in done.changes
        ],
    }


def _sheet(text: str, name: str) -> Response:
    """Return a CSV file; its mark of UTF-8 is what spreadsheets look for."""
    response = Response("\ufeff" + text, content_type="text/csv; charset=utf-8")
    response.headers["Content-Disposition"] = f"attachment; {name}"
    return response
