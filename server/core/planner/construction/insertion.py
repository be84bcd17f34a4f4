"""Cases that are left over found room in rows that stand already: on a lid, or in the slack."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from dataclasses import replace

from server.core.planner.construction.shelf import slimmest
from server.core.planner.problem.model import Line, Put, Stack, Standing, Task
from server.core.planner.stacking.lid_rules import may_ride, takes_casters
from server.core.planner.stacking.placements import footings
from server.core.shop.case import Case


def insert_cases(
    task: Task,
    lines: Sequence[Line],
    cases: Iterable[Case],
    width: int,
    *,
    locked: Collection[int] = (),
) -> tuple[list[Line], list[Case]]:
    """Put cases into rows without making any deeper; return the rows and what found no room.

    Rows whose place in `lines` is locked are left as they are.
    """
    rows = list(lines)
    left = []
    for case in cases:
        for index in range(len(rows)):
            if index in locked or not _drops_allow(rows, index, case):
                continue
            changed = with_case(task, rows[index], case, width)
            if changed is not None:
                rows[index] = changed
                break
        else:
            left.append(case)
    return rows, left


def _drops_allow(rows: Sequence[Line], index: int, case: Case) -> bool:
    """Return whether a case's drop fits a row: rows stand from late drops to early ones."""
    low, high = rows[index].drops
    low, high = min(low, case.drop), max(high, case.drop)
    behind = min((rows[i].drops[0] for i in range(index)), default=high)
    ahead = max((rows[i].drops[1] for i in range(index + 1, len(rows))), default=low)
    return high - low <= 1 and high <= behind and low >= ahead


def with_case(task: Task, line: Line, case: Case, width: int) -> Line | None:
    """Return the row with one more case in it, on a lid if possible, else in its slack."""
    return _on_lid(task, line, case) or _in_slack(task, line, case, width)


def _in_slack(task: Task, line: Line, case: Case, width: int) -> Line | None:
    found = footings(task, ((case,),), ())
    slim = slimmest(Stack(found), line.depth) if found else None
    if slim is None or line.width + slim.width > width:
        return None
    return Line((*line.standings, Standing(Stack(found), slim)))


def _on_lid(task: Task, line: Line, case: Case) -> Line | None:
    if case.code in task.tied:
        return None
    for index, one in enumerate(line.standings):
        towers, riders = taken_apart(one.stack)
        if any(lower.code in task.tied for lower in one.stack.cases):
            continue
        options = []
        if may_ride(case, task.rules):
            options.append((towers, [*riders, case]))
        if not riders and len(towers) == 1 and takes_casters(towers[0][-1]):
            options.append(([(*towers[0], case)], []))
        for more_towers, more_riders in options:
            ranked = sorted(more_riders, key=lambda c: (-c.length_um * c.width_um, c.code))
            found = footings(task, more_towers, ranked)
            slim = slimmest(Stack(found), line.depth) if found else None
            if slim is not None and slim.width <= one.footing.width:
                standings = list(line.standings)
                standings[index] = replace(one, stack=Stack(found), footing=slim)
                return Line(tuple(standings))
    return None


def taken_apart(stack: Stack) -> tuple[list[tuple[Case, ...]], list[Case]]:
    """Return the towers and the riders of a stack, as they went into it."""
    puts = stack.footings[0].puts
    towers: list[list[Put]] = [[put] for put in puts if not put.on]
    riders = []
    for put in sorted((put for put in puts if put.on), key=lambda one: one.z):
        tower = next((one for one in towers if put.on == (one[-1].case.code,)), None)
        if tower is not None and _on_casters(put, tower[-1]):
            tower.append(put)
        else:
            riders.append(put.case)
    return [tuple(put.case for put in tower) for tower in towers], riders


def _on_casters(upper: Put, lower: Put) -> bool:
    same = (upper.x, upper.y, upper.way.dx, upper.way.dy)
    return takes_casters(lower.case) and same == (lower.x, lower.y, lower.way.dx, lower.way.dy)
