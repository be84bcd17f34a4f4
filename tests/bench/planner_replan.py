"""Planning again with half a truck loaded: one case dropped, one case added."""

from __future__ import annotations

import time
from collections.abc import Iterator
from dataclasses import replace

from server.core.judge import judge
from server.core.planner.problem.answer import NoPlan
from server.core.planner.replanning.replan import replan
from server.core.planner.solve import solve
from server.core.shop.plan import Plan
from server.core.shop.show import Show
from server.files.show_file import parse_show
from tests.bench.planner_measure import Measured
from tests.bench.show_generator import make_show

CASES, SECONDS, LEAST_KEPT = 120, 1.0, 0.8


def row_numbers(plan: Plan) -> dict[str, int]:
    """Return the row of each case of the first vehicle."""
    return {place.code: row.number for row in plan.vehicles[0].rows for place in row.places}


def kept_share(before: Plan, after: Plan, loaded: int) -> float:
    """Return the share of cases behind the loaded rows that keep the number of their row."""
    old, new = row_numbers(before), row_numbers(after)
    rest = [code for code, row in old.items() if row > loaded and code in new]
    return sum(old[code] == new[code] for code in rest) / max(1, len(rest))


def changed_shows(show: Show, plan: Plan, loaded: int) -> Iterator[tuple[str, Show]]:
    """Yield the show with one case less, and with one case more, behind the loaded rows."""
    rows = row_numbers(plan)
    free = [case for case in show.cases if rows[case.code] > loaded and not case.rides]
    gone = free[len(free) // 2]
    yield "drop", replace(show, cases=tuple(case for case in show.cases if case != gone))
    yield "add", replace(show, cases=(*show.cases, replace(gone, code="NEW-1")))


def measure_replan(seed: int) -> Iterator[Measured]:
    """Yield a measurement of each change; frozen rows and kept rows count as faults when broken."""
    show = parse_show(make_show(CASES, seed))
    before = solve(show, 4.0)
    assert not isinstance(before, NoPlan)
    loaded = len(before.vehicles[0].rows) // 2
    for name, changed in changed_shows(show, before, loaded):
        start, used = time.perf_counter(), time.process_time()
        answer = replan(changed, before, {"T1": loaded}, seconds=SECONDS)
        wall, processor = time.perf_counter() - start, time.process_time() - used
        faults = list(judge(changed, answer.plan))
        old, new = before.vehicles[0].rows[:loaded], answer.plan.vehicles[0].rows[:loaded]
        if [row.places for row in old] != [row.places for row in new]:
            faults.append("a loaded row was touched")
        if kept_share(before, answer.plan, loaded) < LEAST_KEPT:
            faults.append("too many cases change their row")
        if processor > SECONDS:
            faults.append("too slow")
        floor = answer.plan.floor_length_um
        yield Measured(
            f"{name}-{seed}", "re-plan, 120", floor, floor, 0, wall, wall, processor,
            proven=False, faults=tuple(faults), vehicles=1,
        )  # fmt: skip
