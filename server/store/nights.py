"""What each night adds up to: folded once, then read."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from sqlalchemy import select

from server.service.records import ShowRecord
from server.store.db import db, writing
from server.store.projections import NightRow


class Nights:
    """The sums of every night."""

    def sums(self, shows: Sequence[ShowRecord]) -> dict[str, dict[str, Any]]:
        """Return the sums of these shows, of those alone that have no newer fact or revision."""
        heads = {show.id: (show.cursor, show.issued) for show in shows}
        asked = select(NightRow).where(NightRow.show_id.in_(heads))
        return {
            row.show_id: row.document
            for row in db.session.scalars(asked)
            if heads[row.show_id] == (row.cursor, row.issued)
        }

    def keep(self, show: ShowRecord, sums: dict[str, Any]) -> None:
        """Keep the sums of a show."""
        row = NightRow(show_id=show.id, cursor=show.cursor, issued=show.issued, document=sums)
        with writing():
            db.session.merge(row)
