"""The least that must stay of small shows, by the constraint model of small_model.py.

Reads show documents as JSON lines and prints, for each, what the cheapest sets cost that let the
rest go: cases, pounds, square inches of floor, and how much they are wanted (2520 squared through
the square of the drop). It runs in a process of its own, as a module: CP-SAT brings a copy of the
planner's solver library, and one process cannot hold both.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Callable
from typing import Any

from tests.core.planner.cp_sat import least
from tests.core.planner.small_model import Model

CRITERIA: dict[str, Callable[[dict[str, Any]], int]] = {
    "fewest cases": lambda _: 1,
    "least mass": lambda case: int(case["mass"]),
    "least floor": lambda case: int(case["length"] * case["width"]),
    "least wanted": lambda case: 6_350_400 // case["drop"] ** 2,
}


class LeaveModel(Model):
    """Each case stands, rides or stays; rows are no longer than the floor."""

    def __init__(self, show: dict[str, Any]) -> None:
        self.left: dict[int, Any] = {}
        super().__init__(show)
        (vehicle,) = show["vehicles"]
        self.model.add(sum(self.depth) <= vehicle["length"])
        goes = [case["mass"] * (1 - self.left[i]) for i, case in enumerate(self.cases)]
        if "payload" in vehicle:
            self.model.add(sum(goes) <= vehicle["payload"])

    def _stays(self, i: int) -> list[Any]:
        self.left[i] = self.model.new_bool_var(f"left{i}")
        return [self.left[i]]

    def cheapest(self, price: Callable[[dict[str, Any]], int]) -> int:
        """Return the least cost of what stays; it must be proven."""
        self.model.minimize(sum(price(case) * self.left[i] for i, case in enumerate(self.cases)))
        return least(self.model)


if __name__ == "__main__":
    for line in sys.stdin:
        model = LeaveModel(json.loads(line))
        print(json.dumps({name: model.cheapest(p) for name, p in CRITERIA.items()}), flush=True)
