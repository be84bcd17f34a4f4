"""Versions of what the office keeps: every change adds one, none is ever edited.

A document that was kept before there were versions, or that nobody has changed since, has none
here: it is at version 1, and its first change stores what it was as well.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from typing import Any, Final

from sqlalchemy import delete, func, select, text

from server.service.document_records import (
    DocumentKind,
    Expected,
    ShowDocument,
    Stamp,
    Version,
)
from server.service.records import FleetCase, FleetVehicle, ShopSettings
from server.service.troubles import Stale
from server.store import documents
from server.store.db import db, writing
from server.store.office_tables import PresenceRow, VersionRow

KEPT: Final = 100  # versions of one document; a show of 300 cases takes some 30 kB each
FIRST: Final = 1
MANY: Final = 500
# One lock for each kind: office writes are rare, and a file changes thousands of cases at once.
LOCKS: Final[dict[DocumentKind, int]] = {"shop": 1, "case": 2, "vehicle": 3, "show": 4}
TYPES: Final[dict[str, type[Any]]] = {
    "shop": ShopSettings,
    "case": FleetCase,
    "vehicle": FleetVehicle,
    "show": ShowDocument,
}
OURS: Final = 7_701  # of advisory locks, the class that is ours


def lock(kind: DocumentKind) -> None:
    """Keep other writers of this kind out until the transaction ends; forget what was read before.

    Called first in a write transaction: what is read after it is what will be replaced.
    """
    connection = db.session.connection()
    if connection.dialect.name == "postgresql":
        asked = text("SELECT pg_advisory_xact_lock(:ours, :kind)")
        db.session.execute(asked, {"ours": OURS, "kind": LOCKS[kind]})
    else:
        raw: Any = connection.connection.driver_connection
        if not raw.in_transaction:
            connection.exec_driver_sql("BEGIN IMMEDIATE")
    db.session.expire_all()


def keep(
    kind: DocumentKind,
    changed: Mapping[str, tuple[dict[str, Any] | None, dict[str, Any]]],
    stamp: tuple[int, str],
    expect: Expected = None,
) -> None:
    """Store the next version of each document, by id: what it was (None: it is new) and is now.

    `stamp`: when and by whom. `expect`: the version that is replaced, of each by its id where there
    are several; Stale where one is another. What did not change gets no version.
    """
    last = numbers(kind, changed)
    at, by = stamp
    for one, (before, after) in changed.items():
        number = last.get(one, 0 if before is None else FIRST)
        wanted = expect.get(one, 0) if isinstance(expect, Mapping) else expect
        if wanted is not None and number != wanted:
            raise Stale(f"Expected version {wanted}, got {number}.")
        if before == after or (before is None and len(changed) > MANY):
            continue  # version 1 of a case of a large file is stored with its first change
        if one not in last and before is not None:
            db.session.add(
                VersionRow(kind=kind, id=one, number=number, at=0, by="", document=before)
            )
        db.session.add(
            VersionRow(kind=kind, id=one, number=number + 1, at=at, by=by, document=after)
        )
        if number >= KEPT:
            mine = (VersionRow.kind == kind) & (VersionRow.id == one)
            db.session.execute(
                delete(VersionRow).where(mine, VersionRow.number <= number + 1 - KEPT)
            )


def end(
    kind: DocumentKind,
    documents_: Mapping[str, dict[str, Any]],
    stamp: Stamp,
    expect: int | None = None,
) -> None:
    """Store the last version of documents that are deleted: what they were, when and by whom.

    A document that is made anew under the same id goes on from there: no number is given twice.
    """
    last = numbers(kind, documents_)
    for one, document in documents_.items():
        number = last.get(one, FIRST)
        if expect is not None and number != expect:
            raise Stale(f"Expected version {expect}, got {number}.")
        both = {"at": stamp.at, "by": stamp.by, "document": document}
        db.session.add(VersionRow(kind=kind, id=one, number=number + 1, **both))


def numbers(kind: DocumentKind, ids: Collection[str]) -> dict[str, int]:
    """Return the version of each document that has any."""
    asked = select(VersionRow.id, func.max(VersionRow.number)).where(VersionRow.kind == kind)
    if len(ids) < 100:  # more: the whole kind is read, no statement has so many places
        asked = asked.where(VersionRow.id.in_(ids))
    return {row[0]: row[1] for row in db.session.execute(asked.group_by(VersionRow.id))}


def number(kind: DocumentKind, one: str) -> int:
    """Return the version of a document that is there."""
    return numbers(kind, [one]).get(one, FIRST)


class Versions:
    """What documents were, and who has one open."""

    def number(self, kind: DocumentKind, one: str) -> int:
        """Return the version that is there; what was read before it is read again."""
        db.session.expire_all()
        return number(kind, one)

    def numbers(self, kind: DocumentKind) -> dict[str, int]:
        """Return the version of every document of a kind that was changed since it was made.

        What was read before it is read again.
        """
        db.session.expire_all()
        asked = select(VersionRow.id, func.max(VersionRow.number)).where(VersionRow.kind == kind)
        return {row[0]: row[1] for row in db.session.execute(asked.group_by(VersionRow.id))}

    def get(self, kind: DocumentKind, one: str, version: int) -> Version | None:
        row = db.session.get(VersionRow, (kind, one, version))
        return None if row is None else _version(row)

    def since(self, kind: DocumentKind, one: str, version: int) -> list[Version]:
        """Return every version from this one on, the oldest first."""
        asked = select(VersionRow).where(
            VersionRow.kind == kind, VersionRow.id == one, VersionRow.number >= version
        )
        return [_version(row) for row in db.session.scalars(asked.order_by(VersionRow.number))]

    def here(self, kind: DocumentKind, one: str, session: str, stamp: Stamp) -> None:
        """Note that a session has a document open."""
        with writing():
            db.session.merge(
                PresenceRow(kind=kind, id=one, session_id=session, name=stamp.by, at=stamp.at)
            )

    def gone(self, session: str, kind: DocumentKind, one: str) -> None:
        """Note that a session has closed a document."""
        with writing():
            db.session.execute(
                delete(PresenceRow).where(
                    PresenceRow.session_id == session,
                    PresenceRow.kind == kind,
                    PresenceRow.id == one,
                )
            )

    def others(self, kind: DocumentKind, one: str, session: str, since: int) -> list[Stamp]:
        """Return who else has had it open since, the latest first."""
        asked = select(PresenceRow).where(
            PresenceRow.kind == kind,
            PresenceRow.id == one,
            PresenceRow.session_id != session,
            PresenceRow.at >= since,
        )
        rows = db.session.scalars(asked.order_by(PresenceRow.at.desc()))
        return [Stamp(row.at, row.name) for row in rows]


def _version(row: VersionRow) -> Version:
    document = documents.read(TYPES[row.kind], row.document)
    return Version(row.number, Stamp(row.at, row.by), document)
