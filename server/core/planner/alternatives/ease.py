"""Riders taken off their lids wherever a row has room for them: fewer lifts on the same floor."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from server.core.judge import judge
from server.core.planner.alternatives.effort import hardest_first
from server.core.planner.construction.insertion import insert_cases
from server.core.planner.problem.model import Line, Load, Task
from server.core.planner.problem.plan_writer import make_plan
from server.core.planner.problem.straps import straps_for
from server.core.planner.replanning.from_plan import lines_of
from server.core.shop.plan import Plan
from server.core.shop.show import Show


def eased(show: Show, plan: Plan) -> Plan:
    """Return the plan with riders in free floor of their drop, as far as the judge allows."""
    for code in hardest_first(show, plan):
        plan = _with_on_floor(show, plan, code) or plan
    return plan


def _with_on_floor(show: Show, plan: Plan, code: str) -> Plan | None:
    """Return the plan with a rider on the floor of some row that gets no deeper by it."""
    bearing = {low for one in plan.vehicles for place in one.places() for low in place.on}
    if code in bearing:
        return None
    case, cases = show.case(code), {one.code: one for one in show.cases if one.code != code}
    for vehicle in show.vehicles:
        if case.vehicle not in (None, vehicle.id):
            continue
        lines = {
            one.vehicle: [line for row in one.rows if (line := lines_of(row, cases)) is not None]
            for one in plan.vehicles
        }
        # Tied: it may stand on nothing.
        task = replace(Task(show.rules, (vehicle,), show.cases), tied=frozenset({code}))
        width = min([vehicle.width_um, *(one.width_um for one in vehicle.narrow)])
        rows, left = insert_cases(task, lines.get(vehicle.id, []), [case], width)
        if left or not rows:
            continue
        lines[vehicle.id] = rows
        made = _written(show, plan, lines)
        if made.floor_length_um <= plan.floor_length_um and not judge(show, made):
            return made
    return None


def _written(show: Show, plan: Plan, lines: dict[str, list[Line]]) -> Plan:
    loads: Sequence[Load] = [
        Load(vehicle, tuple(lines.get(vehicle.id, ()))) for vehicle in show.vehicles
    ]
    made = make_plan(
        loads,
        plan.lower_bound_um,
        left_out=plan.left_out,
        straps_of=straps_for(show),
        revision=plan.revision,
    )
    return replace(made, proven=plan.proven and made.floor_length_um == plan.floor_length_um)
