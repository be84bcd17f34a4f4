"""A plan of one show restated for another: the same places, other masses and floors."""

from __future__ import annotations

from dataclasses import replace

from server.core.planner.problem.straps import straps_for
from server.core.planner.replanning.loaded_rows import strapped
from server.core.securing.slack import row_slack_um
from server.core.shop.plan import Plan, VehiclePlan
from server.core.shop.show import Show
from server.core.weight.balance import weigh


def restated(show: Show, plan: Plan) -> Plan:
    """Return a plan with the slack, masses and straps of this show."""
    masses = {case.code: case.mass_g for case in show.cases}

    def vehicle_plan(one: VehiclePlan) -> VehiclePlan:
        vehicle = show.vehicle(one.vehicle)
        rows = tuple(
            replace(row, slack=row_slack_um(vehicle, row.start, row.depth, row.places))
            for row in one.rows
        )
        balance = weigh(vehicle, one.places(), masses)
        return replace(
            one,
            rows=rows,
            mass_g=balance.load_g,
            front_g=balance.front_g,
            rear_g=balance.rear_g,
        )

    return strapped(
        show,
        replace(plan, vehicles=tuple(vehicle_plan(one) for one in plan.vehicles)),
        straps_for(show),
    )
