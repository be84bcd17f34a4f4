"""Every table; no rule lives here. Lengths in micrometres, masses in grams, times in ms.

All that belongs to one night hangs on its show (`show_id` leads every key), so shows never meet in
one row: the tables could be divided by show between databases.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from sqlalchemy import JSON, BigInteger, ForeignKey, Index, Integer, LargeBinary, String, Text
from sqlalchemy.orm import Mapped, mapped_column

from server.store.db import Base, db

if TYPE_CHECKING:
    Model = Base
else:
    Model = db.Model

Big = BigInteger
Document = dict[str, Any]


class ShopRow(Model):
    """The one shop of this database: how it counts, numbers and checks."""

    __tablename__ = "shop"
    id: Mapped[int] = mapped_column(primary_key=True)
    document: Mapped[Document] = mapped_column(JSON)


class OwnerRow(Model):
    """A person with the owner's account."""

    __tablename__ = "owner"
    id: Mapped[str] = mapped_column(String(32), primary_key=True)
    name: Mapped[str] = mapped_column(String(60), unique=True)
    password: Mapped[str] = mapped_column(String(200))
    created_at: Mapped[int] = mapped_column(Big)
    # Set for all owners of a shop or for none, whoever comes later included.
    passkey_only: Mapped[bool] = mapped_column(default=False)


class InvitationRow(Model):
    """A one-time link by which an owner sets a password; only its digest is kept."""

    __tablename__ = "invitation"
    digest: Mapped[str] = mapped_column(String(64), primary_key=True)
    ends_at: Mapped[int] = mapped_column(Big)


class SessionRow(Model):
    """Who is in: a browser with a cookie whose digest stands here."""

    __tablename__ = "session"
    id: Mapped[str] = mapped_column(String(32), primary_key=True)
    digest: Mapped[str] = mapped_column(String(64), unique=True)
    role: Mapped[str] = mapped_column(String(10))
    name: Mapped[str] = mapped_column(String(60))
    show_id: Mapped[str | None] = mapped_column(ForeignKey("show.id", ondelete="CASCADE"))
    device: Mapped[str] = mapped_column(String(64))
    created_at: Mapped[int] = mapped_column(Big)
    used_at: Mapped[int] = mapped_column(Big)
    ends_at: Mapped[int] = mapped_column(Big)
    ended_at: Mapped[int | None] = mapped_column(Big)
    owner_id: Mapped[str | None] = mapped_column(String(32))


class PasskeyRow(Model):
    """A public key that an owner's device or key ring answers for; `uses` as it counts itself."""

    __tablename__ = "passkey"
    id: Mapped[str] = mapped_column(String(1400), primary_key=True)
    owner_id: Mapped[str] = mapped_column(ForeignKey("owner.id", ondelete="CASCADE"))
    name: Mapped[str] = mapped_column(String(60))
    public_key: Mapped[bytes] = mapped_column(LargeBinary)
    uses: Mapped[int] = mapped_column(Big)
    created_at: Mapped[int] = mapped_column(Big)
    used_at: Mapped[int | None] = mapped_column(Big)


class ChallengeRow(Model):
    """What a passkey is to sign, once and soon; with an owner: to add a passkey to the account."""

    __tablename__ = "challenge"
    value: Mapped[str] = mapped_column(String(100), primary_key=True)
    owner_id: Mapped[str | None] = mapped_column(String(32))
    ends_at: Mapped[int] = mapped_column(Big)


class CaseRow(Model):
    """One case of the fleet; `state` is good, damaged, repair or retired."""

    __tablename__ = "case"
    code: Mapped[str] = mapped_column(String(60), primary_key=True)
    department: Mapped[str] = mapped_column(String(40))
    state: Mapped[str] = mapped_column(String(10))
    owner: Mapped[str] = mapped_column(String(80))
    document: Mapped[Document] = mapped_column(JSON)
    notes: Mapped[Document | None] = mapped_column(JSON)
    changed_at: Mapped[int] = mapped_column(Big)


class CasePhotoRow(Model):
    """A photo of a case as it was sent, and a small one for lists."""

    __tablename__ = "case_photo"
    code: Mapped[str] = mapped_column(ForeignKey("case.code"), primary_key=True)
    id: Mapped[str] = mapped_column(String(64), primary_key=True)
    words: Mapped[str] = mapped_column(String(120))
    media_type: Mapped[str] = mapped_column(String(20))
    content: Mapped[bytes] = mapped_column(LargeBinary)
    small: Mapped[bytes] = mapped_column(LargeBinary)
    at: Mapped[int] = mapped_column(Big)


class VehicleRow(Model):
    """One vehicle the shop owns or hires; `mark` picks its colour and shape."""

    __tablename__ = "vehicle"
    id: Mapped[str] = mapped_column(String(60), primary_key=True)
    mark: Mapped[int]
    document: Mapped[Document] = mapped_column(JSON)
    changed_at: Mapped[int] = mapped_column(Big)


class ShowRow(Model):
    """One night; `cursor` counts its events, `issued` is the revision in the crew's hands."""

    __tablename__ = "show"
    id: Mapped[str] = mapped_column(String(32), primary_key=True)
    name: Mapped[str] = mapped_column(String(120))
    date: Mapped[str] = mapped_column(String(40))
    document: Mapped[Document] = mapped_column(JSON)
    cursor: Mapped[int] = mapped_column(Big, default=0)
    issued: Mapped[int] = mapped_column(default=0)
    closed_at: Mapped[int | None] = mapped_column(Big)
    join_code: Mapped[str | None] = mapped_column(String(16), unique=True)
    join_ends_at: Mapped[int] = mapped_column(Big, default=0)
    pin: Mapped[str | None] = mapped_column(String(200))
    created_at: Mapped[int] = mapped_column(Big)


class ShowCaseRow(Model):
    """A case called for a show, and the wishes for it there."""

    __tablename__ = "show_case"
    show_id: Mapped[str] = mapped_column(
        ForeignKey("show.id", ondelete="CASCADE"), primary_key=True
    )
    code: Mapped[str] = mapped_column(ForeignKey("case.code"), primary_key=True)
    position: Mapped[int]
    drop: Mapped[int]
    vehicle: Mapped[str | None] = mapped_column(String(60))
    near: Mapped[str | None] = mapped_column(String(10))
    together: Mapped[str | None] = mapped_column(String(40))
    priority: Mapped[str | None] = mapped_column(String(10))


class ShowVehicleRow(Model):
    """A vehicle booked for a show."""

    __tablename__ = "show_vehicle"
    show_id: Mapped[str] = mapped_column(
        ForeignKey("show.id", ondelete="CASCADE"), primary_key=True
    )
    vehicle_id: Mapped[str] = mapped_column(ForeignKey("vehicle.id"), primary_key=True)
    position: Mapped[int]


class PlanRow(Model):
    """One revision: the show as it was planned, the plan, and once issued its vehicle sheets."""

    __tablename__ = "plan"
    show_id: Mapped[str] = mapped_column(
        ForeignKey("show.id", ondelete="CASCADE"), primary_key=True
    )
    revision: Mapped[int] = mapped_column(primary_key=True)
    show: Mapped[Document] = mapped_column(JSON)
    plan: Mapped[Document] = mapped_column(JSON)
    faults: Mapped[list[str]] = mapped_column(JSON)
    sheets: Mapped[list[Any] | None] = mapped_column(JSON)
    made_at: Mapped[int] = mapped_column(Big)
    issued_at: Mapped[int | None] = mapped_column(Big)


class EventRow(Model):
    """One fact from a phone, exactly as it was sent; never changed, never removed."""

    __tablename__ = "event"
    show_id: Mapped[str] = mapped_column(ForeignKey("show.id"), primary_key=True)
    seq: Mapped[int] = mapped_column(Big, primary_key=True)
    id: Mapped[str] = mapped_column(String(40))
    device: Mapped[str] = mapped_column(String(64))
    n: Mapped[int] = mapped_column(Big)
    kind: Mapped[str] = mapped_column(String(24))
    code: Mapped[str | None] = mapped_column(String(60))
    hlc: Mapped[str] = mapped_column(String(90))
    document: Mapped[str] = mapped_column(Text)
    received_at: Mapped[int] = mapped_column(Big)
    carrier: Mapped[str] = mapped_column(String(64))
    __table_args__ = (
        Index("event_id", "show_id", "id", unique=True),
        Index("event_device", "show_id", "device", "n"),
        Index("event_code", "code"),
    )


class DeviceRow(Model):
    """One phone on one show: its key, what it last said of itself, how much of it is stored."""

    __tablename__ = "device"
    show_id: Mapped[str] = mapped_column(
        ForeignKey("show.id", ondelete="CASCADE"), primary_key=True
    )
    id: Mapped[str] = mapped_column(String(64), primary_key=True)
    name: Mapped[str] = mapped_column(String(60))
    role: Mapped[str] = mapped_column(String(10))
    key: Mapped[str] = mapped_column(String(64))
    joined_at: Mapped[int] = mapped_column(Big)
    unsent: Mapped[int] = mapped_column(default=0)
    last_n: Mapped[int] = mapped_column(Big, default=0)
    heard_at: Mapped[int] = mapped_column(Big, default=0)
    out_at: Mapped[int | None] = mapped_column(Big)
    facts: Mapped[int] = mapped_column(default=0)
    bytes: Mapped[int] = mapped_column(Big, default=0)


class NoteRow(Model):
    """What the server found when it judged a fact again; read by the chief."""

    __tablename__ = "note"
    show_id: Mapped[str] = mapped_column(
        ForeignKey("show.id", ondelete="CASCADE"), primary_key=True
    )
    event_id: Mapped[str] = mapped_column(String(40), primary_key=True)
    document: Mapped[Document] = mapped_column(JSON)
    at: Mapped[int] = mapped_column(Big)


class PhotoRow(Model):
    """A photo of the night, as the phone sent it."""

    __tablename__ = "photo"
    show_id: Mapped[str] = mapped_column(
        ForeignKey("show.id", ondelete="CASCADE"), primary_key=True
    )
    id: Mapped[str] = mapped_column(String(64), primary_key=True)
    media_type: Mapped[str] = mapped_column(String(20))
    content: Mapped[bytes] = mapped_column(LargeBinary)
    device: Mapped[str] = mapped_column(String(64))
    at: Mapped[int] = mapped_column(Big)


class JobRow(Model):
    """Planning that was asked for: waiting, working, done or failed."""

    __tablename__ = "job"
    id: Mapped[str] = mapped_column(String(32), primary_key=True)
    show_id: Mapped[str] = mapped_column(ForeignKey("show.id", ondelete="CASCADE"))
    state: Mapped[str] = mapped_column(String(10))
    seconds: Mapped[int]
    seed: Mapped[int]
    best: Mapped[Document | None] = mapped_column(JSON)
    revision: Mapped[int | None]
    trouble: Mapped[str | None] = mapped_column(Text)
    stop: Mapped[bool]
    asked: Mapped[Document | None] = mapped_column(JSON)
    created_at: Mapped[int] = mapped_column(Big)
    heard_at: Mapped[int] = mapped_column(Big)
    __table_args__ = (Index("job_state", "state", "created_at"),)


class AuditRow(Model):
    """Who did what, from where, beside the crew's own events."""

    __tablename__ = "audit"
    # SQLite numbers rows by itself only where the key is a plain integer.
    id: Mapped[int] = mapped_column(Big().with_variant(Integer, "sqlite"), primary_key=True)
    at: Mapped[int] = mapped_column(Big)
    role: Mapped[str] = mapped_column(String(10))
    name: Mapped[str] = mapped_column(String(60))
    address: Mapped[str] = mapped_column(String(64))
    action: Mapped[str] = mapped_column(String(40))
    show_id: Mapped[str | None] = mapped_column(String(32))
    detail: Mapped[str] = mapped_column(String(200))
    __table_args__ = (Index("audit_at", "at"),)


class GuessRow(Model):
    """Wrong codes, PINs and passwords, counted by address and by show."""

    __tablename__ = "guess"
    key: Mapped[str] = mapped_column(String(100), primary_key=True)
    wrong: Mapped[int]
    last_at: Mapped[int] = mapped_column(Big)
    free_at: Mapped[int] = mapped_column(Big)
