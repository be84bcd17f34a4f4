"""The bound of the certificate's relaxation: cheap, and for every rule at once."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import suppress

from server.core.planner.bounds.certificate import area_duals, find_duals
from server.core.proof.check import NotProven, floor_bound
from server.core.proof.relaxation import Relaxation, next_sum
from server.core.shop.show import Show


class RelaxedBound:
    """Micrometres of floor that no plan of a show undercuts; at least what areas ask."""

    def __init__(self, show: Show, stop: Callable[[], bool]) -> None:
        self.relaxation = Relaxation(show)
        self.um = 0
        if self.relaxation.items and not self.relaxation.misfits():
            self.um = floor_bound(self.relaxation, area_duals(self.relaxation))
            with suppress(NotProven):  # prices that were not ready in time
                priced = find_duals(self.relaxation, stop)
                self.um = max(self.um, floor_bound(self.relaxation, priced))

    def up_to(self, floor_um: int) -> int:
        """Return the bound rounded up to a sum of row depths, at most the floor in hand."""
        if self.um >= floor_um:
            return floor_um
        shorter = next_sum(self.relaxation.depths, self.um, floor_um) if self.um else 0
        return floor_um if shorter is None else shorter
