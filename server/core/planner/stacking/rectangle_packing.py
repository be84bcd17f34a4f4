"""Where riders find room on a run of lids, whatever their order: every packing is looked at.

A packing pushed towards the row's line and one wall has every rider at a sum of riders' sides from
a lid's edge. So the sums cut the lids into cells; cell by cell a rider stands with its corner
there or the cell stays empty, and no more may stay empty than the riders leave over.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator, Sequence
from functools import lru_cache

from server.core.planner.stacking.lid_rules import Box, Sides

MOST_SUMS = 60  # cells a side, above which nothing is said
MOST_STEPS = 4_000
MOST_DEEP = 400  # cells gone through on one way, far inside what the interpreter allows


class TooFine(Exception):
    """More cells or more steps than the search is willing to look at."""


def merged(lids: Sides) -> Sides:
    """Return lids side by side as one where they are equally deep."""
    found: list[tuple[int, int]] = []
    for width, depth in lids:
        if found and found[-1][1] == depth:
            found[-1] = (found[-1][0] + width, depth)
        else:
            found.append((width, depth))
    mirror = tuple(reversed(found))
    return min(tuple(found), mirror)


@lru_cache(maxsize=200_000)
def may_fit(profile: Sides, riders: tuple[tuple[Sides, int], ...]) -> bool:
    """Return whether riders (with their number) fit on lids; where nothing is known, that they do.

    Masses and the number of lids under a rider are not asked.
    """
    try:
        return next(packings(profile, riders), None) is not None
    except TooFine:
        return True


def packings(
    lids: Sides, riders: Sequence[tuple[Sides, int]], starts: Sequence[int] = ()
) -> Iterator[tuple[Box, ...]]:
    """Yield packings of riders on lids, boxes in the order of the riders; raises TooFine.

    `starts`: further places across at which a rider may begin, to share its mass out.
    """
    area = sum(width * depth for width, depth in lids)
    spare = area - sum(n * min(dx * dy for dx, dy in sides) for sides, n in riders)
    if spare < 0:
        return
    yield from _Packer(lids, riders, starts).walk(spare)


class _Packer:
    def __init__(
        self, lids: Sides, riders: Sequence[tuple[Sides, int]], starts: Sequence[int]
    ) -> None:
        self.lids, self.riders = lids, riders
        sizes = {side for sides, n in riders if n for pair in sides for side in pair}
        edges, wall = [0], 0
        for width, _ in lids:
            wall += width
            edges.append(wall)
        self.xs = _sums([*edges, *(start for start in starts if start > 0)], sizes, wall)
        self.ys = _sums([0], sizes, max(depth for _, depth in lids))
        if len(self.xs) > MOST_SUMS or len(self.ys) > MOST_SUMS:
            raise TooFine
        self.column = {x: i for i, x in enumerate(self.xs)}
        self.line = {y: i for i, y in enumerate(self.ys)}
        self.high = len(self.ys)
        self.corners = list(self._cells())
        self.steps = MOST_STEPS

    def _in(self, x: int, y: int, dx: int, dy: int) -> bool:
        start = 0
        for width, depth in self.lids:
            if x < start + width and x + dx > start and y + dy > depth:
                return False
            start += width
        return x + dx <= start

    def _covered(self, x: int, y: int, dx: int, dy: int) -> int:
        """Return the cells that a box covers as bits."""
        first, low = self.column[x], self.line[y]
        last = bisect_left(self.xs, x + dx, first)
        top = bisect_left(self.ys, y + dy, low)
        strip = (1 << top - low) - 1 << low
        bits = 0
        for column in range(first, last):
            bits |= strip << column * self.high
        return bits

    def _cells(self) -> Iterator[tuple[int, int, int]]:
        """Yield the corner of each cell on a lid, and its area up to the next sum or the edge."""
        start = 0
        for width, depth in self.lids:
            end = start + width
            for column in range(bisect_left(self.xs, start), bisect_left(self.xs, end)):
                x = self.xs[column]
                wide = min([end, *self.xs[column + 1 : column + 2]]) - x
                for line in range(bisect_left(self.ys, depth)):
                    y = self.ys[line]
                    yield x, y, wide * (min([depth, *self.ys[line + 1 : line + 2]]) - y)
            start = end

    def walk(self, spare: int) -> Iterator[tuple[Box, ...]]:
        """Yield each packing in which no more than `spare` stays empty."""
        kinds = sorted(range(len(self.riders)), key=lambda i: -max(map(max, self.riders[i][0])))
        left = [n for _, n in self.riders]
        least = [min(dx * dy for dx, dy in sides) for sides, _ in self.riders]
        placed: list[list[Box]] = [[] for _ in self.riders]

        def step(corner: int, taken: int, spare: int, deep: int) -> Iterator[tuple[Box, ...]]:
            self.steps -= 1
            if self.steps < 0 or deep > MOST_DEEP:
                raise TooFine
            if not any(left):
                yield tuple(box for boxes in placed for box in boxes)
                return
            while corner < len(self.corners):
                x, y, area = self.corners[corner]
                if not taken >> self.column[x] * self.high + self.line[y] & 1:
                    break
                corner += 1
            else:
                return
            for kind in kinds:
                if not left[kind]:
                    continue
                for dx, dy in self.riders[kind][0]:
                    over = dx * dy - least[kind]
                    if over > spare or not self._in(x, y, dx, dy):
                        continue
                    bits = self._covered(x, y, dx, dy)
                    if bits & taken:
                        continue
                    left[kind] -= 1
                    placed[kind].append((x, y, dx, dy))
                    yield from step(corner + 1, taken | bits, spare - over, deep + 1)
                    placed[kind].pop()
                    left[kind] += 1
            if area <= spare:
                yield from step(corner + 1, taken, spare - area, deep + 1)

        yield from step(0, 0, spare, 0)


def _sums(starts: Sequence[int], sizes: set[int], limit: int) -> list[int]:
    """Return every start plus sums of sizes, below a limit."""
    found = {start for start in starts if start < limit}
    waiting = [*found]
    while waiting and len(found) <= MOST_SUMS:
        start = waiting.pop()
        for size in sizes:
            if start + size < limit and start + size not in found:
                found.add(start + size)
                waiting.append(start + size)
    return sorted(found)
