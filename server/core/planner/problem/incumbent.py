"""The incumbent: the best lawful plan so far, with the bound that holds for every plan."""

from __future__ import annotations

from dataclasses import dataclass

from server.core.planner.problem.model import Line, length_of


@dataclass
class Best:
    """The shortest lawful rows in hand and the bound that no plan of these vehicles undercuts."""

    rooms: list[list[Line]] | None = None
    bound: int = 0
    reach: int = 0  # no rows of the stacks that the search lists are shorter
    impossible: bool = False  # no rows of these vehicles hold everything

    @property
    def length(self) -> int | None:
        """Floor length in hand."""
        return None if self.rooms is None else sum(length_of(lines) for lines in self.rooms)

    @property
    def proven(self) -> bool:
        """Return whether nothing shorter exists."""
        return self.length is not None and self.length <= self.bound
