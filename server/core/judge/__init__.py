"""The judge: every hard rule, checked from nothing but a show and a plan; no search in here."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from server.core.judge import limits, room, rows, support, wishes
from server.core.judge.scene import Scene
from server.core.shop.plan import Plan
from server.core.shop.show import Show

RULES: tuple[Callable[[Scene], Iterator[str]], ...] = (
    room.stands_as_it_may,
    room.inside,
    room.clear_of_narrow_stretches,
    room.through_the_door,
    room.nothing_overlaps,
    support.stands_on_something,
    support.lids_may_carry,
    support.lids_hold,
    support.hands_can_lift,
    support.nothing_forbidden_above,
    support.earlier_drops_on_top,
    rows.rows_are_numbered,
    rows.rows_follow_each_other,
    rows.rows_are_straight,
    rows.depth_is_the_deepest_stack,
    rows.slack_is_what_is_left,
    rows.drops_come_off_in_order,
    rows.neighbours_agree,
    limits.payload_is_kept,
    limits.axles_are_kept,
    limits.sums_are_right,
    wishes.in_the_wished_vehicle,
    wishes.at_the_wished_end,
)

WHOLE: tuple[Callable[[Show, Plan], Iterator[str]], ...] = (
    wishes.each_case_once,
    wishes.each_vehicle_once,
)


def judge(show: Show, plan: Plan) -> tuple[str, ...]:
    """Return every broken rule in words; an empty answer means that the plan is lawful."""
    cases = {case.code: case for case in show.cases}
    vehicles = {vehicle.id: vehicle for vehicle in show.vehicles}
    faults = [fault for rule in WHOLE for fault in rule(show, plan)]
    faults += list(wishes.total_is_right(plan))
    scenes = [
        Scene(show, vehicles[one.vehicle], one, cases)
        for one in plan.vehicles
        if one.vehicle in vehicles
    ]
    faults += [fault for scene in scenes for rule in RULES for fault in rule(scene)]
    faults += list(wishes.together_as_wished(scenes))
    return tuple(faults)
