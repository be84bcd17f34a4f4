"""Tables worked out from others and kept as facts come in, so that nobody searches years."""

from __future__ import annotations

from sqlalchemy import JSON, ForeignKey, String
from sqlalchemy.orm import Mapped, mapped_column

from server.store.tables import Big, Document, Model


class SightingRow(Model):
    """The newest fact on where a case was, of any show; kept as facts come in."""

    __tablename__ = "sighting"
    code: Mapped[str] = mapped_column(String(60), primary_key=True)
    show_id: Mapped[str] = mapped_column(ForeignKey("show.id", ondelete="CASCADE"))
    seq: Mapped[int] = mapped_column(Big)
    at: Mapped[int] = mapped_column(Big)


class NightRow(Model):
    """What one night adds up to, folded from its first `cursor` facts on revision `issued`."""

    __tablename__ = "night"
    show_id: Mapped[str] = mapped_column(
        ForeignKey("show.id", ondelete="CASCADE"), primary_key=True
    )
    cursor: Mapped[int] = mapped_column(Big)
    issued: Mapped[int]
    document: Mapped[Document] = mapped_column(JSON)
