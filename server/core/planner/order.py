"""The order of rows in a vehicle: drops, wishes, axles, narrow floors, then what reads well."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import permutations

from server.core.planner.finish import supports
from server.core.planner.model import Line, Load
from server.core.planner.shelf import floor_width
from server.core.units import within
from server.core.vehicle import Vehicle

MOST_SWAPS = 40  # passes over all pairs of rows
MOST_TURNS = 24  # orders of one row's stacks that are tried


def order_rows(vehicle: Vehicle, lines: Sequence[Line]) -> tuple[Line, ...] | None:
    """Return the rows in a lawful order, or None when none was found."""
    rows = sorted(lines, key=_reading_order)
    best = broken(Load(vehicle, tuple(rows)))
    for _ in range(MOST_SWAPS if best > 0 else 0):
        improved = False
        for i in range(len(rows)):
            for j in range(i + 1, len(rows)):
                if rows[i].drops != rows[j].drops:
                    break
                rows[i], rows[j] = rows[j], rows[i]
                now = broken(Load(vehicle, tuple(rows)))
                if now < best - 1e-9:
                    best, improved = now, True
                else:
                    rows[i], rows[j] = rows[j], rows[i]
        if best <= 0 or not improved:
            break
    return tuple(rows) if best <= 0 else None


def _reading_order(line: Line) -> tuple[object, ...]:
    """Later drops first, wishes at their ends, then equal rows together, heavy before light."""
    low, high = line.drops
    end = {"bulkhead": -1, "door": 1}
    place = sum(end[near] for near in line.near)
    names = sorted((case.name, case.length_um, case.width_um) for case in line.cases)
    words = sorted(line.words)
    return (-low, -high, place, words, -line.depth, names[0], -line.mass_g, line.cases[0].code)


def broken(load: Load) -> float:
    """Return by how much an order of rows breaks the rules; zero or less is lawful."""
    return (
        100.0 * _drops_broken(load)
        + 100.0 * _ends_broken(load)
        + 10.0 * _words_broken(load)
        + 10.0 * _width_broken(load)
        + axles_broken(load)
        + 100.0 * (load.length > load.vehicle.length_um)
        + 100.0 * (not within(load.mass_g, load.vehicle.payload_g, load.parts))
    )


def _drops_broken(load: Load) -> int:
    count, before = 0, None
    for line in load.lines:
        low, high = line.drops
        count += (before is not None and high > before) + (high - low > 1)
        before = low if before is None else min(low, before)
    return count


def _ends_broken(load: Load) -> int:
    last = len(load.lines) - 1
    return sum(
        ("bulkhead" in line.near and index != 0) + ("door" in line.near and index != last)
        for index, line in enumerate(load.lines)
    )


def _words_broken(load: Load) -> int:
    rows: dict[str, list[int]] = {}
    for index, line in enumerate(load.lines):
        for word in line.words:
            rows.setdefault(word, []).append(index)
    return sum(found[-1] - found[0] - len(found) + 1 for found in rows.values())


def _width_broken(load: Load) -> float:
    start, over = 0, 0
    for line in load.lines:
        over += max(0, line.width - floor_width(load.vehicle, start, line.depth))
        start += line.depth
    return over / load.vehicle.width_um


def axles_broken(load: Load) -> float:
    """Return by how much axles are over their limits, as shares of the limits."""
    axles = load.vehicle.axles
    front, rear = supports(load)
    if axles is None or front is None or rear is None or not load.lines:
        return 0.0
    over = 0.0
    for mass, limit in (
        (front, axles.front_limit_g),
        (rear, axles.rear_limit_g),
        (front + rear, axles.gross_limit_g),
    ):
        if limit is not None and not within(mass, limit, load.parts):
            over += (mass - limit) / max(1, limit)
    share = front / (front + rear) if front + rear else 0.0
    if axles.share_min is not None:
        over += max(0.0, axles.share_min + 1e-4 - share)
    if axles.share_max is not None:
        over += max(0.0, share - axles.share_max + 1e-4)
    return over


def balance_sides(load: Load) -> Load:
    """Return the same rows with each row's stacks in the order that evens out the two sides."""
    tipped = 0
    lines = []
    for line in load.lines:
        options = list(dict.fromkeys(_turns(line)))
        best = min(options, key=lambda one: (abs(tipped + _tip(load.vehicle, one)), one.width))
        tipped += _tip(load.vehicle, best)
        lines.append(best)
    return replace(load, lines=tuple(lines))


def _turns(line: Line) -> list[Line]:
    """Return orders of a row's stacks: as it is first, equal cases kept together."""
    base = sorted(line.standings, key=lambda one: (one.footing.width, one.stack.cases[0].name))
    found = []
    for order in permutations(base):
        found.append(Line(tuple(order)))
        if len(found) >= MOST_TURNS:
            break
    return [*found, Line(tuple(reversed(base)))]


def _tip(vehicle: Vehicle, line: Line) -> int:
    """Return twice the moment about the middle of the floor; positive to the right wall."""
    x, moment = 0, 0
    for one in line.standings:
        for put in one.footing.puts:
            middle = 2 * (x + put.x) + put.way.dx
            moment += put.case.mass_g * (middle - vehicle.width_um)
        x += one.footing.width
    return moment
