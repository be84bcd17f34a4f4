"""The server's own secret: made once, kept in the database and its backups."""

from __future__ import annotations

import secrets

from sqlalchemy import String, select
from sqlalchemy.dialects import postgresql, sqlite
from sqlalchemy.orm import Mapped, mapped_column

from server.store.append_events import on_postgres
from server.store.db import db, writing
from server.store.tables import Model


class ServerSecretRow(Model):
    """One row: 256 bits in hexadecimal digits."""

    __tablename__ = "server_secret"
    id: Mapped[int] = mapped_column(primary_key=True)
    value: Mapped[str] = mapped_column(String(64))


def server_secret() -> bytes:
    """Return the secret; of two processes that make it at once, one's counts."""
    asked = select(ServerSecretRow.value).where(ServerSecretRow.id == 1)
    found = db.session.scalar(asked)
    if found is None:
        made = (postgresql if on_postgres() else sqlite).insert(ServerSecretRow)
        fresh = {"id": 1, "value": secrets.token_hex(32)}
        with writing():
            db.session.execute(made.values(fresh).on_conflict_do_nothing())
        found = db.session.scalar(asked)
    assert found is not None, "it was just made"
    return bytes.fromhex(found)
