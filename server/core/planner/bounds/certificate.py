"""Dual values of the certificate's relaxation, by column generation, rounded to whole numbers.

The solver only guesses: what it says is worth nothing until `core/proof/check` has recomputed it.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from math import ceil, floor

from server.core.planner.column_generation.linear_model import INFINITE, Sheet, quiet_model
from server.core.proof.check import Duals
from server.core.proof.relaxation import UM2_PER_MM2, Item, Relaxation

SCALE = 1_000_000  # dual values per micrometre
ROUNDS = 80
UM_PER_M = 1e6
G_PER_KG = 1000
CUT = 1 - 1e-7  # what rounding in floating point may have added
LEAST_GAIN = 1e-7  # reduced cost, as a share of a metre

Prices = Sequence[float]


@dataclass(frozen=True)
class Group:
    """Items that the relaxation cannot tell apart."""

    item: Item
    codes: tuple[str, ...]


def groups_of(relaxation: Relaxation) -> list[Group]:
    """Return the items in groups."""
    found: dict[Item, list[Item]] = defaultdict(list)
    for item in relaxation.items:
        found[replace(item, code="")].append(item)
    return [Group(some[0], tuple(item.code for item in some)) for some in found.values()]


def find_duals(relaxation: Relaxation, stop: Callable[[], bool]) -> Duals:
    """Return whole dual values; the bound that they prove is for the checker to say."""
    master = _Master(relaxation)
    for _ in range(ROUNDS):
        if stop() or not master.priced():
            break
    return master.duals()


def area_duals(relaxation: Relaxation) -> Duals:
    """Return the dual values of areas alone: every lid at the price of floor."""
    values = {
        item.code: min(wide * deep for wide, deep in item.ways) * SCALE // relaxation.width
        for item in relaxation.items
    }
    price = -(-UM2_PER_MM2 * SCALE // relaxation.width)
    return Duals(SCALE, values, dict.fromkeys(relaxation.drops, price), {})


class _Master:
    """The restricted master problem: rows of patterns, riders off the floor, lids shared."""

    def __init__(self, relaxation: Relaxation) -> None:
        self.relaxation = relaxation
        self.groups = groups_of(relaxation)
        sheet = Sheet()
        self.cover = [sheet.row(float(len(group.codes)), INFINITE) for group in self.groups]
        self.area, self.mass = self._lid_rows(sheet)
        often = float(len(relaxation.show.vehicles))
        self.shared = {
            pool: sheet.row(-INFINITE, often) for pool in relaxation.pools if len(pool) > 1
        }
        for number, group in enumerate(self.groups):
            item = group.item
            depth = min(deep for _, deep in item.ways)
            sheet.column(depth / UM_PER_M, [(self.cover[number], 1.0)], INFINITE)
            if item.optional:
                entries = [
                    (self.cover[number], 1.0),
                    (self.area[item.drop], item.area / UM_PER_M),
                    (self.mass[item.drop], item.mass / G_PER_KG),
                ]
                sheet.column(0.0, entries, INFINITE)
            if item.optional and item.lid_mass and item.drop - 1 in self.area:
                for entries in self._shifts(item):
                    sheet.column(0.0, entries, float(len(group.codes)))
        self.model = quiet_model()
        self.model.passModel(sheet.model(whole=False))
        self.known: set[tuple[object, ...]] = set()

    def _lid_rows(self, sheet: Sheet) -> tuple[dict[int, int], dict[int, int]]:
        """Write for each drop what its lids offer: no more area and mass stands on them."""
        offered: dict[int, list[int]] = {drop: [0, 0] for drop in self.relaxation.drops}
        for item in self.relaxation.items:
            offered[item.drop][0] += item.lid_area
            offered[item.drop][1] += item.lid_mass
        area = {d: sheet.row(-INFINITE, one[0] / UM_PER_M) for d, one in offered.items()}
        mass = {d: sheet.row(-INFINITE, one[1] / G_PER_KG) for d, one in offered.items()}
        return area, mass

    def _shifts(self, item: Item) -> list[list[tuple[int, float]]]:
        """Return the entries that let a lid serve the drop before its own: its area, its mass."""
        return [
            [(rows[item.drop - 1], -offer), (rows[item.drop], offer)]
            for rows, offer in (
                (self.area, item.lid_area / UM_PER_M),
                (self.mass, item.lid_mass / G_PER_KG),
            )
        ]

    def _gains(self, item: Item, prices: Prices) -> list[tuple[float, list[tuple[int, float]]]]:
        """Return each shift of a lid that pays at these prices, with what it gains."""
        found = []
        for entries in self._shifts(item):
            gain = sum(prices[row] * value for row, value in entries)
            if gain > 0:
                found.append((gain, entries))
        return found

    def priced(self) -> bool:
        """Solve, and add the best row of each class and depth; False where none improves."""
        self.model.run()
        prices = list(self.model.getSolution().row_dual)
        added = False
        for pool in self.relaxation.pools:
            once = -prices[self.shared[pool]] if pool in self.shared else 0.0
            worths = {
                n: prices[self.cover[n]] + sum(gain for gain, _ in self._lids(n, pool, prices))
                for n, group in enumerate(self.groups)
                if group.item.drop in pool
            }
            for depth, counts, worth in self._rows(worths):
                if worth - once > depth / UM_PER_M + LEAST_GAIN:
                    lids = [
                        (count, entries)
                        for n, count in counts.items()
                        for _, entries in self._lids(n, pool, prices)
                    ]
                    added |= self._add(pool, depth, counts, lids)
        return added

    def _lids(
        self, number: int, pool: tuple[int, ...], prices: Prices
    ) -> list[tuple[float, list[tuple[int, float]]]]:
        """Return the shifts that pay for a lid which stands in a shared row with its later drop."""
        item = self.groups[number].item
        if item.optional or not item.lid_mass or item.drop == pool[0]:
            return []
        return self._gains(item, prices)

    def _rows(self, worths: Mapping[int, float]) -> Iterator[tuple[int, Mapping[int, int], float]]:
        """Yield the row of most worth for each depth."""
        for depth in sorted({deep for n in worths for _, deep in self.groups[n].item.ways}):
            states: list[tuple[int, float, tuple[int, ...]]] = [(0, 0.0, ())]
            for number, price in worths.items():
                width = self.groups[number].item.width_at(depth)
                if width is None or price <= 0:
                    continue
                for _ in range(min(len(self.groups[number].codes), self.relaxation.width // width)):
                    more = [
                        (used + width, worth + price, (*chosen, number))
                        for used, worth, chosen in states
                        if used + width <= self.relaxation.width
                    ]
                    states = _undominated(states + more)
            _, worth, chosen = states[-1]
            counts = {number: chosen.count(number) for number in dict.fromkeys(chosen)}
            yield depth, counts, worth

    def _add(
        self,
        pool: tuple[int, ...],
        depth: int,
        counts: Mapping[int, int],
        lids: Sequence[tuple[int, list[tuple[int, float]]]],
    ) -> bool:
        entries: dict[int, float] = {self.cover[n]: float(count) for n, count in counts.items()}
        if pool in self.shared:
            entries[self.shared[pool]] = 1.0
        for count, shift in lids:
            for row, value in shift:
                entries[row] = entries.get(row, 0.0) + count * value
        key = (pool, depth, tuple(sorted(entries.items())))
        if key in self.known:
            return False
        self.known.add(key)
        rows, values = list(entries), list(entries.values())
        self.model.addCol(depth / UM_PER_M, 0.0, INFINITE, len(rows), rows, values)
        return True

    def duals(self) -> Duals:
        """Return the prices as whole numbers: cases down, lids up."""
        self.model.run()
        prices = list(self.model.getSolution().row_dual)
        worth = {
            code: max(0, floor(prices[number] * UM_PER_M * SCALE * CUT))
            for number, group in enumerate(self.groups)
            for code in group.codes
        }
        area = {d: max(0, ceil(-prices[row] * SCALE)) for d, row in self.area.items()}
        per_gram = UM_PER_M * SCALE / G_PER_KG
        mass = {d: max(0, ceil(-prices[row] * per_gram)) for d, row in self.mass.items()}
        return Duals(SCALE, worth, area, mass)


def _undominated(
    states: list[tuple[int, float, tuple[int, ...]]],
) -> list[tuple[int, float, tuple[int, ...]]]:
    kept: list[tuple[int, float, tuple[int, ...]]] = []
    for one in sorted(states, key=lambda each: (each[0], -each[1])):
        if not kept or one[1] > kept[-1][1] + 1e-12:
            kept.append(one)
    return kept
