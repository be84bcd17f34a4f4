"""The revisions of every show: each with the show as it was planned."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from sqlalchemy import func, select, update

from server.core.shop.plan import Plan
from server.core.shop.show import Show
from server.service.document_records import Stamp
from server.service.records import PlanRecord
from server.store import documents
from server.store.db import db, writing
from server.store.event_log import EventLog
from server.store.shows import changed
from server.store.tables import PlanRow, ShowRow


def _plan(row: PlanRow) -> PlanRecord:
    return PlanRecord(
        show_id=row.show_id,
        revision=row.revision,
        show=documents.read(Show, row.show),
        plan=documents.read(Plan, row.plan),
        faults=tuple(row.faults),
        made_at=row.made_at,
        sheets=row.sheets,
        issued_at=row.issued_at,
    )


class Plans:
    """The revisions of every show."""

    def add(
        self, show_id: str, show: Show, plan: Plan, faults: Sequence[str], now: int
    ) -> PlanRecord:
        """Keep a plan as the next revision of its show."""
        with writing():
            lock = update(ShowRow).where(ShowRow.id == show_id).values(issued=ShowRow.issued)
            db.session.execute(lock)
            last = db.session.scalar(
                select(func.max(PlanRow.revision)).where(PlanRow.show_id == show_id)
            )
            revision = (last or 0) + 1
            row = PlanRow(
                show_id=show_id,
                revision=revision,
                show=documents.write(show),
                plan={**documents.write(plan), "revision": revision},
                faults=list(faults),
                made_at=now,
            )
            db.session.add(row)
            db.session.flush()
            record = _plan(row)
        return record

    def newest(self, show_id: str) -> int:
        """Return the newest revision; 0 where there is none."""
        asked = select(func.max(PlanRow.revision)).where(PlanRow.show_id == show_id)
        return db.session.scalar(asked) or 0

    def get(self, show_id: str, revision: int) -> PlanRecord | None:
        row = db.session.get(PlanRow, (show_id, revision))
        return None if row is None else _plan(row)

    def all(self, show_id: str) -> list[PlanRecord]:
        asked = select(PlanRow).where(PlanRow.show_id == show_id).order_by(PlanRow.revision)
        return [_plan(row) for row in db.session.scalars(asked)]

    def issue(
        self, show_id: str, revision: int, sheets: list[dict[str, Any]], now: int, *, by: str = ""
    ) -> None:
        """Put a revision into the crew's hands."""
        with changed(show_id, Stamp(now, by)):
            db.session.execute(
                update(PlanRow)
                .where(PlanRow.show_id == show_id, PlanRow.revision == revision)
                .values(sheets=sheets, issued_at=now)
            )
            db.session.execute(update(ShowRow).where(ShowRow.id == show_id).values(issued=revision))
            EventLog().announce(show_id)
