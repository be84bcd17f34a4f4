"""The owner's shop: settings, cases, vehicles."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import asdict
from typing import Any, Final

from apiflask import APIBlueprint
from flask import Response, jsonify, request

from server.api import errors
from server.api.case_models import CaseModel
from server.api.context import ports
from server.api.models import Answers
from server.api.office_models import (
    CasesAnswer,
    ImportAnswer,
    ImportQuery,
    ShopModel,
)
from server.api.vehicle_models import VehicleModel, VehiclesAnswer
from server.api.wire import case_from, case_plain, case_to, vehicle_from, vehicle_to
from server.core.base.units import Units
from server.service import shop as service
from server.service.csv_table import BadCsv
from server.service.fleet_csv import write_fleet
from server.service.records import ShopSettings
from server.service.troubles import Unknown, Wrong
from server.service.vehicle_csv import write_vehicles

bp: Final = APIBlueprint("fleet", __name__, url_prefix="/api", tag="office")


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
    kept = asdict(ports().fleet.settings())
    del kept["kits"], kept["demo"]  # they have addresses of their own
    return {**kept, **{name: list(kept[name]) for name in ("checks", "walk", "homes")}}


@bp.put("/shop")
@bp.input(ShopModel, arg_name="body")
@bp.output(ShopModel)
@bp.doc(summary="Change the shop's settings and lists", responses=[401, 403])
def put_shop(body: ShopModel) -> dict[str, Any]:
    """Keep the shop's settings."""
    settings = ShopSettings(
        name=body.name,
        units=Units(body.units.length, body.units.mass),
        numbering=body.numbering,
        checks=tuple(one.model_dump() for one in body.checks),
        walk=tuple(one.model_dump() for one in body.walk),
        kits=ports().fleet.settings().kits,
        demo=ports().fleet.settings().demo,
        homes=tuple(dict.fromkeys(body.homes)),
    )
    service.put_settings(ports(), settings)
    return body.model_dump()


@bp.get("/cases")
@bp.output(CasesAnswer)
@bp.doc(summary="The whole fleet", responses=[401, 403])
def cases() -> Response:
    """Return every case."""
    return jsonify([case_plain(one) for one in ports().fleet.cases()])


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
def case(code: str) -> CaseModel:
    """Return a case."""
    found = ports().fleet.case(code)
    if found is None:
        raise Unknown(f"There is no case {code[:60]}.")
    return case_to(found)


@bp.put("/cases/<path:code>")
@bp.input(CaseModel, arg_name="body")
@bp.output(CaseModel)
@bp.doc(summary="Change a case", responses=[401, 403, 404])
def put_case(code: str, body: CaseModel) -> CaseModel:
    """Change a case; its code stays."""
    if body.code != code:
        raise Wrong("A code is for life.", (("code", f"expected {code[:60]}"),))
    service.put_case(ports(), case_from(body), new=False)
    return body


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
@bp.output(VehiclesAnswer)
@bp.doc(summary="Every vehicle", responses=[401, 403])
def vehicles() -> VehiclesAnswer:
    """Return every vehicle."""
    return VehiclesAnswer([vehicle_to(one) for one in ports().fleet.vehicles()])


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
def vehicle(vehicle: str) -> VehicleModel:
    """Return a vehicle."""
    found = ports().fleet.vehicle(vehicle)
    if found is None:
        raise Unknown(f"There is no vehicle {vehicle[:60]}.")
    return vehicle_to(found)


@bp.put("/vehicles/<vehicle>")
@bp.input(VehicleModel, arg_name="body")
@bp.output(VehicleModel)
@bp.doc(summary="Change a vehicle, put it aside, take it back", responses=[401, 403, 404, 409])
def put_vehicle(vehicle: str, body: VehicleModel) -> VehicleModel:
    """Change a vehicle; plans made before keep the vehicle as it was."""
    if body.id != vehicle:
        raise Wrong("A vehicle keeps its id.", (("id", f"expected {vehicle[:60]}"),))
    service.put_vehicle(ports(), vehicle_from(body), new=False)
    return body


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
