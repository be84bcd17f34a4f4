"""Decides on each fact that a phone brings whether it may be taken.

Everything here costs a time and memory that the size of the fact bounds: a batch is at most as
large as a request may be (settings), one fact MOST_BYTES, its nesting MOST_DEPTH.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Mapping
from typing import Any, Final

from server.core.night.event_kinds import CHIEF_KINDS
from server.core.night.events import BadEvent, Event, read_event
from server.core.night.record_chain import canonical
from server.service import keys, secrets
from server.service.judge_again import Judge
from server.service.ports import Ports
from server.service.records import RANK, Device, NewEvent, Role

MOST_BYTES: Final = 150_000
MOST_DEPTH: Final = 16
# A long night is some thousand facts of 500 bytes, of all phones together.
MOST_NUMBER: Final = 1_000_000
MOST_FACTS: Final = 20_000
MOST_PHONE_BYTES: Final = 20_000_000
MOST_SHOW_BYTES: Final = 100_000_000
LITTLE_BYTES: Final = 400_000  # of one phone: so much is never asked about
NAME: Final = re.compile(r"[A-Za-z0-9._-]{1,40}")
DEVICE: Final = re.compile(r"[A-Za-z0-9_-]{1,64}")
# What no crew can mean, whatever a field's type allows: least and most.
PLAUSIBLE: Final = {
    "row": (0, 1_000),
    "count": (0, 1_000),
    "mass_g": (1, 50_000_000),
    "length_um": (1, 30_000_000),
    "rise_um": (0, 10_000_000),
    "width_um": (1, 30_000_000),
    "height_um": (1, 30_000_000),
}
# Control characters, and those that change the order in which text is read (Unicode UAX 9).
UNREADABLE: Final = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069]")
# What is said of a vehicle needs one; `off` in the shop's put-away may have none.
OF_A_VEHICLE: Final = frozenset({"on", "strapped", "opened", "took", "row_photo", "released"})


class Refused(Exception):
    """A fact that can never be taken."""


def texts(value: object) -> Iterator[str]:
    """Yield every text in a value, names of fields included."""
    if isinstance(value, str):
        yield value
    elif isinstance(value, dict):
        for name, inner in value.items():
            yield name
            yield from texts(inner)
    elif isinstance(value, list):
        for inner in value:
            yield from texts(inner)


def too_deep(value: object) -> bool:
    """Return whether a value is nested deeper than a fact can be."""
    level = [value]
    for _ in range(MOST_DEPTH + 1):
        inner: list[object] = []
        for one in level:
            if isinstance(one, dict):
                inner += one.values()
            elif isinstance(one, list):
                inner += one
        level = [one for one in inner if isinstance(one, dict | list)]
        if not level:
            return False
    return True


class Gate:
    """Decides on each fact of one batch whether it may be taken."""

    def __init__(self, ports: Ports, show: str, phone: Device) -> None:
        self._ports = ports
        self._show = show
        self._phones = {phone.id: phone}
        self._phone = phone
        self._vehicles: set[str] = set()
        self._speakers: dict[str, set[tuple[str, str]]] = {}
        self._more: dict[str, tuple[int, int]] = {}
        self._show_full: bool | None = None
        self.judge = Judge(ports, show)

    def check(self, raw: Any) -> tuple[NewEvent, Event]:
        """Return a fact ready for the log; Refused or BadEvent say why it is none."""
        if too_deep(raw):
            raise Refused(f"This is nested deeper than {MOST_DEPTH} levels.")
        if not isinstance(raw, dict):
            raise BadEvent("event", "an object", repr(raw)[:60])
        text = json.dumps(raw, separators=(",", ":"), ensure_ascii=False)
        size = len(text.encode(errors="replace"))
        if size > MOST_BYTES:
            raise Refused(f"This is larger than {MOST_BYTES} bytes.")
        canonical(raw)  # what has no canonical form cannot be sealed in a record
        event = read_event(raw)
        self._plain(event)
        self._plausible(event, raw)
        self._speaker(event, raw)
        self._quota(event, size)
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

    def _plain(self, event: Event) -> None:
        """Refuse what no phone of ours says, though each field by itself is of its type."""
        named = (getattr(event.body, name, "") or "" for name in ("code", "name", "owner"))
        if not all(map(str.isprintable, (event.body.kind, *named))):
            raise Refused("This holds signs that are no text.")
        if not NAME.fullmatch(event.id) or not DEVICE.fullmatch(event.device):
            raise Refused("This has no plain id or device.")
        if event.after is not None and not NAME.fullmatch(event.after):
            raise Refused("This has no plain id in `after`.")
        if event.n > MOST_NUMBER:
            raise Refused(f"Running number {event.n}: expected 1 to {MOST_NUMBER}, without gaps.")
        if event.show != self._show:
            raise Refused("This belongs to another show.")

    def _plausible(self, event: Event, raw: Mapping[str, Any]) -> None:
        """Refuse figures that no crew can mean, and text that reads otherwise than it is."""
        for name, (least, most) in PLAUSIBLE.items():
            value = getattr(event.body, name, None)
            if value is not None and not least <= value <= most:
                raise BadEvent(f"event.body.{name}", f"{least} to {most}", value)
        for text in texts(raw):
            found = UNREADABLE.search(text)
            if found is not None:
                raise Refused(f"This holds U+{ord(found[0]):04X}, which changes how text reads.")

    def _quota(self, event: Event, size: int) -> None:
        """Refuse more than one phone, or all phones of a show, can have to say in a night."""
        phone = self._phones.get(event.device, self._phone)  # else of whoever carries it
        facts, size_here = self._more.get(phone.id, (phone.facts, phone.bytes))
        self._more[phone.id] = facts + 1, size_here + size
        if facts >= MOST_FACTS or size_here + size > MOST_PHONE_BYTES:
            most = f"{MOST_FACTS} facts or {MOST_PHONE_BYTES // 10**6} MB"
            raise Refused(f"This phone has reported {most}: more is not taken on one show.")
        if size_here > LITTLE_BYTES and self._is_show_full():
            whole = MOST_SHOW_BYTES // 10**6
            raise Refused(f"The phones of this show have reported {whole} MB: more is not taken.")

    def _is_show_full(self) -> bool:
        if self._show_full is None:
            phones = self._ports.people.devices(self._show)
            self._show_full = sum(one.bytes for one in phones) > MOST_SHOW_BYTES
        return self._show_full

    def _is_speaker(self, event: Event) -> bool:
        """Return whether a fact names who joined on its phone; a restored server knows not all."""
        if event.device not in self._speakers:
            self._speakers[event.device] = self._ports.people.speakers(self._show, event.device)
        known = self._speakers[event.device]
        if (event.by.id, event.by.name) in known:
            return True
        named = event.by.name in {name for _, name in known}
        return named and not self._ports.people.is_speaker(event.by.id)

    def _speaker(self, event: Event, raw: Mapping[str, Any]) -> None:
        """Refuse a fact of another phone without its signature, and a claim to a higher role."""
        phone = self._phone_of(event.device)
        if phone is None:
            self._of_unknown_phone(event, raw)
            return
        role = self._role(phone, event, raw)
        if phone.id != self._phone.id:
            signed = secrets.signed_by(phone.key, raw) or self._signed_as(phone.id, raw)
            if not signed:
                raise Refused("This is another phone's, and its signature does not hold.")
            if phone.out_at is not None and int(event.hlc[:13]) > phone.out_at:
                raise Refused("That phone was signed out before it said this.")
        if RANK[event.by.role] > RANK[role]:
            raise Refused(f"This phone is in as {role}, not as {event.by.role}.")
        if event.body.kind in CHIEF_KINDS and event.by.role == "loader":
            raise Refused("Only the chief may say this.")
        if not self._is_speaker(event):
            raise Refused("This names another speaker than the one who joined on this phone.")

    def _of_unknown_phone(self, event: Event, raw: Mapping[str, Any]) -> None:
        """Take a fact of a phone that joined after the backup this server was restored from.

        The phone's key is derived: the signature of each fact shows that it joined, and as what.
        """
        role = self._signed_as(event.device, raw)
        if role is None:
            raise Refused("This phone has not joined the show.")
        if RANK[event.by.role] > RANK[role]:
            raise Refused(f"This phone is in as {role}, not as {event.by.role}.")
        if event.body.kind in CHIEF_KINDS and event.by.role == "loader":
            raise Refused("Only the chief may say this.")

    def _role(self, phone: Device, event: Event, raw: Mapping[str, Any]) -> Role:
        """Return what a phone is, or was when it signed this: a restored server may not know."""
        if RANK[event.by.role] <= RANK[phone.role] or phone.out_at is not None:
            return phone.role
        return self._signed_as(phone.id, raw) or phone.role

    def _signed_as(self, device: str, raw: Mapping[str, Any]) -> Role | None:
        roles: tuple[Role, ...] = ("owner", "chief", "loader")
        for role in roles:
            if secrets.signed_by(keys.of_device(self._ports, self._show, device, role), raw):
                return role
        return None

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
