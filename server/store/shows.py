"""Shows: what the office says of them, what is called and booked, how to join."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from typing import Final, cast

from sqlalchemy import Table, bindparam, delete, func, select, update

from server.core.base.units import Units
from server.core.shop.details import Details
from server.core.shop.show import Rules
from server.service.document_records import ShowDocument, Stamp
from server.service.records import Called, ShowRecord
from server.service.troubles import Stale
from server.store import documents, versions
from server.store.db import db, writing
from server.store.tables import CaseRow, ShowCaseRow, ShowRow, ShowVehicleRow, VehicleRow

# Asked by every batch of facts: built once, and on the bare table.
_BOOKED: Final = cast("Table", ShowVehicleRow.__table__)
_VEHICLES: Final = (
    select(_BOOKED.c.vehicle_id)
    .where(_BOOKED.c.show_id == bindparam("show"))
    .order_by(_BOOKED.c.position)
)


def _show(row: ShowRow) -> ShowRecord:
    return ShowRecord(
        id=row.id,
        name=row.name,
        date=row.date,
        rules=documents.read(Rules, row.document["rules"]),
        units=documents.read(Units, row.document["units"]),
        created_at=row.created_at,
        cursor=row.cursor,
        issued=row.issued,
        closed_at=row.closed_at,
        join_code=row.join_code,
        join_ends_at=row.join_ends_at,
        pin=row.pin,
        details=documents.read(Details, row.document.get("details") or {}),
    )


def document_of(show_id: str) -> ShowDocument | None:
    """Return all that the office says of a show, or None where there is none."""
    row = db.session.get(ShowRow, show_id)
    if row is None:
        return None
    show, shows = _show(row), Shows()
    return ShowDocument(
        name=show.name,
        date=show.date,
        rules=show.rules,
        units=show.units,
        vehicles=tuple(shows.vehicles(show_id)),
        called=tuple(shows.called(show_id)),
        issued=show.issued,
        closed=show.closed_at is not None,
        details=show.details,
    )


def _refuse_deleted(show_id: str, codes: set[str], vehicles: set[str]) -> None:
    """Refuse what was deleted while it was called: Stale, and whoever asked looks again."""
    shows = Shows()
    fresh = codes - {one.code for one in shows.called(show_id)}
    booked = vehicles - set(shows.vehicles(show_id))
    there = set(db.session.scalars(select(CaseRow.code))) if fresh else set()
    parked = set(db.session.scalars(select(VehicleRow.id))) if booked else set()
    gone = sorted((fresh - there) | (booked - parked))
    if gone:
        raise Stale(f"{gone[0][:60]} was deleted just now.")


@contextmanager
def changed(show_id: str, stamp: Stamp, expect: int | None = None) -> Iterator[None]:
    """Run one write transaction that changes a show, and keep what it is then as a version."""
    with writing():
        versions.lock("show")
        was = document_of(show_id)
        yield
        db.session.flush()
        db.session.expire_all()
        now = document_of(show_id)
        if now is not None:
            before = None if was is None else documents.write(was)
            both = {show_id: (before, documents.write(now))}
            versions.keep("show", both, (stamp.at, stamp.by), expect)


class Shows:
    """Every show, newest first."""

    def all(self) -> list[ShowRecord]:
        asked = select(ShowRow).order_by(ShowRow.created_at.desc(), ShowRow.id)
        return [_show(row) for row in db.session.scalars(asked)]

    def worked_before(self, date: str, most: int) -> list[ShowRecord]:
        """Return the newest shows before a date that have a plan and facts; no date: of any."""
        asked = (
            select(ShowRow)
            .where(ShowRow.issued > 0, ShowRow.cursor > 0, ShowRow.date != "")
            .order_by(ShowRow.date.desc(), ShowRow.created_at.desc(), ShowRow.id)
            .limit(most)
        )
        if date:
            asked = asked.where(ShowRow.date < date)
        return [_show(row) for row in db.session.scalars(asked)]

    def show(self, show_id: str) -> ShowRecord | None:
        row = db.session.get(ShowRow, show_id)
        return None if row is None else _show(row)

    def by_join_code(self, code: str) -> ShowRecord | None:
        row = db.session.scalar(select(ShowRow).where(ShowRow.join_code == code))
        return None if row is None else _show(row)

    def put(
        self,
        show: ShowRecord,
        vehicles: Sequence[str],
        called: Sequence[Called],
        stamp: Stamp | None = None,
        expect: int | None = None,
    ) -> None:
        """Add a show or change what the office says of it; cursor and join stay as they are."""
        parts = (("rules", show.rules), ("units", show.units), ("details", show.details))
        document = {name: documents.write(part) for name, part in parts}
        with changed(show.id, stamp or Stamp(0), expect):
            _refuse_deleted(show.id, {one.code for one in called}, set(vehicles))
            row = db.session.get(ShowRow, show.id)
            if row is None:
                row = ShowRow(id=show.id, created_at=show.created_at, cursor=0, issued=0)
                row.join_ends_at = 0
                db.session.add(row)
            row.name, row.date, row.document = show.name, show.date, document
            db.session.flush()
            db.session.execute(delete(ShowCaseRow).where(ShowCaseRow.show_id == show.id))
            db.session.execute(delete(ShowVehicleRow).where(ShowVehicleRow.show_id == show.id))
            db.session.add_all(
                ShowVehicleRow(show_id=show.id, vehicle_id=vehicle, position=place)
                for place, vehicle in enumerate(vehicles)
            )
            db.session.add_all(
                ShowCaseRow(
                    show_id=show.id,
                    code=one.code,
                    position=place,
                    drop=one.drop,
                    vehicle=one.vehicle,
                    near=one.near,
                    together=one.together,
                    priority=one.priority,
                )
                for place, one in enumerate(called)
            )

    def document(self, show_id: str) -> ShowDocument | None:
        """Return all that the office says of a show."""
        return document_of(show_id)

    def counts(self) -> dict[str, tuple[int, list[str]]]:
        """Return of every show how many cases it calls and which vehicles it has, for lists."""
        counted = select(ShowCaseRow.show_id, func.count()).group_by(ShowCaseRow.show_id)
        cases: dict[str, int] = {row[0]: row[1] for row in db.session.execute(counted)}
        booked: dict[str, list[str]] = {}
        asked = select(ShowVehicleRow.show_id, ShowVehicleRow.vehicle_id)
        for show, vehicle in db.session.execute(asked.order_by(ShowVehicleRow.position)):
            booked.setdefault(show, []).append(vehicle)
        return {
            show: (cases.get(show, 0), booked.get(show, []))
            for show in cases.keys() | booked.keys()
        }

    def vehicles(self, show_id: str) -> list[str]:
        return list(db.session.scalars(_VEHICLES, {"show": show_id}))

    def called(self, show_id: str) -> list[Called]:
        asked = select(ShowCaseRow).where(ShowCaseRow.show_id == show_id)
        return [
            Called(
                row.code,
                row.drop,
                row.vehicle,
                row.near,  # type: ignore[arg-type]
                row.together,
                row.priority or "must",  # type: ignore[arg-type]
            )
            for row in db.session.scalars(asked.order_by(ShowCaseRow.position))
        ]

    def set_join(self, show_id: str, code: str | None, ends_at: int) -> None:
        with writing():
            change = update(ShowRow).where(ShowRow.id == show_id)
            db.session.execute(change.values(join_code=code, join_ends_at=ends_at))

    def set_pin(self, show_id: str, pin: str) -> None:
        with writing():
            db.session.execute(update(ShowRow).where(ShowRow.id == show_id).values(pin=pin))

    def close(self, show_id: str, now: int, by: str = "") -> None:
        """Close a show: its join code dies with it."""
        with changed(show_id, Stamp(now, by)):
            change = update(ShowRow).where(ShowRow.id == show_id, ShowRow.closed_at.is_(None))
            db.session.execute(change.values(closed_at=now, join_code=None))

    def remove(self, show_id: str, stamp: Stamp | None = None, expect: int | None = None) -> None:
        """Delete a show with everything that hangs on it; the audit keeps its entries.

        `expect`: the version that was seen; Stale where it is another by now.
        """
        with writing():
            versions.lock("show")
            was = document_of(show_id)
            if was is not None:
                versions.end("show", {show_id: documents.write(was)}, stamp or Stamp(0), expect)
            for table in reversed(db.metadata.sorted_tables):
                if "show_id" in table.c and table.name != "audit":
                    db.session.execute(table.delete().where(table.c.show_id == show_id))
            db.session.execute(delete(ShowRow).where(ShowRow.id == show_id))
