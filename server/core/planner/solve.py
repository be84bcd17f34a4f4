"""solve(show) → Plan, or NoPlan with reasons and ways out."""

from __future__ import annotations

from collections.abc import Callable

from server.core.plan import LeftOut, Plan
from server.core.planner.answer import NoPlan
from server.core.planner.explain import why_no_vehicle
from server.core.planner.finish import make_plan
from server.core.planner.fleet import greedy_loads, sets_of_vehicles
from server.core.planner.model import Task
from server.core.show import Show

Progress = Callable[[Plan], None]
Stop = Callable[[], bool]


def solve(
    show: Show,
    seconds: float = 10.0,
    seed: int = 0,
    on_progress: Progress | None = None,
    should_stop: Stop | None = None,
) -> Plan | NoPlan:
    """Plan a show; `on_progress` hears of each better plan, `should_stop` ends the search early."""
    del seconds, seed, should_stop
    task = Task.of(show)
    misfits = [
        LeftOut(case.code, reason)
        for case in show.cases
        if (reason := why_no_vehicle(case, task)) is not None
    ]
    kept = {case.code for case in show.cases} - {one.code for one in misfits}
    task = task.only(case for case in show.cases if case.code in kept)
    best = None
    for vehicles in sets_of_vehicles(task):
        loads, left = greedy_loads(task, vehicles)
        if best is None or len(left) < len(best[1]):
            best = (loads, left)
        if not left:
            break
    if best is None:
        best = greedy_loads(task, task.vehicles)
    loads, left = best
    out = [LeftOut(case.code, "no floor left for it") for stack in left for case in stack.cases]
    plan = make_plan(loads, 0, left_out=[*misfits, *out])
    if on_progress is not None:
        on_progress(plan)
    if plan.left_out:
        reasons = tuple(dict.fromkeys(one.reason for one in plan.left_out))
        return NoPlan(reasons, 0, 0, (), plan)
    return plan
