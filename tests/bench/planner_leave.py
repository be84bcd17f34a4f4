"""Shows of which a quarter is too much, for floor or mass: what must stay, and how surely."""

from __future__ import annotations

import time
from collections.abc import Iterator
from dataclasses import replace

from server.core.judge import judge
from server.core.planner.construction.vehicle_sets import greedy_loads
from server.core.planner.problem.answer import NoPlan
from server.core.planner.problem.model import Task
from server.core.planner.solve import solve
from server.core.shop.show import Show
from server.files.show_file import parse_show
from tests.bench.planner_measure import Measured
from tests.bench.show_generator import make_show

SIZES = (20, 60, 120)


def too_much(cases: int, seed: int) -> Show:
    """Return a show of which a quarter does not go: for its floor, every other one for its mass."""
    show = parse_show(make_show(cases, seed))
    loads, _ = greedy_loads(Task.of(show), show.vehicles)
    (vehicle,) = show.vehicles
    if seed % 2:
        vehicle = replace(vehicle, payload_g=3 * sum(case.mass_g for case in show.cases) // 4)
    else:
        vehicle = replace(vehicle, length_um=3 * loads[0].length // 4)
    return replace(show, vehicles=(vehicle,))


def measure_leaving(cases: int, seed: int, seconds: float) -> Iterator[Measured]:
    """Yield one measurement for each set to leave."""
    show = too_much(cases, seed)
    start, used = time.perf_counter(), time.process_time()
    answer = solve(show, seconds)
    wall, processor = time.perf_counter() - start, time.process_time() - used
    assert isinstance(answer, NoPlan)
    faults = judge(show, answer.best)
    for way in answer.ways_out:
        yield Measured(
            f"{way.by} {cases}-{seed}", f"to leave of {cases}", 0, 0, 0, 0.0, wall, processor,
            proven=way.proven, faults=tuple(faults),
        )  # fmt: skip


def measure_all(seeds: int, seconds: float) -> Iterator[Measured]:
    """Yield the measurements of every size."""
    for cases in SIZES:
        for seed in range(seeds):
            yield from measure_leaving(cases, seed, seconds)
