"""Which rows to exchange to bring a vehicle within its limits, and what that does.

Rows are pushed up tight after an exchange, so rows of unequal depth move those between them.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import combinations

from server.core.base.figure import Figure, mass_words
from server.core.base.units import Units
from server.core.shop.plan import Row
from server.core.shop.vehicle import Axles
from server.core.weight.balance import Load, axle_loads


@dataclass(frozen=True, slots=True)
class RowMass:
    """A row as balance sees it: mass, depth, its centre behind its own front edge, its drops."""

    number: int
    mass_g: int
    depth_um: int
    centre_um: Fraction
    first_drop: int = 1
    last_drop: int = 1


@dataclass(frozen=True, slots=True)
class Exchange:
    """Two rows to exchange: what the supports carry then, what is still over, and the drops.

    `keeps_drops`: every drop still comes off before the next one.
    """

    first: int
    second: int
    front_g: int
    rear_g: int
    excess_g: int
    keeps_drops: bool
    figure: Figure


def row_masses(
    rows: Sequence[Row], masses_g: dict[str, int], drops: dict[str, int]
) -> tuple[RowMass, ...]:
    """Return the rows of a plan as balance sees them."""
    found = []
    for row in rows:
        mass = sum(masses_g[place.code] for place in row.places)
        moment = sum(
            (masses_g[p.code] * (Fraction(2 * p.y + p.dy, 2) - row.start) for p in row.places),
            start=Fraction(0),
        )
        centre = moment / mass if mass else Fraction(row.depth, 2)
        due = [drops[place.code] for place in row.places] or [1]
        found.append(RowMass(row.number, mass, row.depth, centre, min(due), max(due)))
    return tuple(found)


def supports(rows: Sequence[RowMass], axles: Axles) -> tuple[int, int]:
    """Return front and rear support in grams with the rows tight in this order."""
    start, loads = 0, []
    for row in rows:
        loads.append(Load(row.mass_g, start + row.centre_um))
        start += row.depth_um
    return axle_loads(loads, axles)


def excess_g(front_g: int, rear_g: int, axles: Axles) -> int:
    """Return by how many grams the supports are outside their limits, all added; zero: within."""
    gross = front_g + rear_g
    total = max(0, -front_g) + max(0, -rear_g)
    if axles.front_limit_g is not None:
        total += max(0, front_g - axles.front_limit_g)
    if axles.rear_limit_g is not None:
        total += max(0, rear_g - axles.rear_limit_g)
    low, high = axles.least_share, axles.most_share
    if low is not None:
        total += max(0, round(low * gross) - front_g)
    if high is not None:
        total += max(0, front_g - round(high * gross))
    return total


def in_drop_order(rows: Sequence[RowMass]) -> bool:
    """Return whether no later drop stands between an earlier drop and the door."""
    latest = 0
    for row in reversed(rows):
        if row.first_drop < latest:
            return False
        latest = max(latest, row.last_drop)
    return True


def exchanges(
    rows: Sequence[RowMass], axles: Axles, *, most: int = 3, units: Units | None = None
) -> tuple[Exchange, ...]:
    """Return the best pairs of rows to exchange, best first; empty where nothing is over.

    Best: least excess left, then drops kept, then the fewest rows between the two.
    """
    units = units or Units()
    now = excess_g(*supports(rows, axles), axles)
    if not now:
        return ()
    found = []
    for one, other in combinations(range(len(rows)), 2):
        order = list(rows)
        order[one], order[other] = order[other], order[one]
        front, rear = supports(order, axles)
        left = excess_g(front, rear, axles)
        if left < now:
            kept = in_drop_order(order)
            figure = _figure(rows[one].number, rows[other].number, (front, rear, left), units)
            found.append(
                Exchange(rows[one].number, rows[other].number, front, rear, left, kept, figure)
            )
    found.sort(key=lambda e: (e.excess_g, not e.keeps_drops, e.second - e.first, e.first))
    return tuple(found[:most])


def _figure(first: int, second: int, after: tuple[int, int, int], units: Units) -> Figure:
    front, rear, left = after
    rest = "then all is within limits" if not left else f"still {mass_words(left, units)} over"
    say = (
        f"exchange rows {first} and {second}: front {mass_words(front, units)}, rear "
        f"{mass_words(rear, units)}, {rest}"
    )
    return Figure(left, "g", "moments about the supports (mechanics)", say, "axles")
