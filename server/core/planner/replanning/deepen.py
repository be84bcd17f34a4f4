"""A row made deeper for one more case, so that no other row moves or changes its number."""

from __future__ import annotations

from collections.abc import Collection, Sequence

from server.core.planner.construction.insertion import taken_apart
from server.core.planner.construction.shelf import slimmest
from server.core.planner.problem.model import Line, Stack, Standing, Task
from server.core.planner.stacking.placements import footings
from server.core.shop.case import Case


def deepen_one(
    task: Task, lines: Sequence[Line], case: Case, width: int, *, locked: Collection[int], room: int
) -> list[Line] | None:
    """Return the rows with the case in the row that grows least, at most by `room`; or None."""
    best: tuple[int, int, Line] | None = None
    for index, line in enumerate(lines):
        low, high = line.drops
        if index in locked or not low <= case.drop <= high or line.near:
            continue
        wider = _remade(task, line, case, width)
        if wider is None:
            continue
        grown = wider.depth - line.depth
        if grown <= room and (best is None or grown < best[0]):
            best = (grown, index, wider)
    if best is None:
        return None
    rows = list(lines)
    rows[best[1]] = best[2]
    return rows


def _remade(task: Task, line: Line, case: Case, width: int) -> Line | None:
    """Return one row of a row's stacks and a case, as shallow as can be."""
    stacks = [every_way(task, one.stack) for one in line.standings]
    alone = footings(task, ((case,),), ())
    if not alone:
        return None
    stacks.append(Stack(alone))
    for depth in sorted({footing.depth for stack in stacks for footing in stack.footings}):
        slim = [slimmest(stack, depth) for stack in stacks]
        wide = sum(one.width for one in slim if one is not None)
        if None not in slim and wide <= width:
            return Line(
                tuple(
                    Standing(stack, one)
                    for stack, one in zip(stacks, slim, strict=True)
                    if one is not None
                )
            )
    return None


def every_way(task: Task, stack: Stack) -> Stack:
    """Return the same stack with every footing that the rules allow."""
    towers, riders = taken_apart(stack)
    ranked = sorted(riders, key=lambda case: (-case.length_um * case.width_um, case.code))
    return Stack(footings(task, towers, ranked) or stack.footings)
