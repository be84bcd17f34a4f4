"""The rows in hand, and neighbours of them that differ in a few rows."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from server.core.planner.local_search.cost import Cost, Evaluation, parted
from server.core.planner.local_search.order import sorted_rows
from server.core.planner.local_search.pieces import Piece, Row


@dataclass(frozen=True, slots=True)
class State:
    """The rows of each vehicle in their order, and what they cost."""

    rooms: tuple[tuple[Row, ...], ...]
    costs: tuple[Cost, ...]
    parted: int

    @property
    def length(self) -> int:
        """Floor length over all vehicles."""
        return sum(cost.length for cost in self.costs)

    @property
    def faults(self) -> float:
        """By how much rules are broken; zero is lawful."""
        return sum(cost.faults for cost in self.costs) + self.parted

    def value(self, weight: float) -> float:
        """Return what the search keeps small: the length, and faults at a price."""
        return self.length + weight * self.faults

    def pieces(self) -> Iterable[Piece]:
        """Yield every piece."""
        return (piece for rows in self.rooms for row in rows for piece in row.pieces)


def state_of(evaluation: Evaluation, rooms: Sequence[Sequence[Row]]) -> State:
    """Return rows with their cost."""
    costs = tuple(evaluation.of(index, rows) for index, rows in enumerate(rooms))
    return State(tuple(map(tuple, rooms)), costs, parted(rooms))


def changed(evaluation: Evaluation, state: State, new: Mapping[int, Sequence[Row]]) -> State:
    """Return the state with other rows in some vehicles, put in the order of drops and wishes."""
    rooms, costs = list(state.rooms), list(state.costs)
    for index, rows in new.items():
        rooms[index] = tuple(sorted_rows(rows))
        costs[index] = evaluation.of(index, rooms[index])
    return State(tuple(rooms), tuple(costs), parted(rooms))
