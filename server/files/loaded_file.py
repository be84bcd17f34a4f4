"""What stands loaded: a JSON file of rows by vehicle, or of the codes that were scanned."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from pathlib import Path
from typing import Annotated, Final

from pydantic import Field, TypeAdapter, ValidationError

from server.core.shop.plan import Plan
from server.files.show_file import read_json
from server.trouble import BadInput

EXPECTED: Final = (
    'rows by vehicle, {"T1": 3} (three from the bulkhead) or {"T1": [1, 2]}, or a list of codes'
)
Count = Annotated[int, Field(ge=0, le=1000, strict=True)]
Rows = list[Annotated[int, Field(ge=1, le=1000, strict=True)]]
_SHAPE: Final = TypeAdapter[dict[str, Count | Rows] | list[str]](
    dict[str, Count | Rows] | list[str]
)


def read_loaded(path: Path, plan: Plan) -> Mapping[str, int | Collection[int]]:
    """Return the loaded rows of a plan; BadInput names what the plan does not have."""
    return parse_loaded(read_json(path), plan, str(path))


def parse_loaded(document: object, plan: Plan, place: str) -> Mapping[str, int | Collection[int]]:
    """Return rows by vehicle; of codes, every row that one of them stands in."""
    try:
        found = _SHAPE.validate_python(document)
    except ValidationError as error:
        raise BadInput(place, EXPECTED, str(document)[:60]) from error
    if isinstance(found, list):
        return _rows_of_codes(found, plan, place)
    counts = {one.vehicle: len(one.rows) for one in plan.vehicles}
    for vehicle, rows in found.items():
        if vehicle not in counts:
            raise BadInput(place, f"a vehicle of the plan ({', '.join(counts)})", vehicle[:60])
        most = rows if isinstance(rows, int) else max(rows, default=0)
        if most > counts[vehicle]:
            raise BadInput(f"{place}: {vehicle}", f"rows up to {counts[vehicle]}", str(most))
    return dict(found)


def _rows_of_codes(codes: list[str], plan: Plan, place: str) -> dict[str, list[int]]:
    where = {
        put.code: (one.vehicle, row.number)
        for one in plan.vehicles
        for row in one.rows
        for put in row.places
    }
    rows: dict[str, set[int]] = {}
    for code in codes:
        if code not in where:
            raise BadInput(place, "codes that stand in the plan", code[:60])
        vehicle, number = where[code]
        rows.setdefault(vehicle, set()).add(number)
    return {vehicle: sorted(some) for vehicle, some in rows.items()}
