"""Best footprints for new cases: a master problem over rows and sizes, rows priced as needed.

Sets of up to K sizes, each need split among the sizes that hold it, least floor summed over
scenarios (a load in a vehicle, so many times). The bound is that of the linear programme; every
row whose reduced cost is within the gap is then in the integer master, which closes it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from math import ceil, gcd
from typing import Final

from server.core.advisor.questions import Footprint, Need
from server.core.planner.column_generation.linear_model import (
    INFINITE,
    Sheet,
    quiet_model,
    stop_when,
)
from server.core.planner.column_generation.pricing import Pricer
from server.core.planner.column_generation.row_problem import Kind, Pattern, make_problem
from server.core.planner.problem import deadline
from server.core.shop.vehicle import Vehicle

ROUNDS: Final = 120
MOST_ROWS: Final = 12_000
MOST_TIES: Final = 6
UM: Final = 1_000.0  # the programme counts in millimetres
SAME_UM: Final = 10  # floors that differ by less are equal: the solver's tolerance on a long floor

Stop = Callable[[], bool]


@dataclass(frozen=True, slots=True)
class Scenario:
    """A load in a vehicle without an end, so many times: outlines of its stacks, how many each."""

    name: str
    vehicle: Vehicle
    stacks: tuple[tuple[tuple[Footprint, ...], int], ...] = ()
    times: int = 1


@dataclass(frozen=True, slots=True)
class Sizes:
    """A set of footprints, how the needs are split among them, and the floor that this takes.

    `low_um`: no choice of so many sizes takes less floor over all scenarios.
    """

    footprints: tuple[Footprint, ...]
    split: tuple[tuple[int, ...], ...]  # by footprint: how many of each need
    high_um: int
    low_um: int

    @property
    def proven(self) -> bool:
        """Return whether no other choice takes less floor."""
        return self.low_um >= self.high_um


@dataclass
class Rows:
    """The rows of one scenario known so far, and the knapsacks that price more."""

    scenario: Scenario
    pricer: Pricer
    known: dict[Pattern, None] = field(default_factory=dict)
    first: int = 0  # number of its first demand row in the sheet


@dataclass
class Sizing:
    """One search; `most` sizes out of `tried`, for these needs in these scenarios."""

    needs: Sequence[Need]
    scenarios: Sequence[Scenario]
    tried: Sequence[Footprint]
    stop: Stop | None = None

    def __post_init__(self) -> None:
        """Lay out what rows may hold: the stacks of each scenario, then every footprint."""
        total = sum(need.count for need in self.needs)
        self.rows: list[Rows] = []
        for scenario in self.scenarios:
            kinds = [
                Kind(tuple(sorted(outline)), 1, 1, frozenset({0}), count)
                for outline, count in scenario.stacks
            ]
            kinds += [Kind(self._outline(one), 1, 1, frozenset({0}), total) for one in self.tried]
            problem = make_problem((scenario.vehicle,), kinds)
            rows = Rows(scenario, Pricer(problem, 0))
            for depth, items in rows.pricer.by_depth.items():
                for index, item in enumerate(items):
                    rows.known[rows.pricer.pattern(depth, {index: item.most})] = None
            self.rows.append(rows)
        self.usable = [
            all(self._enters(number, rows) for rows in self.rows)
            for number in range(len(self.tried))
        ]

    def _outline(self, footprint: Footprint) -> tuple[Footprint, ...]:
        turn = all(need.turn for need in self.needs)
        long, wide = footprint
        return tuple(sorted({(wide, long), (long, wide)})) if turn else ((wide, long),)

    def _enters(self, number: int, rows: Rows) -> bool:
        kind = len(rows.scenario.stacks) + number
        return any(kind in item.kinds for items in rows.pricer.by_depth.values() for item in items)

    def best(
        self, most: int, banned: Iterable[frozenset[int]] = (), seconds: float = 20.0
    ) -> Sizes | None:
        """Return the best set of up to `most` footprints; None: none holds every need."""
        end = deadline.now() + seconds
        banned = list(banned)
        bound, prices, whole = self._price_out(most, banned, end)
        if bound is None:
            return None
        first = self._choose(most, banned, [list(rows.known) for rows in self.rows], end)
        if first is None:
            return None
        sizes, least = first, bound if whole else 0.0
        if whole and sizes.high_um > ceil(least - 1e-3):
            near = self._near(prices, (sizes.high_um - least) / UM + 0.01)
            if near is not None:
                again = self._choose(most, banned, near, end)
                if again is not None:
                    low = max(least, min(float(again.low_um), float(sizes.high_um)))
                    sizes = again if again.high_um <= sizes.high_um else sizes
                    least = low
        low_um = self._rounded(least, sizes.high_um)
        return Sizes(sizes.footprints, sizes.split, sizes.high_um, low_um)

    def _rounded(self, least: float, high_um: int) -> int:
        """Return a bound rounded up to a sum of depths; the floor found where it meets that."""
        step = gcd(
            *(depth * rows.scenario.times for rows in self.rows for depth in rows.pricer.by_depth)
        )
        low = ceil((least - SAME_UM) / step) * step if step else 0
        return high_um if low >= high_um - SAME_UM else low

    def ties(self, best: Sizes, most: int, seconds: float = 10.0) -> list[Sizes]:
        """Return other sets of as many sizes that take exactly the same floor."""
        number = {one: index for index, one in enumerate(self.tried)}
        banned = [frozenset(number[one] for one in best.footprints)]
        found: list[Sizes] = []
        while len(found) < MOST_TIES and not (self.stop is not None and self.stop()):
            other = self.best(most, banned, seconds)
            if other is None or other.high_um > best.high_um:
                break
            found.append(other)
            banned.append(frozenset(number[one] for one in other.footprints))
        return found

    def _price_out(
        self, most: int, banned: Sequence[frozenset[int]], end: float
    ) -> tuple[float | None, list[float], bool]:
        """Return the bound in micrometres, the prices of all rows, and whether pricing ended."""
        prices: list[float] = []
        for _ in range(ROUNDS):
            sheet, _ = self._sheet(most, banned, [list(rows.known) for rows in self.rows])
            model = quiet_model()
            model.passModel(sheet.model(whole=False))
            model.run()
            if model.getInfo().primal_solution_status != 2:
                return None, [], True
            prices = list(model.getSolution().row_dual)
            bound = model.getInfo().objective_function_value * UM
            if not self._improve(prices):
                return bound, prices, all(rows.pricer.whole for rows in self.rows)
            if deadline.now() > end or (self.stop is not None and self.stop()):
                return bound, prices, False
        return 0.0, prices, False

    def _improve(self, prices: Sequence[float]) -> bool:
        """Add the best row of each depth of each scenario where it pays; return whether any did."""
        added = False
        for rows in self.rows:
            duals = self._duals(rows, prices)
            for depth in rows.pricer.by_depth:
                worth, counts = rows.pricer.best(depth, duals)
                if worth > depth / UM * rows.scenario.times + 1e-6:
                    pattern = rows.pricer.pattern(depth, counts)
                    if pattern not in rows.known:
                        rows.known[pattern] = None
                        added = True
        return added

    def _duals(self, rows: Rows, prices: Sequence[float]) -> list[float]:
        kinds = len(rows.scenario.stacks) + len(self.tried)
        return [max(0.0, prices[rows.first + kind]) for kind in range(kinds)]

    def _near(self, prices: Sequence[float], gap: float) -> list[list[Pattern]] | None:
        """Return every row whose reduced cost is within the gap; None: too many."""
        found: list[list[Pattern]] = []
        for rows in self.rows:
            duals = self._duals(rows, prices)
            near = dict(rows.known)
            for depth in rows.pricer.by_depth:
                least = depth / UM * rows.scenario.times - gap
                for counts in rows.pricer.all_worth(depth, duals, least):
                    near[rows.pricer.pattern(depth, counts)] = None
                    if len(near) > MOST_ROWS:
                        return None
            found.append(list(near))
        return found

    def _sheet(
        self, most: int, banned: Sequence[frozenset[int]], known: Sequence[Sequence[Pattern]]
    ) -> tuple[Sheet, dict[tuple[int, int], int]]:
        """Write demands, splits and sizes as rows; then sizes, splits and rows as columns."""
        sheet = Sheet()
        for rows in self.rows:
            rows.first = len(sheet.lower)
            for _, count in rows.scenario.stacks:
                sheet.row(float(count), INFINITE)
            for _ in self.tried:
                sheet.row(0.0, INFINITE)
        wanted = [sheet.row(float(need.count), float(need.count)) for need in self.needs]
        few = sheet.row(-INFINITE, float(most))
        bans = [sheet.row(-INFINITE, float(len(ban) - 1)) for ban in banned]
        uses: dict[tuple[int, int], int] = {}
        links = {
            (need, size): sheet.row(-INFINITE, 0.0)
            for need, one in enumerate(self.needs)
            for size, footprint in enumerate(self.tried)
            if self.usable[size] and one.inside(footprint)
        }
        for size in range(len(self.tried)):
            entries = [(few, 1.0)]
            entries += [(row, 1.0) for row, ban in zip(bans, banned, strict=True) if size in ban]
            entries += [
                (row, -float(self.needs[need].count))
                for (need, other), row in links.items()
                if other == size
            ]
            sheet.column(0.0, entries, 1.0)
        for (need, size), row in links.items():
            entries = [(wanted[need], 1.0), (row, 1.0)]
            entries += [(rows.first + len(rows.scenario.stacks) + size, -1.0) for rows in self.rows]
            uses[need, size] = sheet.column(0.0, entries, float(self.needs[need].count))
        for rows, patterns in zip(self.rows, known, strict=True):
            for pattern in patterns:
                price = pattern.depth / UM * rows.scenario.times
                entries = [(rows.first + kind, float(count)) for kind, count in pattern.counts]
                sheet.column(price, entries, INFINITE)
        return sheet, uses

    def _choose(
        self,
        most: int,
        banned: Sequence[frozenset[int]],
        known: Sequence[Sequence[Pattern]],
        end: float,
    ) -> Sizes | None:
        """Pick sizes, splits and rows in whole numbers among the rows given."""
        sheet, uses = self._sheet(most, banned, known)
        model = quiet_model()
        model.setOptionValue("mip_rel_gap", 0.0)
        model.setOptionValue("mip_abs_gap", 1e-4)
        left = max(0.2, end - deadline.now())
        model.setOptionValue("time_limit", deadline.wall_limit(left))
        model.passModel(sheet.model(whole=True))
        if self.stop is not None:
            stop_when(model, self.stop)
        model.run()
        info = model.getInfo()
        values = [round(value) for value in model.getSolution().col_value]
        if info.primal_solution_status != 2 or not values:
            return None
        split = {
            size: tuple(
                values[uses[need, size]] if (need, size) in uses else 0
                for need in range(len(self.needs))
            )
            for size in range(len(self.tried))
        }
        chosen = [size for size, counts in split.items() if any(counts)]
        at = len(self.tried) + len(uses)
        high = 0
        for rows, patterns in zip(self.rows, known, strict=True):
            for pattern in patterns:
                high += values[at] * pattern.depth * rows.scenario.times
                at += 1
        return Sizes(
            tuple(self.tried[size] for size in chosen),
            tuple(split[size] for size in chosen),
            high,
            max(0, ceil(info.mip_dual_bound * UM - 1e-3)),
        )
