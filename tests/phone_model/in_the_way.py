"""What must happen before a case can stand in its place, or come off: order is physical."""

from __future__ import annotations

from dataclasses import dataclass, field

from server.core.crew.bundle import LOADING, Bundle
from server.core.night.state import Leg
from tests.phone_model.next_up import Places, filled_places, places_of, sheet_of, wants_straps


@dataclass(slots=True)
class InTheWay:
    """What stands between a case and its place.

    `first`: cases that go before this one: those it stands on, or (unloading) those on it.
    `in_front`: rows nearer the door in which something stands already. `leaves_open`: rows nearer
    the bulkhead that lack a case, a strap or their filling: this one would bury them.
    """

    first: list[str] = field(default_factory=list)
    in_front: list[int] = field(default_factory=list)
    leaves_open: list[int] = field(default_factory=list)


def in_the_way(bundle: Bundle, leg: Leg, code: str, row: int | None) -> InTheWay:
    """Return what is in the way of a case that is due."""
    places = places_of(sheet_of(bundle, leg.vehicle))
    own = leg.place_of.get(code)
    found = InTheWay()
    if leg.move == "put_away":
        return found
    seen: set[str] = set()
    if own is not None:
        search = _below if leg.move in LOADING else _above
        found.first = search(leg, places, own, seen)
    if row is None or leg.move not in LOADING:
        return found
    for one in leg.rows:
        if one.number > row and one.on:
            found.in_front.append(one.number)
        if one.number >= row:
            continue
        still = sum(code not in leg.row_of for code in one.due)
        if (still and not one.called_full) or wants_straps(one, still):
            found.leaves_open.append(one.number)
    return found


def _below(leg: Leg, places: Places, place: str, seen: set[str]) -> list[str]:
    """Return the cases due in the places below that nothing fills yet, the lowest first."""
    filled = filled_places(leg)
    found: list[str] = []
    own = places.get(place)
    for one in () if own is None else own[1].on:
        if one in filled or one in seen:
            continue
        seen.add(one)
        found += _below(leg, places, one, seen)
        # What the chief accounted for does not come: nobody need wait for it.
        found += [code for code in leg.due if leg.place_of.get(code) == one][:1]
    return found


def _above(leg: Leg, places: Places, place: str, seen: set[str]) -> list[str]:
    """Return the cases on board that stand on a place, the highest first."""
    found: list[str] = []
    for code in leg.on:
        own = leg.place_of.get(code)
        planned = places.get(own or "")
        if own is None or own in seen or planned is None or place not in planned[1].on:
            continue
        seen.add(own)
        found += [*_above(leg, places, own, seen), code]
    return found
