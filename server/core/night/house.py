"""What holds for the whole show: hazards, damage, added cases, phones, where each was last seen."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from server.core.night.event_kinds import (
    Added,
    Closed,
    Damaged,
    Hazard,
    HazardGone,
    Off,
    On,
    Read,
    Repaired,
    RowPhoto,
    Seen,
    SignedOff,
    Weighed,
    Withdrawn,
)
from server.core.night.events import Event
from server.core.night.house_state import (
    AddedCase,
    Damage,
    DeviceState,
    HazardState,
    SeenState,
    WeighedState,
    Whereabouts,
)
from server.core.night.marks import mark, marked, signed
from server.core.night.running_numbers import gaps
from server.core.night.state import Mark, Signed


@dataclass(slots=True)
class House:
    """What was said about the show as a whole."""

    hazards: dict[str, HazardState] = field(default_factory=dict)
    damaged: dict[str, Damage] = field(default_factory=dict)
    added: dict[str, AddedCase] = field(default_factory=dict)
    weighed: dict[str, WeighedState] = field(default_factory=dict)
    last_seen: dict[str, SeenState] = field(default_factory=dict)
    signed_off: Signed | None = None
    closed: Mark | None = None


def gather_house(events: Iterable[Event]) -> House:
    """Read the show's facts from events in order."""
    house = House()
    sights: dict[str, Event] = {}
    for event in events:
        _saw(sights, event)
        match event.body:
            case Hazard(hazard=name, text=text, photo=photo):
                found = HazardState(**marked(event), hazard=name, text=text, photo=photo)
                house.hazards[name] = found
            case HazardGone(hazard=name):
                house.hazards.pop(name, None)
            case Weighed(code=code, mass_g=mass_g, how=how) if mass_g:
                # a guess counts from whoever may answer for it
                if how == "scale" or event.by.role != "loader":
                    house.weighed[code] = WeighedState(
                        **marked(event), code=code, mass_g=mass_g, how=how
                    )
            case Damaged(code=code, note=note, photo=photo):
                house.damaged[code] = Damage(**marked(event), code=code, note=note, photo=photo)
            case Repaired(code=code):
                house.damaged.pop(code, None)
            case Added() as body:
                house.added[body.code] = _added(event, body)
            case SignedOff() as body:
                house.signed_off = signed(event, body)
            case Closed():
                house.closed = mark(event)
    house.last_seen = {code: _seen(code, event) for code, event in sights.items()}
    return house


def _added(event: Event, body: Added) -> AddedCase:
    return AddedCase(
        **marked(event),
        code=body.code,
        name=body.name,
        owner=body.owner,
        travels=body.travels,
        length_um=body.length_um,
        width_um=body.width_um,
        height_um=body.height_um,
        mass_g=body.mass_g,
        photo=body.photo,
    )


def _saw(sights: dict[str, Event], event: Event) -> None:
    """Note the latest sight of each case; what the state keeps of it is made once, at the end."""
    match event.body:
        case Damaged(code=code) if code in sights and isinstance(sights[code].body, On):
            pass  # found on board: it stands where it stood
        case On(code=code) | Off(code=code) | Seen(code=code) | Damaged(code=code):
            sights[code] = event
        case RowPhoto(codes=codes):
            sights.update(dict.fromkeys(codes, event))


def _seen(code: str, event: Event) -> SeenState:
    body = event.body
    place = body.place if isinstance(body, Seen) else None
    read: Read | None = body.read if isinstance(body, On | Off | Seen) else None
    if isinstance(body, RowPhoto):
        read = "row_photo"
    where = _whereabouts(event)
    return SeenState(
        **marked(event), code=code, what=body.kind, where=where, place=place, read=read
    )


def _whereabouts(event: Event) -> Whereabouts:
    match event.body:
        case Seen():
            return "place"
        case On() | RowPhoto():
            return "vehicle"
        case Off() if event.move == "put_away":
            return "home"
    return "shop" if event.move in {"shop_load", "put_away"} else "venue"


def devices(events: Iterable[Event]) -> dict[str, DeviceState]:
    """Return every phone heard of, by all its events, also voided ones."""
    numbers: dict[str, list[int]] = {}
    withdrawn: dict[str, list[int]] = {}
    latest: dict[str, Event] = {}
    for event in events:
        numbers.setdefault(event.device, []).append(event.n)
        if isinstance(event.body, Withdrawn):
            withdrawn.setdefault(event.device, []).extend(event.body.numbers)
        newest = latest.get(event.device)
        if newest is None or event.n >= newest.n:
            latest[event.device] = event
    return {
        device: DeviceState(
            device=device,
            by=event.by.name,
            by_id=event.by.id,
            role=event.by.role,
            last_n=event.n,
            gaps=gaps((*numbers[device], *withdrawn.get(device, ())), event.n),
            at=event.at,
            hlc=event.hlc,
        )
        for device, event in sorted(latest.items())
    }
