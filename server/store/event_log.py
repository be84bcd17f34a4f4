"""The event log: append only; its running number on a show is the order of arrival.

The number is allotted under a lock on the show's row, held until the commit. A plain sequence would
not do: on PostgreSQL number 202 can be seen before 201 is committed, and a phone that reads on
from 202 would never get 201.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Final, cast

from sqlalchemy import BindParameter, Table, bindparam, func, insert, select, text, update

from server.service.records import NewEvent, StoredEvent
from server.store.db import db, writing
from server.store.group_commit import GroupCommit
from server.store.tables import EventRow, NoteRow, ShowRow

CHANNEL: Final = "rowcall"
PAGE: Final = 1000
SEEN_KINDS: Final = ("on", "off", "seen")

# What every batch of every phone asks is built once.
_SHOW: Final = cast("Table", ShowRow.__table__)
_EVENT: Final = cast("Table", EventRow.__table__)
_ASKED: Final[BindParameter[str]] = bindparam("show")
_IDS: Final[BindParameter[Sequence[str]]] = bindparam("ids", expanding=True)
_OF_IDS: Final = (_EVENT.c.show_id == _ASKED, _EVENT.c.id.in_(_IDS))
# Numbers for all facts of a batch, and how many of them are there already, as a rule none. What
# another process stores meanwhile is not seen here, but the ids' own index refuses it.
_ALLOT: Final = (
    update(_SHOW)
    .where(_SHOW.c.id == _ASKED)
    .values(cursor=_SHOW.c.cursor + bindparam("count"))
    .returning(_SHOW.c.cursor, select(func.count()).where(*_OF_IDS).scalar_subquery())
)
# PostgreSQL tells every process at the commit; a notice is only a hint to read on.
_ALLOT_AND_TELL: Final = _ALLOT.returning(func.pg_notify(CHANNEL, _SHOW.c.id))
_PUT_BACK: Final = update(_SHOW).where(_SHOW.c.id == _ASKED).values(cursor=bindparam("cursor"))
_STORE: Final = insert(_EVENT)
_THERE: Final = select(_EVENT.c.id).where(*_OF_IDS)
_SINCE: Final = (
    select(_EVENT.c.seq, _EVENT.c.id, _EVENT.c.document)
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


@dataclass(frozen=True, slots=True)
class Batch:
    """Facts that came in one request; `carrier` is the phone that brought them."""

    events: Sequence[NewEvent]
    now: int
    carrier: str


Stored = tuple[list[StoredEvent], int]


def _row(show: str, seq: int, event: NewEvent, batch: Batch) -> dict[str, object]:
    return {
        "show_id": show,
        "seq": seq,
        "id": event.id,
        "device": event.device,
        "n": event.n,
        "kind": event.kind,
        "code": event.code,
        "hlc": event.hlc,
        "document": event.document,
        "received_at": batch.now,
        "carrier": batch.carrier,
    }


def store(show: str, batches: Sequence[Batch]) -> list[Stored]:
    """Store batches of one show inside a write transaction; see `EventLog.append`."""
    ids = [event.id for batch in batches for event in batch.events]
    allot = _ALLOT_AND_TELL if _on_postgres() else _ALLOT
    asked = {"show": show, "count": len(ids), "ids": ids}
    found = db.session.execute(allot, asked).one_or_none()
    if found is None:
        raise KeyError(show)
    cursor, known = found[0], found[1]
    there = set(db.session.scalars(_THERE, {"show": show, "ids": ids})) if known else set[str]()
    rows: list[dict[str, object]] = []
    kept: list[list[StoredEvent]] = []
    before = cursor - len(ids)
    for batch in batches:
        kept.append([])
        for event in batch.events:
            if event.id not in there:
                there.add(event.id)
                seq = before + len(rows) + 1
                rows.append(_row(show, seq, event, batch))
                kept[-1].append(StoredEvent(seq, event.id, event.document))
    if len(rows) < len(ids):  # numbers of facts that were there already go back
        cursor = before + len(rows)
        db.session.execute(_PUT_BACK, {"show": show, "cursor": cursor})
    if rows:
        db.session.execute(_STORE, rows)
    return [(one, cursor) for one in kept]


_GROUP: Final = GroupCommit(store)


def _on_postgres() -> bool:
    return db.engine.dialect.name == "postgresql"


class EventLog:
    """The facts of every show."""

    def append(
        self, show: str, events: Sequence[NewEvent], now: int, carrier: str
    ) -> tuple[list[StoredEvent], int]:
        """Store what is new in one transaction; return it with the show's cursor.

        An event whose id is there already changes nothing. Raises KeyError for an unknown show.
        """
        return _GROUP.run(show, Batch(events, now, carrier))

    def announce(self, show: str) -> None:
        """Tell every process on PostgreSQL, at commit, that a show has something new.

        Only a hint: who hears it reads on by its own cursor.
        """
        if _on_postgres():
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
            select(EventRow.seq, EventRow.id, EventRow.document)
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

    def missing(self, show: str, device: str, most: int) -> list[int]:
        """Return numbers of a phone that never came although later ones did, lowest first.

        Those that the phone itself withdrew are not waited for.
        """
        count, last = db.session.execute(_COUNTED, {"show": show, "device": device}).one()
        if count == (last or 0):
            return []
        of_phone = (EventRow.show_id == show, EventRow.device == device)
        there = set(db.session.scalars(select(EventRow.n).where(*of_phone)))
        withdrawn = select(EventRow.document).where(*of_phone, EventRow.kind == "withdrawn")
        for document in db.session.scalars(withdrawn):
            there.update(json.loads(document)["body"]["numbers"])
        return [n for n in range(1, last) if n not in there][:most]

    def last_seen(self) -> dict[str, str]:
        """Return of each case the newest fact that says where it was."""
        newest = (
            select(EventRow.code, func.max(EventRow.received_at).label("at"))
            .where(EventRow.code.is_not(None), EventRow.kind.in_(SEEN_KINDS))
            .group_by(EventRow.code)
            .subquery()
        )
        asked = (
            select(EventRow.code, EventRow.document)
            .join(
                newest,
                (newest.c.code == EventRow.code) & (newest.c.at == EventRow.received_at),
            )
            .where(EventRow.kind.in_(SEEN_KINDS))
            .order_by(EventRow.seq)
        )
        return {code: document for code, document in db.session.execute(asked) if code}

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
