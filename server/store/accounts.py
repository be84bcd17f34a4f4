"""What owners have: password, sessions, passkeys, and challenges that are answered once."""

from __future__ import annotations

from typing import Final

from sqlalchemy import delete, func, select, update
from sqlalchemy.exc import IntegrityError

from server.service.records import Owner, Passkey, Session
from server.store.db import db, writing
from server.store.people import session_of
from server.store.server_secret import server_secret
from server.store.tables import ChallengeRow, InvitationRow, OwnerRow, PasskeyRow, SessionRow

MOST_ASKED: Final = 5_000  # challenges that wait at the same time; each lives minutes


def _owner(row: OwnerRow) -> Owner:
    return Owner(row.id, row.name, row.password)


def _passkey(row: PasskeyRow) -> Passkey:
    return Passkey(
        id=row.id,
        owner=row.owner_id,
        name=row.name,
        public_key=row.public_key,
        uses=row.uses,
        created_at=row.created_at,
        used_at=row.used_at,
    )


class Accounts:
    """The accounts of owners."""

    def server_secret(self) -> bytes:
        """Return the server's own secret."""
        return server_secret()

    def owners(self) -> list[Owner]:
        asked = select(OwnerRow).order_by(OwnerRow.created_at, OwnerRow.id)
        return [_owner(row) for row in db.session.scalars(asked)]

    def owner(self, owner: str) -> Owner | None:
        row = db.session.get(OwnerRow, owner)
        return None if row is None else _owner(row)

    def set_password(self, owner: str, password: str) -> None:
        with writing():
            db.session.execute(
                update(OwnerRow).where(OwnerRow.id == owner).values(password=password)
            )

    def demand_passkeys(self, *, demand: bool) -> None:
        """Let passkeys alone open the office, for every owner, or the password too."""
        with writing():
            db.session.execute(update(OwnerRow).values(passkey_only=demand))

    def passkeys_demanded(self) -> bool:
        demanding = select(OwnerRow.id).where(OwnerRow.passkey_only).limit(1)
        return db.session.scalar(demanding) is not None

    def remove_owner(self, owner: str) -> None:
        """Remove the account with all that opens it; what it did stays in the audit."""
        with writing():
            db.session.execute(delete(SessionRow).where(SessionRow.owner_id == owner))
            db.session.execute(delete(PasskeyRow).where(PasskeyRow.owner_id == owner))
            db.session.execute(delete(OwnerRow).where(OwnerRow.id == owner))

    def invited(self, digest: str, now: int) -> bool:
        """Return whether a set-up link is good, without using it."""
        row = db.session.get(InvitationRow, digest)
        return row is not None and row.ends_at > now

    def sessions(self, owner: str, now: int) -> list[Session]:
        """Return the living sessions of an owner, the one used last first."""
        asked = (
            select(SessionRow)
            .where(
                SessionRow.owner_id == owner,
                SessionRow.ended_at.is_(None),
                SessionRow.ends_at > now,
            )
            .order_by(SessionRow.used_at.desc(), SessionRow.id)
        )
        return [session_of(row) for row in db.session.scalars(asked)]

    def renew_session(self, session: str, digest: str) -> None:
        """Give a session a new cookie; the one before opens nothing any more."""
        with writing():
            db.session.execute(
                update(SessionRow).where(SessionRow.id == session).values(digest=digest)
            )

    def end_sessions(self, owner: str, now: int, *, only: str | None = None, keep: str = "") -> int:
        """End an owner's sessions, all but the one to keep, or only one; return how many."""
        wanted = [
            SessionRow.owner_id == owner,
            SessionRow.ended_at.is_(None),
            SessionRow.id != keep,
        ]
        if only is not None:
            wanted.append(SessionRow.id == only)
        with writing():
            ended = db.session.execute(
                update(SessionRow).where(*wanted).values(ended_at=now).returning(SessionRow.id)
            ).all()
        return len(ended)

    def passkeys(self, owner: str) -> list[Passkey]:
        asked = (
            select(PasskeyRow)
            .where(PasskeyRow.owner_id == owner)
            .order_by(PasskeyRow.created_at, PasskeyRow.id)
        )
        return [_passkey(row) for row in db.session.scalars(asked)]

    def passkey(self, passkey: str) -> Passkey | None:
        row = db.session.get(PasskeyRow, passkey)
        return None if row is None else _passkey(row)

    def add_passkey(self, passkey: Passkey) -> bool:
        """Add a passkey; False when some account has it already."""
        try:
            with writing():
                db.session.add(
                    PasskeyRow(
                        id=passkey.id,
                        owner_id=passkey.owner,
                        name=passkey.name,
                        public_key=passkey.public_key,
                        uses=passkey.uses,
                        created_at=passkey.created_at,
                    )
                )
        except IntegrityError:
            return False
        return True

    def use_passkey(self, passkey: str, uses: int, now: int) -> bool:
        """Count a use; False when another request counted as far: one of the two is a copy."""
        with writing():
            used = db.session.execute(
                update(PasskeyRow)
                .where(
                    PasskeyRow.id == passkey,
                    (PasskeyRow.uses < uses) | ((PasskeyRow.uses == 0) & (uses == 0)),
                )
                .values(uses=uses, used_at=now)
                .returning(PasskeyRow.id)
            ).scalar_one_or_none()
        return used is not None

    def remove_passkey(self, owner: str, passkey: str) -> bool:
        with writing():
            gone = db.session.execute(
                delete(PasskeyRow)
                .where(PasskeyRow.id == passkey, PasskeyRow.owner_id == owner)
                .returning(PasskeyRow.id)
            ).scalar_one_or_none()
        return gone is not None

    def ask(self, value: str, owner: str | None, ends_at: int, now: int) -> bool:
        """Keep a challenge; False when too many wait already. Those too old are dropped."""
        with writing():
            db.session.execute(delete(ChallengeRow).where(ChallengeRow.ends_at <= now))
            waiting = db.session.scalar(select(func.count()).select_from(ChallengeRow)) or 0
            if waiting >= MOST_ASKED:
                return False
            db.session.add(ChallengeRow(value=value, owner_id=owner, ends_at=ends_at))
        return True

    def answered(self, value: str, owner: str | None, now: int) -> bool:
        """Use a challenge up; False when it was used, is too old, or was another's."""
        with writing():
            used = db.session.execute(
                delete(ChallengeRow)
                .where(ChallengeRow.value == value, ChallengeRow.ends_at > now)
                .returning(ChallengeRow.owner_id, ChallengeRow.value)
            ).one_or_none()
        return used is not None and used.owner_id == owner
