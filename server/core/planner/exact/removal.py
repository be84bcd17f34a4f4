"""The smallest sets of cases to leave, of a small show: every multiset that loads is known."""

from __future__ import annotations

from collections.abc import Callable

from server.core.planner.exact.case_types import State
from server.core.planner.exact.search import ExactSearch, Rooms
from server.core.shop.case import Case


def cheapest_removal(
    search: ExactSearch, price: Callable[[Case], int]
) -> tuple[Rooms, list[Case]] | None:
    """Return the rows of what loads and the cases left, at the least sum of prices.

    Of two sets of one price the one with fewer cases is left, then the lighter one.
    """
    types = search.types
    full = list(types.cases(types.full))

    def rank(state: State) -> tuple[int, int, int]:
        kept = list(types.cases(state))
        total = sum(price(case) for case in full) - sum(price(case) for case in kept)
        return total, len(full) - len(kept), -sum(case.mass_g for case in kept)

    tables = search.shared_out(0)
    count_of = {state: count for count in range(len(tables) - 1, -1, -1) for state in tables[count]}
    if not count_of:
        return None
    best = min(count_of, key=rank)
    rooms = search.rooms(search.parts_of(count_of[best], best))
    placed = {case.code for lines in rooms for line in lines for case in line.cases}
    return rooms, [case for case in search.task.cases if case.code not in placed]
