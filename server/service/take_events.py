"""A batch from a phone: each fact checked by itself, stored once, signatures judged again."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, Final

from server.core.night.event_kinds import CHIEF_KINDS
from server.core.night.events import BadEvent, Event, read_event
from server.core.night.record_chain import BadRecord, canonical
from server.service import secrets
from server.service.judge_again import Judge
from server.service.ports import Ports
from server.service.records import RANK, Device, NewEvent
from server.service.troubles import NotAllowed, Unknown

PAGE: Final = 1000
MOST_BYTES: Final = 150_000
MOST_GAPS: Final = 200
NAME: Final = re.compile(r"[A-Za-z0-9._-]{1,40}")
DEVICE: Final = re.compile(r"[A-Za-z0-9_-]{1,64}")
# What is said of a vehicle needs one; `off` in the shop's put-away may have none.
OF_A_VEHICLE: Final = frozenset({"on", "strapped", "opened", "took", "row_photo", "released"})


@dataclass
class Taken:
    """What became of a batch, by event id."""

    stored: list[str] = field(default_factory=list)
    refused: list[tuple[str, str]] = field(default_factory=list)


class Refused(Exception):
    """A fact that can never be taken."""


def take(ports: Ports, show: str, carrier: str, batch: Sequence[Mapping[str, Any]]) -> Taken:
    """Store what is new of a batch; one bad fact holds up no other."""
    phone = ports.people.device(show, carrier)
    if phone is None or phone.out_at is not None:
        raise NotAllowed("This phone is signed out of the show: join again.")
    if not batch:
        return Taken()
    taken, fresh = Taken(), []
    gate = Gate(ports, show, phone)
    for raw in batch:
        name = str(raw.get("id", ""))[:40]
        try:
            fresh.append(gate.check(raw))
        except Refused as refused:
            taken.refused.append((name, str(refused)))
        except (BadEvent, BadRecord) as bad:
            taken.refused.append((name, str(bad)))
    try:
        stored, _ = ports.log.append(show, [new for new, _ in fresh], ports.now(), carrier)
    except KeyError:
        raise Unknown("There is no such show.") from None
    taken.stored = [new.id for new, _ in fresh]
    new_ids = {one.id for one in stored}
    _follow(ports, show, [event for _, event in fresh if event.id in new_ids], gate)
    return taken


class Gate:
    """Decides on each fact of one batch whether it may be taken."""

    def __init__(self, ports: Ports, show: str, phone: Device) -> None:
        self._ports = ports
        self._show = show
        self._phones = {phone.id: phone}
        self._phone = phone
        self._vehicles: set[str] = set()
        self.judge = Judge(ports, show)

    def check(self, raw: Mapping[str, Any]) -> tuple[NewEvent, Event]:
        """Return a fact ready for the log; Refused or BadEvent say why it is none."""
        text = json.dumps(raw, separators=(",", ":"), ensure_ascii=False)
        if len(text.encode(errors="replace")) > MOST_BYTES:
            raise Refused(f"This is larger than {MOST_BYTES} bytes.")
        canonical(raw)  # what has no canonical form cannot be sealed in a record
        event = read_event(raw)
        code = getattr(event.body, "code", "")
        if not code.isprintable() or not event.body.kind.isprintable():
            raise Refused("This holds signs that are no text.")
        if not NAME.fullmatch(event.id) or not DEVICE.fullmatch(event.device):
            raise Refused("This has no plain id or device.")
        if event.show != self._show:
            raise Refused("This belongs to another show.")
        self._speaker(event, raw)
        self._vehicle(event)
        if event.body.kind == "released":
            why = self.judge.released_before(event)
            if why is not None:
                raise Refused(why)
        self.judge.saw(event)
        return self._new(event, text), event

    def _new(self, event: Event, text: str) -> NewEvent:
        code = getattr(event.body, "code", None)
        return NewEvent(
            id=event.id,
            device=event.device,
            n=event.n,
            kind=event.body.kind[:24],
            code=None if code is None else code[:60],
            hlc=event.hlc,
            document=text,
        )

    def _speaker(self, event: Event, raw: Mapping[str, Any]) -> None:
        """Refuse a fact of another phone without its signature, and a claim to a higher role."""
        phone = self._phone_of(event.device)
        if phone is None:
            raise Refused("This phone has not joined the show.")
        if phone.id != self._phone.id:
            if not secrets.signed_by(phone.key, raw):
                raise Refused("This is another phone's, and its signature does not hold.")
            if phone.out_at is not None and int(event.hlc[:13]) > phone.out_at:
                raise Refused("That phone was signed out before it said this.")
        if RANK[event.by.role] > RANK[phone.role]:
            raise Refused(f"This phone is in as {phone.role}, not as {event.by.role}.")
        if event.body.kind in CHIEF_KINDS and event.by.role == "loader":
            raise Refused("Only the chief may say this.")

    def _phone_of(self, device: str) -> Device | None:
        if device not in self._phones:
            found = self._ports.people.device(self._show, device)
            if found is not None:
                self._phones[device] = found
        return self._phones.get(device)

    def _vehicle(self, event: Event) -> None:
        if event.vehicle is None:
            if event.body.kind in OF_A_VEHICLE:
                raise Refused("This needs a vehicle.")
            return
        if event.vehicle not in self._vehicles:
            self._vehicles |= self._booked_or_planned(event.vehicle)
        if event.vehicle not in self._vehicles:
            raise Refused(f"There is no vehicle {event.vehicle[:60]} on this show.")

    def _booked_or_planned(self, wanted: str) -> set[str]:
        """Return vehicles of the show; those that only an older plan knows cost more to find."""
        booked = set(self._ports.shows.vehicles(self._show))
        if wanted in booked:
            return booked
        plans = self._ports.plans.all(self._show)
        return booked | {one.vehicle for record in plans for one in record.plan.vehicles}


def _follow(ports: Ports, show: str, fresh: Sequence[Event], gate: Gate) -> None:
    """Do what facts bring about beside the fold: judge signatures again, close the show."""
    for event in fresh:
        kind = event.body.kind
        if kind in {"released", "signed_off"}:
            found = gate.judge.note(event)
            if found is not None:
                ports.log.add_note(show, event.id, found, ports.now())
        elif kind == "closed" and event.by.role != "loader":
            ports.shows.close(show, ports.now())


def gaps(ports: Ports, show: str, device: str) -> list[int]:
    """Return numbers of a phone that never came although later ones did; at most some of them."""
    return ports.log.missing(show, device, MOST_GAPS)


def missing(ports: Ports, phone: Device, arrived: tuple[int, int] | None) -> int:
    """Return how many facts a phone has numbered that have not come."""
    count, last = arrived or (0, 0)
    between = 0 if count == last else len(ports.log.missing(phone.show, phone.id, MOST_GAPS))
    return between + max(0, phone.last_n - last)
