"""What comes next in one leg, in order: cases, and the straps of a row that is ready for them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from server.core.crew.bundle import LOADING, Bundle, Move, PlaceSheet, VehicleSheet
from server.core.night.house_state import State
from server.core.night.state import Did, Leg, RowState

Places = Mapping[str, tuple[int, PlaceSheet]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One step: put `code` on (or take it off), or count the straps of `row` now.

    `place_code` names the planned place it takes; `ready`: what carries it stands (unloading:
    nothing stands on it); `late`: its row was called full; `fill`: slack has to be filled.
    """

    kind: Literal["case", "straps"]
    did: Did
    code: str | None
    place_code: str | None
    row: int | None
    ready: bool
    late: bool
    needed: int
    fill: bool
    taken_by: str | None


def next_up(
    state: State, bundle: Bundle, move: Move, vehicle: str, device: str | None = None
) -> tuple[Step, ...]:
    """Return the steps left; rows that `device` took come first."""
    leg = state.legs[move].get(vehicle)
    sheet = sheet_of(bundle, vehicle)
    if leg is None or sheet is None:
        return ()
    places = places_of(sheet)
    if move not in LOADING:
        return tuple(_off_step(leg, places, code) for code in leg.on)
    order = {code: index for index, code in enumerate(sheet.load)}
    steps: list[Step] = []
    late: list[Step] = []
    for row in _own_first(leg.rows, device):
        still = [code for code in row.due if code not in leg.row_of]
        still.sort(key=lambda code: (order.get(leg.place_of[code] or "", len(order)), code))
        found = [_on_step(leg, places, code, row) for code in still]
        (late if row.called_full else steps).extend(found)
        if wants_straps(row, len(still)):
            steps.append(_strap_step(row))
    rowless = [code for code in leg.due if leg.place_of[code] is None and code not in leg.row_of]
    return (*steps, *late, *(_on_step(leg, places, code, None) for code in rowless))


def sheet_of(bundle: Bundle, vehicle: str) -> VehicleSheet | None:
    """Return a vehicle's sheet."""
    return next((sheet for sheet in bundle.vehicles if sheet.id == vehicle), None)


def places_of(sheet: VehicleSheet | None) -> Places:
    """Return row and place of every planned case."""
    rows = () if sheet is None else sheet.rows
    return {place.code: (row.number, place) for row in rows for place in row.places}


def _own_first(rows: tuple[RowState, ...], device: str | None) -> list[RowState]:
    """Rows that this phone works come first, as long as they are not strapped."""
    if device is None:
        return list(rows)

    def other(row: RowState) -> bool:
        taken = row.taken_by is not None and row.taken_by.device == device
        return not (taken and row.state != "strapped")

    return sorted(rows, key=other)


def wants_straps(row: RowState, still: int) -> bool:
    """Return whether a row begun lacks straps or its filling; `still`: cases not on yet."""
    if not row.on and not still:
        return False
    return row.needed > (row.counted or 0) or (row.needs_fill and not row.filled)


def _strap_step(row: RowState) -> Step:
    return Step(
        kind="straps",
        did="on",
        code=None,
        place_code=None,
        row=row.number,
        ready=set(row.due) <= set(row.on),
        late=False,
        needed=row.needed,
        fill=row.needs_fill and not row.filled,
        taken_by=row.taken_by.device if row.taken_by else None,
    )


def carried(leg: Leg, places: Places, code: str) -> bool:
    """Return whether all that carries a case stands already."""
    own = places.get(leg.place_of[code] or "")
    if own is None:
        return True
    filled = filled_places(leg)
    return all(below in filled for below in own[1].on)


def filled_places(leg: Leg) -> set[str | None]:
    """Return the planned places in which something stands."""
    return {leg.place_of[one] for one in leg.row_of}


def clear(leg: Leg, places: Places, code: str) -> bool:
    """Return whether nothing on board stands on a case any more."""
    own = leg.place_of[code]
    if own is None:
        return True
    others = (places.get(leg.place_of[one] or "") for one in leg.on)
    return all(other is None or own not in other[1].on for other in others)


def _on_step(leg: Leg, places: Places, code: str, row: RowState | None) -> Step:
    return Step(
        kind="case",
        did="on",
        code=code,
        place_code=leg.place_of[code],
        row=row.number if row else None,
        ready=carried(leg, places, code),
        late=row.called_full if row else False,
        needed=0,
        fill=False,
        taken_by=row.taken_by.device if row and row.taken_by else None,
    )


def _off_step(leg: Leg, places: Places, code: str) -> Step:
    return Step(
        kind="case",
        did="off",
        code=code,
        place_code=leg.place_of[code],
        row=leg.row_of[code],
        ready=clear(leg, places, code),
        late=False,
        needed=0,
        fill=False,
        taken_by=None,
    )
