"""Who is in: owners, sessions, phones, and how often someone guessed wrong."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any, Final, cast

from sqlalchemy import Table, bindparam, delete, func, select, update
from sqlalchemy.dialects import postgresql, sqlite

from server.service.records import Device, Owner, Session
from server.store.append_events import on_postgres
from server.store.db import db, writing
from server.store.tables import (
    AuditRow,
    DeviceRow,
    GuessRow,
    InvitationRow,
    OwnerRow,
    SessionRow,
    ShowRow,
)

GUESS_KEPT_MS: Final = 24 * 3_600_000
GUESSES_AT_ONCE: Final = 200
# The columns of a phone in the order of the fields of its type.
PHONE: Final = (
    "show_id", "id", "name", "role", "key", "joined_at", "unsent", "last_n", "heard_at", "out_at",
    "facts", "bytes",
)  # fmt: skip


def session_of(row: SessionRow) -> Session:
    """Return a session as the services know it."""
    return Session(
        id=row.id,
        role=row.role,  # type: ignore[arg-type]
        name=row.name,
        show=row.show_id,
        device=row.device,
        created_at=row.created_at,
        used_at=row.used_at,
        ends_at=row.ends_at,
        owner=row.owner_id or "",
    )


def _device(row: Any, prefix: str = "") -> Device:
    return Device(*(getattr(row, prefix + name) for name in PHONE))


# Asked by every request: built once. The phone comes with its session; most requests need both.
_PHONE: Final = cast("Table", DeviceRow.__table__)
_OPENED: Final = cast("Table", SessionRow.__table__)
_OF_PHONE: Final = "phone_"
_ALIVE: Final = (
    select(
        *_OPENED.c,
        ShowRow.closed_at,
        *(column.label(_OF_PHONE + column.name) for column in _PHONE.c),
    )
    .outerjoin(ShowRow, ShowRow.id == _OPENED.c.show_id)
    .outerjoin(_PHONE, (_PHONE.c.show_id == _OPENED.c.show_id) & (_PHONE.c.id == _OPENED.c.device))
    .where(
        _OPENED.c.digest == bindparam("digest"),
        _OPENED.c.ended_at.is_(None),
        _OPENED.c.ends_at > bindparam("now"),
    )
)


class People:
    """Accounts, sessions and phones."""

    def owner(self, name: str) -> Owner | None:
        row = db.session.scalar(select(OwnerRow).where(func.lower(OwnerRow.name) == name.lower()))
        return None if row is None else Owner(row.id, row.name, row.password)

    def has_owner(self) -> bool:
        return bool(db.session.scalar(select(func.count()).select_from(OwnerRow)))

    def invite(self, digest: str, ends_at: int) -> None:
        """Keep a set-up link; the links before it die."""
        with writing():
            db.session.execute(delete(InvitationRow))
            db.session.add(InvitationRow(digest=digest, ends_at=ends_at))

    def take_invitation(self, digest: str, owner: Owner, now: int) -> bool:
        """Use a set-up link once, making the account in the same transaction."""
        with writing():
            used = db.session.execute(
                delete(InvitationRow)
                .where(InvitationRow.digest == digest, InvitationRow.ends_at > now)
                .returning(InvitationRow.digest)
            ).scalar_one_or_none()
            if used is None:
                return False
            there = db.session.scalar(
                select(OwnerRow).where(func.lower(OwnerRow.name) == owner.name.lower())
            )
            if there is None:
                demanded = select(OwnerRow.id).where(OwnerRow.passkey_only).limit(1)
                db.session.add(
                    OwnerRow(
                        id=owner.id,
                        name=owner.name,
                        password=owner.password,
                        created_at=now,
                        passkey_only=db.session.scalar(demanded) is not None,
                    )
                )
            else:
                there.password = owner.password
        return True

    def open_session(self, session: Session, digest: str) -> None:
        with writing():
            db.session.add(
                SessionRow(
                    id=session.id,
                    digest=digest,
                    role=session.role,
                    name=session.name,
                    show_id=session.show,
                    device=session.device,
                    created_at=session.created_at,
                    used_at=session.used_at,
                    ends_at=session.ends_at,
                    owner_id=session.owner or None,
                )
            )

    def session(self, digest: str, now: int) -> Session | None:
        """Return the living session of a cookie's digest."""
        row: Any = db.session.execute(_ALIVE, {"digest": digest, "now": now}).one_or_none()
        if row is None:
            return None
        if row.phone_id is not None:
            db.session.info[row.phone_show_id, row.phone_id] = _device(row, _OF_PHONE)
        return replace(session_of(row), closed_at=row.closed_at)

    def touch_session(self, session_id: str, now: int) -> None:
        with writing():
            db.session.execute(
                update(SessionRow).where(SessionRow.id == session_id).values(used_at=now)
            )

    def end_session(self, session_id: str, now: int) -> None:
        with writing():
            db.session.execute(
                update(SessionRow).where(SessionRow.id == session_id).values(ended_at=now)
            )

    def end_sessions(self, show: str, now: int, device: str | None = None) -> int:
        """End every session of a show, or of one phone of it; return how many were open."""
        wanted = [SessionRow.show_id == show, SessionRow.ended_at.is_(None)]
        if device is not None:
            wanted.append(SessionRow.device == device)
        with writing():
            ended = db.session.execute(
                update(SessionRow).where(*wanted).values(ended_at=now).returning(SessionRow.id)
            ).all()
            if device is not None:
                db.session.execute(
                    update(DeviceRow)
                    .where(DeviceRow.show_id == show, DeviceRow.id == device)
                    .values(out_at=now)
                )
        return len(ended)

    def speakers(self, show: str, device: str) -> set[tuple[str, str]]:
        """Return id and name of everyone who joined a show on this phone."""
        asked = select(SessionRow.id, SessionRow.name).where(
            SessionRow.show_id == show, SessionRow.device == device
        )
        return {(one, name) for one, name in db.session.execute(asked)}

    def is_speaker(self, session_id: str) -> bool:
        """Return whether this is the id of anyone's session."""
        return db.session.get(SessionRow, session_id) is not None

    def device(self, show: str, device: str) -> Device | None:
        # What came with the session is good once: whoever asks again asks after a change.
        found: Device | None = db.session.info.pop((show, device), None)
        if found is not None:
            return found
        row = db.session.get(DeviceRow, (show, device))
        return None if row is None else _device(row)

    def put_device(self, device: Device) -> None:
        """Add a phone to a show, or take it in again under the name and role it now has."""
        with writing():
            row = db.session.get(DeviceRow, (device.show, device.id))
            if row is None:
                row = DeviceRow(show_id=device.show, id=device.id, joined_at=device.joined_at)
                row.unsent, row.last_n = device.unsent, device.last_n
                db.session.add(row)
            row.name, row.role, row.key = device.name, device.role, device.key
            row.heard_at, row.out_at = device.heard_at, device.out_at

    def heard(self, show: str, device: str, *, unsent: int, last_n: int, now: int) -> None:
        """Keep what a phone last said of itself."""
        with writing():
            db.session.execute(
                update(DeviceRow)
                .where(DeviceRow.show_id == show, DeviceRow.id == device)
                .values(unsent=unsent, last_n=last_n, heard_at=now)
            )

    def devices(self, show: str) -> list[Device]:
        asked = select(DeviceRow).where(DeviceRow.show_id == show).order_by(DeviceRow.joined_at)
        return [_device(row) for row in db.session.scalars(asked)]


def _drop_old_guesses(now: int) -> None:
    """Delete some keys that nobody used for a day: guesses from many addresses leave many."""
    old = (
        select(GuessRow.key)
        .where(GuessRow.last_at < now - GUESS_KEPT_MS, GuessRow.free_at < now)
        .limit(GUESSES_AT_ONCE)
        .with_for_update(skip_locked=True)
    )
    keys = db.session.scalars(old).all()
    if keys:
        db.session.execute(delete(GuessRow).where(GuessRow.key.in_(keys)))


class Guesses:
    """Guesses by key; a key is an address, a show, an account or a known device."""

    def begin(self, key: str, now: int, forget_ms: int, pause: Callable[[int], int]) -> int:
        """Count one more guess, or return the time (ms) until which its key is held.

        One statement decides under the row's lock, so that guesses made at once follow each other.
        """
        with writing():
            row = db.session.get(GuessRow, key, with_for_update=True, populate_existing=True)
            if row is None:
                row = self._made(key, now)
            if row.free_at > now:
                return row.free_at
            row.wrong = 1 if now - row.last_at > forget_ms else row.wrong + 1
            row.last_at = now
            held = pause(row.wrong)
            row.free_at = now + held if held else 0
            return 0

    def _made(self, key: str, now: int) -> GuessRow:
        _drop_old_guesses(now)
        made = (postgresql if on_postgres() else sqlite).insert(GuessRow)
        values = {"key": key, "wrong": 0, "last_at": now, "free_at": 0}
        db.session.execute(made.values(values).on_conflict_do_nothing())
        row = db.session.get(GuessRow, key, with_for_update=True, populate_existing=True)
        assert row is not None, "it was just made"
        return row

    def free_at(self, key: str) -> int:
        """Return the time (ms) from which a key may guess again."""
        return db.session.scalar(select(GuessRow.free_at).where(GuessRow.key == key)) or 0

    def right(self, key: str) -> None:
        """Take back the count of a guess that was right or never looked at."""
        with writing():
            db.session.execute(
                update(GuessRow)
                .where(GuessRow.key == key, GuessRow.wrong > 0)
                .values(wrong=GuessRow.wrong - 1, free_at=0)
            )

    def forget(self, key: str) -> None:
        """Let a key guess anew, as when its secret was changed."""
        with writing():
            db.session.execute(delete(GuessRow).where(GuessRow.key == key))


class Audit:
    """Who did what, from where."""

    def add(self, *, at: int, who: Session | None, address: str, action: str,
            show: str | None = None, detail: str = "") -> None:  # fmt: skip
        with writing():
            db.session.add(
                AuditRow(
                    at=at,
                    role="" if who is None else who.role,
                    name="" if who is None else who.name,
                    address=address[:64],
                    action=action[:40],
                    show_id=show,
                    detail=detail[:200],
                )
            )

    def latest(self, limit: int = 200) -> list[dict[str, object]]:
        asked = select(AuditRow).order_by(AuditRow.id.desc()).limit(limit)
        keys = ("at", "role", "name", "address", "action", "show_id", "detail")
        return [{key: getattr(row, key) for key in keys} for row in db.session.scalars(asked)]
