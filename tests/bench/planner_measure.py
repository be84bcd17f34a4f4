"""One planning measured: floor, bound, first answer, time of the clock and of the processor."""

from __future__ import annotations

import time
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from server.core.judge import judge
from server.core.planner.construction.vehicle_sets import greedy_loads
from server.core.planner.problem.answer import NoPlan
from server.core.planner.problem.model import Task
from server.core.planner.solve import solve
from server.core.shop.plan import Plan
from server.files.show_file import parse_show


@dataclass(frozen=True)
class Measured:
    """One show planned; lengths in micrometres, times in seconds."""

    name: str
    group: str
    floor: int
    bound: int
    greedy: int
    first: float
    wall: float
    processor: float
    proven: bool
    best: int | None = None
    faults: tuple[str, ...] = ()
    vehicles: int = 0

    @property
    def gap(self) -> float:
        """Return how far the floor may lie above the shortest, in percent."""
        return 100.0 * (self.floor - self.bound) / self.floor if self.floor else 0.0

    @property
    def excess(self) -> float:
        """Return how far the floor lies above the known best, in percent."""
        return 100.0 * (self.floor - self.best) / self.best if self.best else 0.0


def measure(
    name: str, group: str, document: dict[str, Any], seconds: float, best: int | None = None
) -> Measured:
    """Plan a show document and judge the answer."""
    show = parse_show(document)
    loads, left = greedy_loads(Task.of(show), show.vehicles)
    greedy = 0 if left else sum(load.length for load in loads)
    firsts: list[float] = []
    start, used = time.perf_counter(), time.process_time()

    def heard(plan: Plan) -> None:
        del plan
        firsts.append(time.perf_counter() - start)

    answer = solve(show, seconds, on_progress=heard)
    wall, processor = time.perf_counter() - start, time.process_time() - used
    plan = answer.best if isinstance(answer, NoPlan) else answer
    faults = judge(show, plan)
    if isinstance(answer, NoPlan):
        faults = (*faults, "not everything was planned")
    return Measured(
        name,
        group,
        plan.floor_length_um,
        plan.lower_bound_um,
        greedy,
        firsts[0] if firsts else wall,
        wall,
        processor,
        plan.proven,
        best,
        tuple(faults),
        len(plan.vehicles),
    )


@dataclass(frozen=True)
class Summary:
    """A group of measurements in one line of the table."""

    group: str
    shows: int
    proven: float
    gap: float
    met: float | None
    excess: float | None
    first: float
    wall: float
    processor: float
    above_greedy: int
    faults: int


def sum_up(found: Iterable[Measured]) -> list[Summary]:
    """Return one summary a group, in the order in which groups came."""
    groups: dict[str, list[Measured]] = {}
    for one in found:
        groups.setdefault(one.group, []).append(one)
    return [_summary(group, rows) for group, rows in groups.items()]


def _summary(group: str, rows: Sequence[Measured]) -> Summary:
    count = len(rows)
    known = [row for row in rows if row.best is not None]
    return Summary(
        group=group,
        shows=count,
        proven=100.0 * sum(row.proven for row in rows) / count,
        gap=sum(row.gap for row in rows) / count,
        met=100.0 * sum(row.floor <= (row.best or 0) for row in known) / len(known)
        if known
        else None,
        excess=sum(row.excess for row in known) / len(known) if known else None,
        first=max(row.first for row in rows),
        wall=sum(row.wall for row in rows) / count,
        processor=sum(row.processor for row in rows) / count,
        above_greedy=sum(bool(row.greedy) and row.floor > row.greedy for row in rows),
        faults=sum(bool(row.faults) for row in rows),
    )
