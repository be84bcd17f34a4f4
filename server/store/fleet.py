"""The shop: its settings, its cases and its vehicles."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from sqlalchemy import delete, select

from server.core.shop.case import Case
from server.core.shop.vehicle import Vehicle
from server.service.document_records import Expected, Stamp
from server.service.records import CaseNotes, FleetCase, FleetVehicle, ShopSettings
from server.service.troubles import Stale
from server.store import documents, versions
from server.store.db import db, writing
from server.store.tables import (
    CasePhotoRow,
    CaseRow,
    ShopRow,
    ShowCaseRow,
    ShowVehicleRow,
    VehicleRow,
)

SHOP: int = 1
ASIDE: str = "aside"


def _case(row: CaseRow) -> FleetCase:
    return FleetCase(
        case=documents.read(Case, row.document),
        owner=row.owner,
        state=row.state,  # type: ignore[arg-type]
        notes=CaseNotes() if row.notes is None else documents.read(CaseNotes, row.notes),
    )


def _vehicle(row: VehicleRow) -> FleetVehicle:
    """`aside` stands in the document beside the vehicle's own, and only where it is so."""
    document = dict(row.document)
    aside = bool(document.pop(ASIDE, False))
    return FleetVehicle(documents.read(Vehicle, document), row.mark, aside)


def _refuse_called(cases: Sequence[str], vehicles: Sequence[str]) -> None:
    """Refuse to delete what a show has called since somebody looked."""
    called = select(ShowCaseRow.code).where(ShowCaseRow.code.in_(cases))
    booked = select(ShowVehicleRow.vehicle_id).where(ShowVehicleRow.vehicle_id.in_(vehicles))
    found = db.session.scalar(called.limit(1)) or db.session.scalar(booked.limit(1))
    if found is not None:
        raise Stale(f"A show has called {found} just now.")


class Fleet:
    """Every case and vehicle of the shop."""

    def settings(self) -> ShopSettings:
        row = db.session.get(ShopRow, SHOP)
        return ShopSettings() if row is None else documents.read(ShopSettings, row.document)

    def put_settings(
        self, settings: ShopSettings, now: int = 0, *, by: str = "", expect: int | None = None
    ) -> None:
        document = documents.write(settings)
        with writing():
            versions.lock("shop")
            row = db.session.get(ShopRow, SHOP)
            before = documents.write(self.settings())
            versions.keep("shop", {str(SHOP): (before, document)}, (now, by), expect)
            if row is None:
                db.session.add(ShopRow(id=SHOP, document=document))
            else:
                row.document = document

    def cases(self) -> list[FleetCase]:
        asked = select(CaseRow).order_by(CaseRow.code)
        return [_case(row) for row in db.session.scalars(asked)]

    def case(self, code: str) -> FleetCase | None:
        row = db.session.get(CaseRow, code)
        return None if row is None else _case(row)

    def put_cases(
        self, cases: Iterable[FleetCase], now: int, *, by: str = "", expect: Expected = None
    ) -> None:
        """Add or replace cases: all of them in one transaction."""
        with writing():
            versions.lock("case")
            rows = {row.code: row for row in db.session.scalars(select(CaseRow))}
            changed: dict[str, tuple[dict[str, Any] | None, dict[str, Any]]] = {}
            for one in cases:
                row = rows.get(one.case.code)
                before = None if row is None else documents.write(_case(row))
                changed[one.case.code] = (before, documents.write(one))
                if row is None:
                    row = CaseRow(code=one.case.code)
                    rows[one.case.code] = row
                    db.session.add(row)
                row.department = one.case.department
                row.state, row.owner = one.state, one.owner
                row.document, row.changed_at = documents.write(one.case), now
                row.notes = None if one.notes == CaseNotes() else documents.write(one.notes)
            versions.keep("case", changed, (now, by), expect)

    def vehicles(self) -> list[FleetVehicle]:
        asked = select(VehicleRow).order_by(VehicleRow.id)
        return [_vehicle(row) for row in db.session.scalars(asked)]

    def vehicle(self, vehicle_id: str) -> FleetVehicle | None:
        row = db.session.get(VehicleRow, vehicle_id)
        return None if row is None else _vehicle(row)

    def put_vehicles(
        self, vehicles: Sequence[FleetVehicle], now: int, *, by: str = "", expect: Expected = None
    ) -> None:
        """Add or replace vehicles: all of them in one transaction."""
        with writing():
            versions.lock("vehicle")
            changed: dict[str, tuple[dict[str, Any] | None, dict[str, Any]]] = {}
            for one in vehicles:
                row = db.session.get(VehicleRow, one.vehicle.id)
                before = None if row is None else documents.write(_vehicle(row))
                changed[one.vehicle.id] = (before, documents.write(one))
                if row is None:
                    row = VehicleRow(id=one.vehicle.id)
                    db.session.add(row)
                row.mark, row.changed_at = one.mark, now
                aside = {ASIDE: True} if one.aside else {}
                row.document = {**documents.write(one.vehicle), **aside}
            versions.keep("vehicle", changed, (now, by), expect)

    def remove(
        self,
        cases: Sequence[str],
        vehicles: Sequence[str],
        stamp: Stamp | None = None,
        expect: int | None = None,
    ) -> None:
        """Delete cases with their photos, and vehicles: all of them in one transaction.

        `expect`: the version that was seen; Stale where it is another by now.
        """
        with writing():
            versions.lock("show")  # a show that calls one meanwhile comes before this, or after
            _refuse_called(cases, vehicles)
            versions.lock("case")
            there = {one: self.case(one) for one in cases}
            gone = {one: documents.write(case) for one, case in there.items() if case}
            versions.end("case", gone, stamp or Stamp(0), expect)
            parked = {one: self.vehicle(one) for one in vehicles}
            left = {one: documents.write(vehicle) for one, vehicle in parked.items() if vehicle}
            versions.end("vehicle", left, stamp or Stamp(0), expect)
            db.session.execute(delete(CasePhotoRow).where(CasePhotoRow.code.in_(cases)))
            db.session.execute(delete(CaseRow).where(CaseRow.code.in_(cases)))
            db.session.execute(delete(VehicleRow).where(VehicleRow.id.in_(vehicles)))
