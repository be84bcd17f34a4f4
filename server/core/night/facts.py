"""The events replayed in the order of facts: where each case stands, which straps still count."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from server.core.crew.bundle import LOADING, MOVES, Bundle, Move
from server.core.night.event_kinds import (
    Excused,
    Off,
    On,
    Opened,
    Overridden,
    Recalled,
    Released,
    RowPhoto,
    Strapped,
    Took,
    Unexcused,
    UnsentKnown,
)
from server.core.night.event_kinds_way import Hands, RampMeasured
from server.core.night.events import Event
from server.core.night.marks import case_mark, excuse, mark, marked, signed
from server.core.night.sheets import Sheets
from server.core.night.state import CaseMark, Excuse, Mark, Override, RampState, Signed, StrapCount


@dataclass(slots=True)
class RowFacts:
    """A row's straps; `counts` holds each device's latest since the row last changed."""

    counts: dict[str, StrapCount] = field(default_factory=dict)
    taken_by: Mark | None = None
    reopened: int = 0
    photos: list[str] = field(default_factory=list)


@dataclass(slots=True)
class LegFacts:
    """What was said about one vehicle in one move."""

    marks: dict[str, CaseMark] = field(default_factory=dict)
    rows: dict[int, RowFacts] = field(default_factory=dict)
    hands: int | None = None
    ramp: RampState | None = None
    overridden: dict[str, Override] = field(default_factory=dict)
    unsent_known: set[str] = field(default_factory=set)
    released: Signed | None = None
    recalled: Mark | None = None

    def row(self, number: int) -> RowFacts:
        """Return what was said about a row."""
        return self.rows.setdefault(number, RowFacts())

    def reopen(self, number: int | None) -> None:
        """A row's straps count only while the row is as it was when they were counted."""
        if number is None:
            return
        facts = self.row(number)
        facts.reopened += 1 if facts.counts else 0
        facts.counts.clear()


@dataclass(slots=True)
class MoveFacts:
    """One move: `tracked` vehicles have cases recorded on; `stands`: where each case is now.

    `latest` is the latest change of each case, whichever the vehicle.
    """

    tracked: set[str] = field(default_factory=set)
    stands: dict[str, CaseMark] = field(default_factory=dict)
    latest: dict[str, CaseMark] = field(default_factory=dict)
    excuses: dict[str, Excuse] = field(default_factory=dict)
    legs: dict[str, LegFacts] = field(default_factory=dict)

    def leg(self, vehicle: str) -> LegFacts:
        """Return what was said about a vehicle."""
        return self.legs.setdefault(vehicle, LegFacts())


Facts = dict[Move, MoveFacts]


def gather(bundle: Bundle, sheets: Sheets, events: Iterable[Event]) -> Facts:
    """Replay events that are already unique, standing and in order."""
    facts: Facts = {move: MoveFacts() for move in MOVES}
    for move in facts.values():
        for vehicle in bundle.vehicles:
            move.leg(vehicle.id)
    for event in events:
        move_facts = facts[event.move]
        _case(move_facts, sheets, event)
        _excuse(move_facts, event)
        if event.vehicle is None:
            for leg in move_facts.legs.values():
                _leg(leg, event)
        else:
            _leg(move_facts.leg(event.vehicle), event)
    return facts


def _case(move: MoveFacts, sheets: Sheets, event: Event) -> None:
    body = event.body
    if not isinstance(body, On | Off):
        return
    if event.move not in LOADING:
        held = move.latest.get(body.code)
        if held is None or held.did != body.kind:
            move.latest[body.code] = case_mark(event, body, None)
    elif event.vehicle is not None and isinstance(body, On):
        _put_on(move, sheets.standing_row(event.vehicle, body.code, body.row), event, body)
    elif event.vehicle is not None and isinstance(body, Off):
        _take_off(move, event.vehicle, event, body)


def _put_on(move: MoveFacts, row: int | None, event: Event, body: On) -> None:
    vehicle = event.vehicle
    assert vehicle is not None
    move.tracked.add(vehicle)
    held = move.stands.get(body.code)
    # A second scan of what already stands there changes nothing: two loaders may scan one row.
    if held is not None and held.vehicle == vehicle and held.row == row:
        return
    if held is not None and held.vehicle is not None:
        move.leg(held.vehicle).reopen(held.row)
    leg = move.leg(vehicle)
    leg.reopen(row)
    now = case_mark(event, body, row)
    move.stands[body.code] = move.latest[body.code] = leg.marks[body.code] = now


def _take_off(move: MoveFacts, vehicle: str, event: Event, body: Off) -> None:
    leg = move.leg(vehicle)
    before = leg.marks.get(body.code)
    if before is not None and before.did == "off":
        return
    now = leg.marks[body.code] = case_mark(event, body, None)
    held = move.stands.get(body.code)
    if held is not None and held.vehicle != vehicle:
        return
    move.latest[body.code] = now
    if held is not None:
        leg.reopen(held.row)
        del move.stands[body.code]


def _excuse(move: MoveFacts, event: Event) -> None:
    """Coming on board later (off, in an unloading move) ends an excuse."""
    body = event.body
    if isinstance(body, Excused):
        move.excuses[body.code] = excuse(event, body)
    elif isinstance(body, Unexcused):
        move.excuses.pop(body.code, None)
    elif isinstance(body, On if event.move in LOADING else Off):
        assert isinstance(body, On | Off)
        held = move.excuses.get(body.code)
        there = held and held.why == "other_vehicle" and held.to_vehicle == event.vehicle
        if held is not None and not there:
            del move.excuses[body.code]


def _leg(leg: LegFacts, event: Event) -> None:
    match event.body:
        case Strapped(row=row, count=count, filled=filled):
            said = StrapCount(**marked(event), count=count, filled=filled)
            leg.row(row).counts[event.device] = said
        case Opened(row=row):
            leg.reopen(row)
        case Took(row=row):
            leg.row(row).taken_by = mark(event)
        case RowPhoto(row=row, photo=photo):
            leg.row(row).photos.append(photo)
        case Hands(count=count):
            leg.hands = count
        case RampMeasured() as body:
            leg.ramp = RampState(body.rise_um, body.length_um, body.floor, body.width_um)
        case Overridden(gate=gate, why=why):
            leg.overridden[gate] = Override(**marked(event), gate=gate, why=why)
        case UnsentKnown(devices=devices):
            leg.unsent_known.update(devices)
        case Released() as body:
            leg.recalled, leg.released = None, signed(event, body)
        case Recalled():
            leg.recalled, leg.released = mark(event), None
