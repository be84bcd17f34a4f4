"""A batch from a phone: each fact checked by itself, stored once, signatures judged again."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, Final

from server.core.night.events import BadEvent, Event
from server.core.night.record_chain import BadRecord
from server.core.night.running_numbers import Ranges, how_many
from server.service.event_gate import Gate, Refused
from server.service.ports import Ports
from server.service.records import Device
from server.service.troubles import NotAllowed, Unknown

PAGE: Final = 1000
MOST_GAPS: Final = 200
REASON_MOST: Final = 300
CLOCKS_MS: Final = 60_000  # a fact of another process may be stamped before it is stored
ID_TAKEN: Final = "Another fact has this id: a fact is never changed, only answered by another."
NUMBER_TAKEN: Final = "Another fact of this phone has this running number: send it under the next."


@dataclass
class Taken:
    """What became of a batch, by event id; a word of code where a phone can mend it."""

    stored: list[str] = field(default_factory=list)
    refused: list[tuple[str, str, str]] = field(default_factory=list)


def take(ports: Ports, show: str, carrier: str, batch: Sequence[Any]) -> Taken:
    """Store what is new of a batch; one bad fact holds up no other."""
    phone = ports.people.device(show, carrier)
    if phone is None or phone.out_at is not None:
        raise NotAllowed("This phone is signed out of the show: join again.")
    if not batch:
        return Taken()
    taken, fresh = Taken(), []
    gate = Gate(ports, show, phone)
    for raw in batch:
        try:
            fresh.append(gate.check(raw))
        except (Refused, BadEvent, BadRecord) as refused:
            taken.refused.append((_id(raw), str(refused)[:REASON_MOST], ""))
    try:
        done = ports.log.append(show, [new for new, _ in fresh], ports.now(), carrier)
    except KeyError:
        raise Unknown("There is no such show.") from None
    for place, (new, _) in enumerate(fresh):
        if place in done.ids_taken:
            taken.refused.append((new.id, ID_TAKEN, "id_taken"))
        elif place in done.numbers_taken:
            taken.refused.append((new.id, NUMBER_TAKEN, "number_taken"))
        else:
            taken.stored.append(new.id)
    new_ids = {one.id for one in done.stored}
    _follow(ports, show, [event for _, event in fresh if event.id in new_ids], gate)
    return taken


def backed_up(ports: Ports) -> int:
    """Return up to when (ms) stored facts are in two backups that were restored on trial; or 0."""
    before = (ports.settings.get("backup") or {}).get("before")
    return before["at"] - CLOCKS_MS if before else 0


def _id(raw: Any) -> str:
    found = raw.get("id") if isinstance(raw, Mapping) else None
    return found[:40] if isinstance(found, str) else ""


def _follow(ports: Ports, show: str, fresh: Sequence[Event], gate: Gate) -> None:
    """Do what facts bring about beside the fold: judge signatures again, close the show."""
    for event in fresh:
        kind = event.body.kind
        if kind in {"released", "signed_off"}:
            found = gate.judge.note(event)
            if found is not None:
                ports.log.add_note(show, event.id, found, ports.now())
        elif kind == "closed" and event.by.role != "loader":
            ports.shows.close(show, ports.now(), event.by.name)


def gaps(ports: Ports, show: str, device: str) -> Ranges:
    """Return numbers of a phone that never came although later ones did; at most some ranges."""
    return ports.log.missing(show, device)[:MOST_GAPS]


def missing(ports: Ports, phone: Device, arrived: tuple[int, int] | None) -> int:
    """Return how many facts a phone has numbered that have not come."""
    count, last = arrived or (0, 0)
    between = 0 if count == last else how_many(ports.log.missing(phone.show, phone.id))
    return between + max(0, phone.last_n - last)
