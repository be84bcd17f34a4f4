"""A few rows set anew with one case more, so that no other row changes its number."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from itertools import combinations_with_replacement

from server.core.planner.construction.shelf import slimmest
from server.core.planner.problem.model import Line, Stack, Standing, Task, length_of
from server.core.planner.replanning.deepen import every_way
from server.core.planner.stacking.placements import footings
from server.core.shop.case import Case

SIZES = (2, 3, 4, 5, 6)
MOST_TRIES = 2_000  # stacks set down for one choice of depths
MOST_DEPTHS = 40  # choices of depths for one group of rows


def regroup(
    task: Task, lines: Sequence[Line], case: Case, width: int, *, locked: Collection[int], room: int
) -> list[Line] | None:
    """Return the rows with the case among as few rows as will do, grown by at most `room`."""
    alone = footings(task, ((case,),), ())
    for size in SIZES if alone else ():
        best: tuple[int, int, list[Line]] | None = None
        for start in range(len(lines) - size, -1, -1):
            group = lines[start : start + size]
            free = not any(start <= index < start + size for index in locked)
            if not (free and all(_may_take_part(line, case) for line in group)):
                continue
            most = length_of(group) + (room if best is None else best[0] - 1)
            made = _set_anew(task, group, Stack(alone), width, most)
            if made is not None:
                best = (length_of(made) - length_of(group), start, made)
        if best is not None:
            rows = list(lines)
            rows[best[1] : best[1] + size] = best[2]
            return rows
    return None


def _may_take_part(line: Line, case: Case) -> bool:
    """Return whether a row holds the case's drop, alone or with a neighbour, and no wishes."""
    return line.drops[0] <= case.drop <= line.drops[1] and not line.near and not line.words


def _set_anew(
    task: Task, group: Sequence[Line], more: Stack, width: int, most: int
) -> list[Line] | None:
    """Return the stacks of rows and one more in as many rows, the shortest up to a length."""
    stacks = [(more, -1)]
    for index, line in enumerate(group):
        stacks += [(every_way(task, one.stack), index) for one in line.standings]
    stacks.sort(key=lambda one: -min(wide * deep for wide, deep in one[0].outline))
    every = sorted({deep for stack, _ in stacks for _, deep in stack.outline})
    choices = sorted(combinations_with_replacement(every, len(group)), key=sum)
    fitting = [depths for depths in choices if length_of(group) <= sum(depths) <= most]
    # The deepest row stays the deepest: most cases then keep their row.
    ranked = sorted(range(len(group)), key=lambda index: group[index].depth)
    bands = [line.drops for line in group]
    for chosen in fitting[:MOST_DEPTHS]:
        deep_of = dict(zip(ranked, chosen, strict=True))
        found = _deal(stacks, [deep_of[index] for index in range(len(group))], bands, width)
        if found is not None:
            return found
    return None


def _deal(
    stacks: Sequence[tuple[Stack, int]],
    depths: Sequence[int],
    bands: Sequence[tuple[int, int]],
    width: int,
) -> list[Line] | None:
    """Deal stacks to rows of these depths and drops, each to its old row first if it fits there."""
    free = [width] * len(depths)
    rows: list[list[Standing]] = [[] for _ in depths]
    tries = MOST_TRIES

    def deal(number: int) -> bool:
        nonlocal tries
        if number == len(stacks):
            return True
        stack, home = stacks[number]
        for row in sorted(range(len(depths)), key=lambda one: one != home):
            low, high = bands[row]
            slim = slimmest(stack, depths[row])
            if not (low <= stack.drops[0] and stack.drops[1] <= high):
                continue
            if slim is None or slim.width > free[row] or tries <= 0:
                continue
            tries -= 1
            free[row] -= slim.width
            rows[row].append(Standing(stack, slim))
            if deal(number + 1):
                return True
            rows[row].pop()
            free[row] += slim.width
        return False

    return [Line(tuple(row)) for row in rows] if deal(0) and all(rows) else None
