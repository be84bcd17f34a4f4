"""Who said it, when and how: the part of an event that the state keeps."""

from __future__ import annotations

from typing import TypedDict

from server.core.crew.bundle import Move
from server.core.night.event_kinds import Excused, Off, On, Released, Role, SignedOff
from server.core.night.events import Event
from server.core.night.state import CaseMark, Did, Excuse, Mark, Signed, SignerName


class MarkFields(TypedDict):
    """The fields of a Mark, to be spread into its kin."""

    event: str
    move: Move
    vehicle: str | None
    device: str
    by: str
    by_id: str
    role: Role
    at: int
    hlc: str


def marked(event: Event) -> MarkFields:
    """Return who said it, when and how."""
    return {
        "event": event.id,
        "move": event.move,
        "vehicle": event.vehicle,
        "device": event.device,
        "by": event.by.name,
        "by_id": event.by.id,
        "role": event.by.role,
        "at": event.at,
        "hlc": event.hlc,
    }


def mark(event: Event) -> Mark:
    """Return who said it, when and how, by itself."""
    return Mark(**marked(event))


def case_mark(event: Event, body: On | Off, row: int | None) -> CaseMark:
    """Return a case's change."""
    did: Did = "on" if isinstance(body, On) else "off"
    return CaseMark(**marked(event), did=did, row=row, read=body.read, why=body.why)


def excuse(event: Event, body: Excused) -> Excuse:
    """Return the chief's word about a case."""
    return Excuse(
        **marked(event),
        code=body.code,
        why=body.why,
        custodian=body.custodian,
        collect_by=body.collect_by,
        for_code=body.for_code,
        to_vehicle=body.to_vehicle,
        note=body.note,
    )


def signed(event: Event, body: Released | SignedOff) -> Signed:
    """Return a release or sign-off without its drawings."""
    signers = tuple(SignerName(one.role, one.name) for one in body.signers)
    return Signed(**marked(event), digest=body.digest, signers=signers)


def milliseconds(hlc: str) -> int:
    """Return the milliseconds of a hybrid clock's reading."""
    return int(hlc[:13])
