"""What is said at once when a code is scanned, and where the case goes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from server.core.crew.bundle import LOADING, Bundle, Move
from server.core.night.event_kinds import ExcuseWhy
from server.core.night.house_state import State
from server.core.night.put_away import is_damaged
from server.core.night.state import Excuse, Leg
from tests.phone_model.in_the_way import in_the_way
from tests.phone_model.next_up import carried, clear, next_up, places_of, sheet_of


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """The answer to one scan.

    right_next: due here and in the row being worked. right: due here, another row or not yet
    carried. already_on, already_off, other_vehicle, stray, unknown, swapped, excused. damaged (at
    the shop load only): due, but marked; elsewhere `damaged` is just said. `stands_on`: recorded
    on another vehicle; putting it on moves it here and leaves a conflict. `first`, `in_front`,
    `leaves_open`: what is in its way, as InTheWay says. checks_first: right otherwise, yet `checks`
    are open that come before the first case of this vehicle and move.
    """

    kind: str
    code: str
    row: int | None = None
    place_code: str | None = None
    home: str | None = None
    by: str | None = None
    at: int | None = None
    vehicle: str | None = None
    stands_on: str | None = None
    why: ExcuseWhy | None = None
    for_code: str | None = None
    damaged: bool = False
    due: bool = False
    first: tuple[str, ...] = ()
    in_front: tuple[int, ...] = ()
    leaves_open: tuple[int, ...] = ()
    checks: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Scan:
    """A code read at a vehicle in a move; `device` may have taken a row."""

    code: str
    move: Move
    vehicle: str
    device: str | None = None


def answer_scan(state: State, bundle: Bundle, scan: Scan) -> Answer:
    """Return the answer to a scan."""
    legs = state.legs[scan.move]
    own = legs.get(scan.vehicle)
    card = bundle.cases.get(scan.code)
    base = Answer(
        kind="stray",
        code=scan.code,
        home=None if card is None else card.home,
        damaged=is_damaged(bundle, state.damaged, scan.code),
    )
    if own is None or (card is None and scan.code not in state.added):
        return replace(base, kind="unknown")
    ordered = [own, *(leg for vehicle, leg in legs.items() if vehicle != scan.vehicle)]
    judge = _loading if scan.move in LOADING else _unloading
    found = judge(base, state, bundle, scan, ordered)
    if found.kind in {"right_next", "right"} and own.before_open:
        return replace(found, kind="checks_first", checks=own.before_open)
    return found


def _loading(base: Answer, state: State, bundle: Bundle, scan: Scan, legs: Sequence[Leg]) -> Answer:
    own, code = legs[0], scan.code
    if code in own.row_of:
        return replace(_said(base, own, code), kind="already_on", row=own.row_of[code])
    if code in own.due:
        stands_on = next((leg.vehicle for leg in legs[1:] if code in leg.on), None)
        place = own.place_of[code]
        planned = places_of(sheet_of(bundle, own.vehicle)).get(place or "")
        row = None if planned is None else planned[0]
        found = replace(base, row=row, place_code=place, stands_on=stands_on, due=True)
        found = _with_way(found, bundle, own)
        if base.damaged and scan.move == "shop_load":
            return replace(found, kind="damaged")
        following = _is_next(state, bundle, scan, own, row)
        return replace(found, kind="right_next" if following else "right")
    for leg in legs[1:]:
        if code in leg.due:
            return replace(base, kind="other_vehicle", vehicle=leg.vehicle, due=True)
    return _excused(base, legs)


def _unloading(
    base: Answer, state: State, bundle: Bundle, scan: Scan, legs: Sequence[Leg]
) -> Answer:
    code = scan.code
    for leg in legs:
        if code in leg.off:
            return replace(_said(base, leg, code), kind="already_off")
    here = next((leg for leg in legs if code in leg.on), None)
    if here is None:
        return _excused(base, legs)
    row = here.row_of[code]
    found = replace(base, row=row, place_code=here.place_of[code], due=True)
    found = _with_way(found, bundle, here)
    if scan.move == "put_away":
        return replace(found, kind="right_next")
    if here.vehicle != scan.vehicle:
        return replace(found, kind="other_vehicle", vehicle=here.vehicle)
    following = _is_next(state, bundle, scan, here, row)
    return replace(found, kind="right_next" if following else "right")


def _with_way(found: Answer, bundle: Bundle, leg: Leg) -> Answer:
    way = in_the_way(bundle, leg, found.code, found.row)
    return replace(
        found,
        first=tuple(way.first),
        in_front=tuple(way.in_front),
        leaves_open=tuple(way.leaves_open),
    )


def _is_next(state: State, bundle: Bundle, scan: Scan, leg: Leg, row: int | None) -> bool:
    """Return whether a case is in the row of the first step, with nothing in its way."""
    steps = next_up(state, bundle, scan.move, scan.vehicle, scan.device)
    first = next((step for step in steps if step.kind == "case"), None)
    if first is None or first.row != row:
        return first is not None and first.code == scan.code
    places = places_of(sheet_of(bundle, leg.vehicle))
    free = carried if scan.move in LOADING else clear
    return free(leg, places, scan.code)


def _said(base: Answer, leg: Leg, code: str) -> Answer:
    said = leg.marks.get(code)
    return base if said is None else replace(base, by=said.by, at=said.at)


def _excused(base: Answer, legs: Sequence[Leg]) -> Answer:
    said: Excuse | None = next(
        (leg.excused[base.code] for leg in legs if base.code in leg.excused), None
    )
    if said is None:
        return base
    return replace(
        base,
        kind="swapped" if said.why == "swapped" else "excused",
        why=said.why,
        by=said.by,
        at=said.at,
        for_code=said.for_code,
        vehicle=said.to_vehicle,
    )


def rows_to_open(leg: Leg, row: int) -> tuple[int, ...]:
    """Return strapped rows between the door and a row, door first: to be opened to reach it."""
    found = (one.number for one in leg.rows if one.number >= row and one.counted is not None)
    return tuple(sorted(found, reverse=True))
