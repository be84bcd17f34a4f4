"""Which row is worth most: a bounded knapsack for each band and depth, and all that come close."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from server.core.planner.column_generation.row_problem import Band, Pattern, Problem

if TYPE_CHECKING:
    from numpy.typing import NDArray

MOST_WIDTHS = 30_000
NO_GAIN = 1e-9


@dataclass(frozen=True)
class Item:
    """A kind (or a pair) as it stands in a row of one depth."""

    kinds: tuple[int, ...]
    width: int
    most: int
    exact: bool  # it is as deep as the row


class Pricer:
    """The knapsacks of one band."""

    def __init__(self, problem: Problem, number: int) -> None:
        self.number = number
        self.band: Band = problem.bands[number]
        self.by_depth: dict[int, list[Item]] = {}
        outlines: list[tuple[tuple[int, ...], tuple[tuple[int, int], ...], int]] = [
            ((index,), kind.outline, kind.count)
            for index, kind in enumerate(problem.kinds)
            if problem.admits(self.band, kind)
        ]
        for pair in problem.pairs:
            first, second = problem.kinds[pair.first], problem.kinds[pair.second]
            if problem.admits(self.band, first) and problem.admits(self.band, second):
                count = min(first.count, second.count, pair.most)
                outlines.append(((pair.first, pair.second), pair.outline, count))
        length = problem.lengths[self.band.room]
        depths = sorted({d for _, outline, _ in outlines for _, d in outline if d <= length})
        for depth in depths:
            items = []
            for kinds, outline, count in outlines:
                slim = min(((w, d) for w, d in outline if d <= depth), default=None)
                if slim is not None and slim[0] <= self.band.width:
                    most = min(count, self.band.width // slim[0])
                    items.append(Item(kinds, slim[0], most, slim[1] == depth))
            if any(item.exact for item in items):
                self.by_depth[depth] = items
        self._lay_out_widths()

    def _lay_out_widths(self) -> None:
        """List the sums of widths that rows can have; other widths need no column of the table."""
        sums = {0}
        # Kinds of one width stand side by side too: what counts is all of that width at a depth.
        chunks: Counter[int] = Counter()
        for items in self.by_depth.values():
            alike: Counter[int] = Counter()
            for item in items:
                alike[item.width] += item.most
            chunks |= alike
        for width, most in sorted(chunks.items()):
            for _ in range(min(most, self.band.width // width)):
                more = {s + width for s in sums if s + width <= self.band.width} - sums
                if not more or len(sums) > MOST_WIDTHS:
                    break
                sums |= more
        # With a list cut short some rows are not seen, and prices prove nothing.
        self.whole = len(sums) <= MOST_WIDTHS
        self.widths: NDArray[np.int64] = np.array(sorted(sums), dtype=np.int64)
        self._before: dict[int, NDArray[np.int64]] = {}

    def _shift(self, width: int) -> NDArray[np.int64]:
        """Return, for each width, the place of the widest sum left of it by `width`, or -1."""
        if width not in self._before:
            self._before[width] = np.searchsorted(self.widths, self.widths - width, "right") - 1
        return self._before[width]

    def best(self, depth: int, duals: Sequence[float]) -> tuple[float, dict[int, int]]:
        """Return the worth of the best row of a depth and how many of each item it holds."""
        items = self.by_depth[depth]
        worth: NDArray[np.float64] = np.zeros(len(self.widths))
        taken: list[tuple[int, int, NDArray[np.bool_], NDArray[np.int64]]] = []
        for index, item in enumerate(items):
            value = sum(duals[kind] for kind in item.kinds)
            if value <= NO_GAIN:
                continue
            left, chunk = item.most, 1
            while left > 0:
                part = min(chunk, left)
                left, chunk = left - part, chunk * 2
                shift = self._shift(part * item.width)
                offer = np.where(shift >= 0, worth[shift] + part * value, -1.0)
                better = offer > worth + NO_GAIN
                taken.append((index, part, better, shift))
                worth = np.where(better, offer, worth)
        place = len(self.widths) - 1
        counts: dict[int, int] = {}
        for index, part, better, shift in reversed(taken):
            if better[place]:
                counts[index] = counts.get(index, 0) + part
                place = int(shift[place])
        return float(worth[-1]), counts

    def pattern(self, depth: int, counts: dict[int, int]) -> Pattern:
        """Return counts of items as a pattern of kinds."""
        kinds: dict[int, int] = {}
        for index, count in counts.items():
            for kind in self.by_depth[depth][index].kinds:
                kinds[kind] = kinds.get(kind, 0) + count
        return Pattern(self.number, depth, tuple(sorted(kinds.items())))

    def all_worth(
        self, depth: int, duals: Sequence[float], least: float
    ) -> Iterator[dict[int, int]]:
        """Yield every full row of a depth that is worth at least `least`."""
        items = self.by_depth[depth]
        values = [sum(duals[kind] for kind in item.kinds) for item in items]
        order = sorted(range(len(items)), key=lambda i: (-values[i] / items[i].width, i))
        tails = self._tails(items, values, order)
        widths = self.widths
        counts: dict[int, int] = {}

        def full(left: int) -> bool:
            return not any(
                item.width <= left and counts.get(index, 0) < item.most
                for index, item in enumerate(items)
            )

        def walk(rank: int, left: int, worth: float) -> Iterator[dict[int, int]]:
            place = int(np.searchsorted(widths, left, "right")) - 1
            if worth + tails[rank][place] < least:
                return
            if rank == len(order):
                if any(items[i].exact for i in counts) and full(left):
                    yield dict(counts)
                return
            index = order[rank]
            item = items[index]
            for count in range(min(item.most, left // item.width), -1, -1):
                if count:
                    counts[index] = count
                else:
                    counts.pop(index, None)
                yield from walk(rank + 1, left - count * item.width, worth + count * values[index])

        yield from walk(0, self.band.width, 0.0)

    def _tails(
        self, items: Sequence[Item], values: Sequence[float], order: Sequence[int]
    ) -> list[NDArray[np.float64]]:
        """Return for each rank the best worth of the items from there on, by width left."""
        tails: list[NDArray[np.float64]] = [np.zeros(len(self.widths))]
        for index in reversed(order):
            worth, item = tails[-1], items[index]
            if values[index] > NO_GAIN:
                left, chunk = item.most, 1
                while left > 0:
                    part = min(chunk, left)
                    left, chunk = left - part, chunk * 2
                    shift = self._shift(part * item.width)
                    offer = np.where(shift >= 0, worth[shift] + part * values[index], -1.0)
                    worth = np.maximum(worth, offer)
            tails.append(worth)
        return tails[::-1]
