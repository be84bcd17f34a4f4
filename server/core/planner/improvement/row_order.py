"""The order of rows in a vehicle: drops, wishes, axles, narrow floors, then what reads well."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import permutations

from server.core.planner.improvement.balance import even_out, look
from server.core.planner.improvement.violation import broken
from server.core.planner.problem.model import Line, Load
from server.core.shop.vehicle import Vehicle

MOST_SWAPS = 40  # passes over all pairs of rows
MOST_TURNS = 24  # orders of one row's stacks that are tried
MOST_PASSES = 4  # over the rows, until the sides are as even as turning one row makes them


def order_rows(vehicle: Vehicle, lines: Sequence[Line]) -> tuple[Line, ...] | None:
    """Return the rows in a lawful order, or None when none was found."""
    read = Load(vehicle, tuple(sorted(lines, key=_reading_order)))
    best = broken(read)
    if best > 0:  # axles, mostly: an even load is the one that keeps them
        read = even_out(read)
        best = broken(read)
    rows = list(read.lines)
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
    words = sorted(line.words)
    return (-low, -high, place, words, -line.depth, look(line), -line.mass_g, line.cases[0].code)


def balance_sides(load: Load) -> Load:
    """Return the same rows with each row's stacks in the order that evens out the two sides."""
    choices = [list(dict.fromkeys(_turns(line))) for line in load.lines]
    tips = [[_tip(load.vehicle, one) for one in options] for options in choices]
    chosen: list[int] = []
    tipped = 0
    for mine in tips:
        best = min(range(len(mine)), key=lambda i: abs(tipped + mine[i]))
        tipped += mine[best]
        chosen.append(best)
    for _ in range(MOST_PASSES):
        before = abs(tipped)
        for row, mine in enumerate(tips):
            rest = tipped - mine[chosen[row]]
            best = min(range(len(mine)), key=lambda i: abs(rest + mine[i]))
            if abs(rest + mine[best]) < abs(tipped):
                chosen[row], tipped = best, rest + mine[best]
        if abs(tipped) == before:
            break
    lines = [options[i] for options, i in zip(choices, chosen, strict=True)]
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
