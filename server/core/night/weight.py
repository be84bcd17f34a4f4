"""Mass and axle loads of what is really on board, by moments, in whole grams."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from fractions import Fraction

from server.core.crew.bundle import Bundle
from server.core.night.house_state import AddedCase
from server.core.night.sheets import Sheets
from server.core.night.state import AxleState
from server.core.shop.vehicle import Axles
from server.core.weight.balance import Load, axle_loads


def mass_of(bundle: Bundle, added: Mapping[str, AddedCase], code: str) -> int:
    """Return a case's mass by its card, else as said when added; 0 where nobody knows."""
    card = bundle.cases.get(code)
    if card is not None:
        return card.mass_g
    one = added.get(code)
    return (one.mass_g if one is not None else None) or 0


def weigh_on_board(
    axles: Axles,
    sheets: Sheets,
    vehicle: str,
    row_of: Mapping[str, int | None],
    mass: Callable[[str], int],
) -> AxleState:
    """Return what each support carries with the empty vehicle.

    A case stands in the middle of its planned place; in another row, in the middle of that row;
    one without a row at the door end of the floor used, which is where a late case goes.
    """
    at_door = 2 * sheets.vehicles[vehicle].floor_length_um
    loads, assumed = [], []
    for code, row in row_of.items():
        twice = _twice_middle(sheets, vehicle, code, row)
        if twice is None:
            assumed.append(code)
        loads.append(Load(mass(code), Fraction(at_door if twice is None else twice, 2)))
    front, rear = axle_loads(loads, axles)
    gross = front + rear
    share = front / gross if gross else None
    return AxleState(front, rear, gross, share, tuple(sorted(assumed)))


def _twice_middle(sheets: Sheets, vehicle: str, code: str, row: int | None) -> int | None:
    """Return twice the distance of a case's middle from the bulkhead, so that it stays whole."""
    if row is None:
        return None
    planned = sheets.planned(vehicle, code)
    if planned is not None and planned.row.number == row:
        return 2 * planned.place.y + planned.place.dy
    for sheet in sheets.vehicles[vehicle].rows:
        if sheet.number == row:
            return 2 * sheet.start_um + sheet.depth_um
    return None
