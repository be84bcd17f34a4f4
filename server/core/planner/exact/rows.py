"""Every row of a small show: piles side by side within the width of one vehicle."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field
from itertools import pairwise, permutations

from server.core.planner.exact.case_types import CaseTypes, State
from server.core.planner.exact.pile_rules import Pile
from server.core.planner.problem.across import order_across
from server.core.planner.problem.pair_rules import may_be_beside
from server.core.shop.vehicle import Vehicle

MOST_MOMENTS = 5
MOST_OPTIONS = 60  # ways to make one row of one multiset of cases


@dataclass(frozen=True, slots=True)
class RowOption:
    """One way to set a multiset of cases in a row; piles in their order from the left wall."""

    depth: int
    width: int
    moment: int
    piles: tuple[Pile, ...]


EMPTY = RowOption(0, 0, 0, ())


@dataclass
class RowFinder:
    """Lists the rows of one vehicle by the multiset of their cases."""

    room: Vehicle
    types: CaseTypes
    piles: dict[State, list[Pile]]
    stop: Callable[[], bool]
    keep_all: bool = False
    allowed: Callable[[RowOption], bool] = lambda _: True
    complete: bool = True
    gap: int = 0  # the greatest step between the moments of rows that differ in nothing else
    found: dict[State, list[RowOption]] = field(default_factory=dict)

    def find(self) -> dict[State, list[RowOption]]:
        """Return rows by the multiset of their cases; a multiset that fills none is not there."""
        types = self.types
        by_first: dict[int, list[State]] = defaultdict(list)
        for state in sorted(self.piles):
            by_first[self._first(state)].append(state)
        self.cases = [group[0] for group in types.members]
        drops = [case.drop for case in self.cases]
        self.found = {0: [EMPTY]}
        for state in range(1, types.states):
            if state % 256 == 0 and self.stop():
                self.complete = False
                break
            digits = types.digits(state)
            there = [drop for drop, n in zip(drops, digits, strict=True) if n]
            if max(there) - min(there) > 1:
                continue
            options = list(self._options(state, digits, by_first[self._first(state)]))
            if options:
                self.found[state] = self._kept(options)
        del self.found[0]
        self.found = {
            state: kept
            for state, options in self.found.items()
            if (kept := [one for option in options if (one := self._ordered(option))])
        }
        return self.found

    def _first(self, state: State) -> int:
        return next(i for i, n in enumerate(self.types.digits(state)) if n)

    def _options(
        self, state: State, digits: tuple[int, ...], among: Iterable[State]
    ) -> Iterator[RowOption]:
        """Yield each pile that holds the first type beside each row of the rest."""
        for part in among:
            if part > state:
                break
            rest = self.found.get(state - part)
            if rest is None:
                continue
            inside = self.types.digits(part)
            if any(a > b for a, b in zip(inside, digits, strict=True)):
                continue
            for pile in self.piles[part]:
                for option in rest:
                    width = pile.width + option.width
                    if width <= self.room.width_um:
                        yield RowOption(
                            max(pile.depth, option.depth),
                            width,
                            pile.moment + option.moment,
                            (pile, *option.piles),
                        )

    def _kept(self, options: list[RowOption]) -> list[RowOption]:
        """Return the rows that may matter to a plan of this vehicle."""
        if self.keep_all:
            self.complete &= len(options) <= 40 * MOST_OPTIONS
            return options[: 40 * MOST_OPTIONS]
        if self.room.axles is None and not self.room.narrow:
            options.sort(key=lambda one: (one.width, one.depth))
            kept: list[RowOption] = []
            for one in options:
                if not kept or one.depth < kept[-1].depth:
                    kept.append(one)
            return kept
        groups: dict[object, list[RowOption]] = defaultdict(list)
        for one in options:
            floors = tuple(sorted((pile.width, pile.depth) for pile in one.piles))
            key: object = floors if self.room.narrow else one.depth
            groups[key].append(one)
        found = [one for group in groups.values() for one in self._spread(group)]
        self.complete &= len(found) <= MOST_OPTIONS
        return found[:MOST_OPTIONS]

    def _spread(self, group: list[RowOption]) -> list[RowOption]:
        """Return the narrowest row, and the least and greatest moments among several."""
        if self.room.axles is None:
            return [min(group, key=lambda one: (one.width, one.depth))]
        by_moment: dict[int, RowOption] = {}
        for one in sorted(group, key=lambda one: one.width):
            by_moment.setdefault(one.moment, one)
        ranked = [by_moment[moment] for moment in sorted(by_moment)]
        if len(ranked) > MOST_MOMENTS:
            step = (len(ranked) - 1) / (MOST_MOMENTS - 1)
            ranked = [ranked[round(i * step)] for i in range(MOST_MOMENTS)]
        steps = (b.moment - a.moment for a, b in pairwise(ranked))
        self.gap = max(self.gap, *steps, 0)
        return ranked

    def _ordered(self, option: RowOption) -> RowOption | None:
        """Return the row with its piles in an order that neighbours allow, or None."""
        for order in permutations(option.piles):
            row = RowOption(option.depth, option.width, option.moment, order)
            if self._neighbours_agree(row) and self.allowed(row):
                return row
        return None

    def _neighbours_agree(self, row: RowOption) -> bool:
        sides = [[self.cases[spot.type] for spot in pile.spots] for pile in row.piles]
        return all(
            may_be_beside(one, other)
            for left, right in pairwise(sides)
            for one in left
            for other in right
        )


def across_order(room: Vehicle, start: int, piles: tuple[Pile, ...]) -> tuple[Pile, ...] | None:
    """Return piles in an order in which each keeps to the floor width that it has, or None."""
    order = order_across(room, start, [(one.width, one.depth) for one in piles])
    return None if order is None else tuple(piles[i] for i in order)
