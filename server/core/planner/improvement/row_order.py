"""The order of rows in a vehicle: drops, wishes, axles, narrow floors, then what reads well."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from itertools import permutations

from server.core.base.units import within
from server.core.planner.improvement.balance import even_out
from server.core.planner.improvement.lengthen import kept_by_axles
from server.core.planner.improvement.moment_order import moment_order
from server.core.planner.improvement.neighbours import agree
from server.core.planner.improvement.reading_order import reading_order
from server.core.planner.improvement.violation import broken
from server.core.planner.problem.across import settled_across
from server.core.planner.problem.model import Line, Load
from server.core.shop.vehicle import Vehicle

MOST_SWAPS = 40  # passes over all pairs of rows
MOST_TRIES = 60_000  # rows looked at in exchanges: what is left is for the local search
MOST_TURNS = 24  # orders of one row's stacks that are tried
MOST_PASSES = 4  # over the rows, until the sides are as even as turning one row makes them


def order_rows(
    vehicle: Vehicle, lines: Sequence[Line], stop: Callable[[], bool] = lambda: False
) -> tuple[Line, ...] | None:
    """Return the rows in a lawful order, or None when none was found.

    Where no order of the rows keeps the axles, the stacks stand in other rows, and more of them.
    """
    if vehicle.narrow and broken(Load(vehicle, tuple(lines))) <= 0:
        return tuple(lines)  # as given, each row in a zone that is wide enough
    read = Load(vehicle, tuple(sorted(lines, key=reading_order)))
    best = broken(read)
    if best > 0:  # axles, mostly: an even load is the one that keeps them
        read = even_out(read)
        best = broken(read)
    if best > 0 and vehicle.axles is not None:
        found = moment_order(read)
        if found is None:
            found = kept_by_axles(read, stop)
        if found is not None:
            read = replace(read, lines=found)
            best = broken(read)
    rows = [*read.lines] if best <= 0 else _exchanged(read, best)
    return None if rows is None else tuple(rows)


def _exchanged(load: Load, best: float) -> list[Line] | None:
    """Exchange rows as long as the order breaks the rules by less; None: some stay broken."""
    if load.length > load.vehicle.length_um or not _may_help(load):
        return None
    rows = _settled_across(load)
    tries = iter(range(MOST_TRIES // max(1, len(rows))))
    best = min(best, broken(replace(load, lines=tuple(rows))))
    for _ in range(MOST_SWAPS):
        improved = False
        for i in range(len(rows)):
            for j in range(i + 1, len(rows)):
                if rows[i].drops != rows[j].drops or next(tries, None) is None:
                    break
                tried = [*rows]
                tried[i], tried[j] = tried[j], tried[i]
                if load.vehicle.narrow:
                    tried = _settled_across(replace(load, lines=tuple(tried)))
                now = broken(replace(load, lines=tuple(tried)))
                if now < best - 1e-9:
                    rows, best, improved = tried, now, True
        if best <= 0 or not improved:
            break
    return rows if best <= 0 else None


def _may_help(load: Load) -> bool:
    """Return whether an order other than that of drops and wishes can be better at all."""
    bound = load.vehicle.axles is not None or bool(load.vehicle.narrow)
    heavy = not within(load.mass_g, load.vehicle.payload_g, load.parts)
    return not heavy and (bound or any(line.words or line.near for line in load.lines))


def _settled_across(load: Load) -> list[Line]:
    """Return rows with their stacks in an order that keeps clear of narrow stretches."""
    rows, start = [], 0
    for line in load.lines:
        settled = settled_across(load.vehicle, start, line) if load.vehicle.narrow else line
        rows.append(line if settled is None else settled)
        start += line.depth
    return rows


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
    turns = [*found, Line(tuple(reversed(base)))]
    return [one for one in turns if agree(one)] or [line]


def _tip(vehicle: Vehicle, line: Line) -> int:
    """Return twice the moment about the middle of the floor; positive to the right wall."""
    x, moment = 0, 0
    for one in line.standings:
        for put in one.footing.puts:
            middle = 2 * (x + put.x) + put.way.dx
            moment += put.case.mass_g * (middle - vehicle.width_um)
        x += one.footing.width
    return moment
