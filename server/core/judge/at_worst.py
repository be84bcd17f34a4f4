"""What may break on the lids if cases of no stated mass weigh as much as their size allows."""

from __future__ import annotations

from dataclasses import replace

from server.core.judge import support
from server.core.judge.scene import Scene
from server.core.shop.case_mass import at_worst, unweighed
from server.core.shop.plan import Plan
from server.core.shop.show import Show

ON_LIDS = (support.lids_may_carry, support.lids_hold, support.hands_can_lift)


def lids_at_worst(show: Show, plan: Plan) -> tuple[str, ...]:
    """Return what has to be weighed before the lids of a plan are known to hold, in words."""
    if not unweighed(show.cases):
        return ()
    heavy = replace(show, cases=tuple(at_worst(case) for case in show.cases))
    vehicles = {vehicle.id: vehicle for vehicle in show.vehicles}
    found = []
    for one in plan.vehicles:
        if one.vehicle not in vehicles:
            continue
        stated, worst = (
            Scene(known, vehicles[one.vehicle], one, {case.code: case for case in known.cases})
            for known in (show, heavy)
        )
        for rule in ON_LIDS:
            faults = set(rule(stated))
            found += [
                f"with cases without a mass as heavy as their size allows: {fault}: weigh first"
                for fault in rule(worst)
                if fault not in faults
            ]
    return tuple(found)
