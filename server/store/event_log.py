"""The event log: append only; its running number on a show is the order of arrival.

The number is allotted under a lock on the show's row, held until the commit. A plain sequence would
not do: on PostgreSQL number 202 can be seen before 201 is committed, and a phone that reads on
from 202 would never get 201.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Sequence
from typing import Final, cast

from sqlalchemy import BindParameter, Table, bindparam, func, select, text

from server.core.night.running_numbers import Ranges, gaps
from server.service.records import Appended, NewEvent, StoredEvent
from server.store.append_events import CHANNEL, Batch, on_postgres, store
from server.store.db import db, writing
from server.store.group_commit import GroupCommit
from server.store.projections import SightingRow
from server.store.tables import EventRow, NoteRow, ShowRow

PAGE: Final = 1000

# What every poll of every phone asks is built once.
_SHOW: Final = cast("Table", ShowRow.__table__)
_EVENT: Final = cast("Table", EventRow.__table__)
_ASKED: Final[BindParameter[str]] = bindparam("show")
_SINCE: Final = (
    select(_EVENT.c.seq, _EVENT.c.id, _EVENT.c.document, _EVENT.c.received_at)
    .where(_EVENT.c.show_id == _ASKED, _EVENT.c.seq > bindparam("cursor"))
    .order_by(_EVENT.c.seq)
    .limit(bindparam("most"))
)
_CURSOR: Final = select(_SHOW.c.cursor).where(_SHOW.c.id == _ASKED)
_COUNTED: Final = select(func.count(func.distinct(_EVENT.c.n)), func.max(_EVENT.c.n)).where(
    _EVENT.c.show_id == _ASKED, _EVENT.c.device == bindparam("device")
)
_NOTE: Final = cast("Table", NoteRow.__table__)
_NOTES: Final = (
    select(_NOTE.c.event_id, _NOTE.c.at, _NOTE.c.document)
    .where(_NOTE.c.show_id == _ASKED)
    .order_by(_NOTE.c.at, _NOTE.c.event_id)
)
_HEADS: Final = select(_SHOW.c.id, _SHOW.c.cursor, _SHOW.c.issued).where(
    _SHOW.c.id.in_(bindparam("shows", expanding=True))
)


_GROUP: Final = GroupCommit(store)


class EventLog:
    """The facts of every show."""

    def append(self, show: str, events: Sequence[NewEvent], now: int, carrier: str) -> Appended:
        """Store what is new in one transaction; return it with the show's cursor.

        An event that is there already changes nothing; another one under its id, or under a number
        that its phone has used, is named and not stored. Raises KeyError for an unknown show.
        """
        return _GROUP.run(show, Batch(events, now, carrier))

    def announce(self, show: str) -> None:
        """Tell every process on PostgreSQL, at commit, that a show has something new.

        Only a hint: who hears it reads on by its own cursor.
        """
        if on_postgres():
            db.session.execute(
                text("SELECT pg_notify(:channel, :show)"), {"channel": CHANNEL, "show": show}
            )

    def since(self, show: str, cursor: int, limit: int = PAGE) -> list[StoredEvent]:
        """Return what came after a cursor, in order, at most a page of it."""
        found = db.session.execute(_SINCE, {"show": show, "cursor": cursor, "most": limit})
        return [StoredEvent(*row) for row in found]

    def all(self, show: str) -> list[StoredEvent]:
        """Return every fact of a show in the order of arrival."""
        asked = (
            select(EventRow.seq, EventRow.id, EventRow.document, EventRow.received_at)
            .where(EventRow.show_id == show)
            .order_by(EventRow.seq)
        )
        return [StoredEvent(*row) for row in db.session.execute(asked)]

    def cursor(self, show: str) -> int:
        """Return the number of facts of a show."""
        return db.session.scalar(_CURSOR, {"show": show}) or 0

    def heads(self, shows: Iterable[str]) -> dict[str, tuple[int, int]]:
        """Return cursor and issued revision of each of these shows."""
        found = db.session.execute(_HEADS, {"shows": list(shows)})
        return {show: (cursor, issued) for show, cursor, issued in found}

    def gaps(self, show: str) -> dict[str, tuple[int, int]]:
        """Return of each device how many facts arrived and the highest number it used."""
        asked = (
            select(EventRow.device, func.count(func.distinct(EventRow.n)), func.max(EventRow.n))
            .where(EventRow.show_id == show)
            .group_by(EventRow.device)
        )
        return {device: (count, last) for device, count, last in db.session.execute(asked)}

    def missing(self, show: str, device: str) -> Ranges:
        """Return the numbers of a phone that never came although later ones did, as ranges.

        Those that the phone itself withdrew are not waited for.
        """
        count, last = db.session.execute(_COUNTED, {"show": show, "device": device}).one()
        if count == (last or 0):
            return ()
        of_phone = (EventRow.show_id == show, EventRow.device == device)
        there = set(db.session.scalars(select(EventRow.n).where(*of_phone)))
        withdrawn = select(EventRow.document).where(*of_phone, EventRow.kind == "withdrawn")
        for document in db.session.scalars(withdrawn):
            there.update(json.loads(document)["body"]["numbers"])
        return gaps(there, last)

    def last_seen(self) -> dict[str, tuple[str, str]]:
        """Return of each case the newest fact that says where it was: its show, and its JSON."""
        asked = select(SightingRow.code, EventRow.show_id, EventRow.document).join(
            EventRow,
            (EventRow.show_id == SightingRow.show_id) & (EventRow.seq == SightingRow.seq),
        )
        return {code: (show, document) for code, show, document in db.session.execute(asked)}

    def of_case(self, code: str, most: int) -> list[str]:
        """Return the newest facts about a case on every show, newest first."""
        asked = (
            select(EventRow.document)
            .where(EventRow.code == code)
            .order_by(EventRow.received_at.desc(), EventRow.seq.desc())
            .limit(most)
        )
        return list(db.session.scalars(asked))

    def add_note(self, show: str, event_id: str, document: dict[str, object], now: int) -> None:
        """Keep what the server found about a fact; once for each fact."""
        with writing():
            if db.session.get(NoteRow, (show, event_id)) is None:
                row = NoteRow(show_id=show, event_id=event_id, document=document, at=now)
                db.session.add(row)

    def notes(self, show: str) -> list[dict[str, object]]:
        """Return the server's notes of a show, oldest first."""
        found = db.session.execute(_NOTES, {"show": show})
        return [{"event": event, "at": at, **document} for event, at, document in found]
