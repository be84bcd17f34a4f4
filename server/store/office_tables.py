"""Tables of the office alone: versions of its documents, who has one open, small settings."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from sqlalchemy import JSON, BigInteger, ForeignKey, String
from sqlalchemy.orm import Mapped, mapped_column

from server.store.db import Base, db

if TYPE_CHECKING:
    Model = Base
else:
    Model = db.Model


class VersionRow(Model):
    """One version of a document of the office as it was kept; never changed."""

    __tablename__ = "version"
    kind: Mapped[str] = mapped_column(String(10), primary_key=True)
    id: Mapped[str] = mapped_column(String(60), primary_key=True)
    number: Mapped[int] = mapped_column(primary_key=True)
    at: Mapped[int] = mapped_column(BigInteger)
    by: Mapped[str] = mapped_column(String(60))
    document: Mapped[dict[str, Any]] = mapped_column(JSON)


class PresenceRow(Model):
    """Who has a document open, as last heard."""

    __tablename__ = "presence"
    kind: Mapped[str] = mapped_column(String(10), primary_key=True)
    id: Mapped[str] = mapped_column(String(60), primary_key=True)
    session_id: Mapped[str] = mapped_column(
        ForeignKey("session.id", ondelete="CASCADE"), primary_key=True
    )
    name: Mapped[str] = mapped_column(String(60))
    at: Mapped[int] = mapped_column(BigInteger)


class OfficeSettingRow(Model):
    """A small setting of the office or of its server: any JSON under a name."""

    __tablename__ = "office_setting"
    name: Mapped[str] = mapped_column(String(40), primary_key=True)
    value: Mapped[Any] = mapped_column(JSON)


class ApiTokenRow(Model):
    """A token of another program; `scope` says what it may do, `show_id` a calendar's one show."""

    __tablename__ = "api_token"
    id: Mapped[str] = mapped_column(String(32), primary_key=True)
    digest: Mapped[str] = mapped_column(String(64), unique=True)
    name: Mapped[str] = mapped_column(String(60))
    scope: Mapped[str] = mapped_column(String(10))
    show_id: Mapped[str | None] = mapped_column(ForeignKey("show.id", ondelete="CASCADE"))
    made_by: Mapped[str] = mapped_column(String(60))
    created_at: Mapped[int] = mapped_column(BigInteger)
    ends_at: Mapped[int] = mapped_column(BigInteger)
    used_at: Mapped[int | None] = mapped_column(BigInteger)
