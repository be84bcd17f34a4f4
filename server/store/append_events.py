"""Stores batches of facts: numbered, each once, no id and no running number under two facts.

Beside the facts themselves it keeps where each case was last seen and how much of each phone is
stored, so that no request has to search years of nights for either.
"""

from __future__ import annotations

import json
from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, Final, cast

from sqlalchemy import BindParameter, Table, bindparam, func, insert, or_, select, update
from sqlalchemy.dialects import postgresql, sqlite

from server.core.night.record_chain import canonical
from server.service.records import Appended, NewEvent, StoredEvent
from server.store.db import db
from server.store.projections import SightingRow
from server.store.tables import DeviceRow, EventRow, ShowRow

CHANNEL: Final = "rowcall"
SEEN_KINDS: Final = ("on", "off", "seen")

# What every batch of every phone asks is built once.
_SHOW: Final = cast("Table", ShowRow.__table__)
_EVENT: Final = cast("Table", EventRow.__table__)
_DEVICE: Final = cast("Table", DeviceRow.__table__)
_SIGHTING: Final = cast("Table", SightingRow.__table__)
_ASKED: Final[BindParameter[str]] = bindparam("show")
_LIKE_THESE: Final = (
    _EVENT.c.show_id == _ASKED,
    or_(
        _EVENT.c.id.in_(bindparam("ids", expanding=True)),
        _EVENT.c.device.in_(bindparam("devices", expanding=True))
        & _EVENT.c.n.in_(bindparam("numbers", expanding=True)),
    ),
)
# Numbers for all facts of a batch, and how many of them are there already, as a rule none. What
# another process stores meanwhile is not seen here, but the ids' own index refuses it.
_ALLOT: Final = (
    update(_SHOW)
    .where(_SHOW.c.id == _ASKED)
    .values(cursor=_SHOW.c.cursor + bindparam("count"))
    .returning(_SHOW.c.cursor, select(func.count()).where(*_LIKE_THESE).scalar_subquery())
)
# PostgreSQL tells every process at the commit; a notice is only a hint to read on.
_ALLOT_AND_NOTIFY: Final = _ALLOT.returning(func.pg_notify(CHANNEL, _SHOW.c.id))
_PUT_BACK: Final = update(_SHOW).where(_SHOW.c.id == _ASKED).values(cursor=bindparam("cursor"))
_STORE: Final = insert(_EVENT)
_THERE: Final = select(_EVENT.c.id, _EVENT.c.device, _EVENT.c.n, _EVENT.c.document).where(
    *_LIKE_THESE
)
_COUNT: Final = (
    update(_DEVICE)
    .where(_DEVICE.c.show_id == _ASKED, _DEVICE.c.id == bindparam("phone"))
    .values(facts=_DEVICE.c.facts + bindparam("more"), bytes=_DEVICE.c.bytes + bindparam("size"))
)


@dataclass(frozen=True, slots=True)
class Batch:
    """Facts that came in one request; `carrier` is the phone that brought them."""

    events: Sequence[NewEvent]
    now: int
    carrier: str


def on_postgres() -> bool:
    """Return whether the database is PostgreSQL."""
    return db.engine.dialect.name == "postgresql"


@dataclass(slots=True)
class _Known:
    """Facts that are there: the document of each id, the id of each number of a phone."""

    documents: dict[str, str] = field(default_factory=dict)
    numbers: dict[tuple[str, int], str] = field(default_factory=dict)

    def add(self, event_id: str, device: str, n: int, document: str) -> None:
        self.documents[event_id] = document
        self.numbers.setdefault((device, n), event_id)


def store(show: str, batches: Sequence[Batch]) -> list[Appended]:
    """Store batches of one show inside a write transaction; see `EventLog.append`."""
    events = [event for batch in batches for event in batch.events]
    likes = {
        "ids": [event.id for event in events],
        "devices": list({event.device for event in events}),
        "numbers": [event.n for event in events],
    }
    allot = _ALLOT_AND_NOTIFY if on_postgres() else _ALLOT
    found = db.session.execute(allot, {"show": show, "count": len(events), **likes}).one_or_none()
    if found is None:
        raise KeyError(show)
    cursor, there = found[0], _Known()
    if found[1]:
        for row in db.session.execute(_THERE, {"show": show, **likes}):
            there.add(*row)
    rows: list[dict[str, Any]] = []
    kept: list[tuple[list[StoredEvent], set[int], set[int]]] = []
    before = cursor - len(events)
    for batch in batches:
        stored, ids_taken, numbers_taken = [], set[int](), set[int]()
        for place, event in enumerate(batch.events):
            if event.id in there.documents:
                if not same_fact(there.documents[event.id], event.document):
                    ids_taken.add(place)
            elif (event.device, event.n) in there.numbers:
                numbers_taken.add(place)
            else:
                there.add(event.id, event.device, event.n, event.document)
                rows.append(_row(show, before + len(rows) + 1, event, batch))
                at = rows[-1]["received_at"]
                stored.append(StoredEvent(rows[-1]["seq"], event.id, event.document, at))
        kept.append((stored, ids_taken, numbers_taken))
    if len(rows) < len(events):  # numbers of facts that are not stored are used again
        cursor = before + len(rows)
        db.session.execute(_PUT_BACK, {"show": show, "cursor": cursor})
    if rows:
        db.session.execute(_STORE, rows)
        _keep_count(show, rows)
        _keep_sightings(rows)
    return [
        Appended(tuple(stored), cursor, frozenset(ids), frozenset(numbers))
        for stored, ids, numbers in kept
    ]


def same_fact(one: str, other: str) -> bool:
    """Return whether two documents are one fact; a signature may be there or not."""
    if one == other:
        return True
    return _content(json.loads(one)) == _content(json.loads(other))


def _content(document: Mapping[str, Any]) -> str:
    return canonical({key: value for key, value in document.items() if key != "sig"})


def _row(show: str, seq: int, event: NewEvent, batch: Batch) -> dict[str, Any]:
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
        "received_at": batch.now if event.received_at is None else event.received_at,
        "carrier": batch.carrier,
    }


def _keep_count(show: str, rows: Sequence[Mapping[str, Any]]) -> None:
    counts: dict[str, list[int]] = defaultdict(lambda: [0, 0])
    for row in rows:
        counts[row["device"]][0] += 1
        counts[row["device"]][1] += len(row["document"])
    for device, (more, size) in sorted(counts.items()):
        db.session.execute(_COUNT, {"show": show, "phone": device, "more": more, "size": size})


def _keep_sightings(rows: Sequence[Mapping[str, Any]]) -> None:
    """Keep the newest fact on each case; in the order of codes, so that no two writers cross."""
    latest: dict[str, dict[str, Any]] = {}
    for row in rows:
        if row["code"] is not None and row["kind"] in SEEN_KINDS:
            values = {key: row[key] for key in ("code", "show_id", "seq")}
            latest[row["code"]] = values | {"at": row["received_at"]}
    if not latest:
        return
    made = (postgresql if on_postgres() else sqlite).insert(_SIGHTING)
    columns = ("show_id", "seq", "at")
    upsert = made.on_conflict_do_update(
        index_elements=["code"],
        set_={name: made.excluded[name] for name in columns},
        where=made.excluded.at >= _SIGHTING.c.at,
    )
    db.session.execute(upsert, [latest[code] for code in sorted(latest)])
