"""A plan changed by hand: steps done, judged at once, kept as a revision only when asked."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Mapping
from dataclasses import dataclass, replace
from typing import Any

from server.core.editing.editing import CannotEdit, Step, edited
from server.core.editing.kept_rows import with_kept
from server.core.judge import judge
from server.core.planner.problem.straps import straps_for
from server.core.shop.plan import Plan
from server.core.shop.show import Show
from server.service import aside, hand_out, office
from server.service.ports import Ports
from server.service.records import PlanRecord
from server.service.troubles import Wrong

PlanShow = Callable[[Show], tuple[Plan, str | None]]
"""Plans a show: the plan, and in words what stays."""


@dataclass(frozen=True, slots=True)
class Edited:
    """A draft as it stands: nothing of it is kept yet."""

    show: Show
    plan: Plan
    faults: tuple[str, ...]
    sheets: list[dict[str, Any]]


def edit(ports: Ports, base: PlanRecord, draft: Plan | None, steps: Iterable[Step]) -> Edited:
    """Do steps on a draft, or on the revision itself; Wrong where a step names nothing."""
    show, plan = base.show, base.plan if draft is None else draft
    _known(show, plan)
    try:
        plan = edited(show, plan, steps)
    except (CannotEdit, KeyError) as trouble:
        raise Wrong("This step cannot be done.", (("steps", str(trouble)),)) from trouble
    plan = with_straps(show, plan)
    marks = {one.vehicle.id: one.mark for one in ports.fleet.vehicles()}
    return Edited(show, plan, judge(show, plan), hand_out.sheets(show, plan, marks))


def with_straps(show: Show, plan: Plan) -> Plan:
    """Return the plan with the straps that its rows need as they stand now."""
    count = straps_for(show)
    return replace(
        plan,
        vehicles=tuple(
            replace(
                one,
                rows=tuple(
                    replace(row, straps=straps)
                    for row, straps in zip(
                        one.rows, count(show.vehicle(one.vehicle), one.rows), strict=True
                    )
                ),
            )
            for one in plan.vehicles
        ),
    )


def _known(show: Show, plan: Plan) -> None:
    """Refuse a draft that names what the show does not have."""
    codes = {case.code for case in show.cases}
    ids = {vehicle.id for vehicle in show.vehicles}
    faults = [
        ("draft", f"expected a vehicle of the show, got {one.vehicle[:60]}")
        for one in plan.vehicles
        if one.vehicle not in ids
    ]
    faults += [
        ("draft", f"expected a case of the show, got {place.code[:60]}")
        for one in plan.vehicles
        for place in one.places()
        if place.code not in codes
    ]
    if faults:
        raise Wrong("This draft is not of this show.", tuple(faults[:20]))


def keep(ports: Ports, base: PlanRecord, draft: Plan) -> PlanRecord:
    """Keep a draft as the next revision, with whatever the judge finds in it."""
    done = edit(ports, base, draft, ())
    return office.keep_plan(ports, base.show_id, base.show, done.plan, done.faults)


def asked_show(ports: Ports, show_id: str, vehicles: list[str]) -> Show:
    """Return the show as it would be with other vehicles; wishes for those not booked are off."""
    show = office.core_show(ports, show_id)
    garage = {one.vehicle.id: one.vehicle for one in ports.fleet.vehicles()}
    unknown = [vehicle for vehicle in vehicles if vehicle not in garage]
    if unknown:
        raise Wrong(
            "Nothing can be planned.",
            (("vehicles", f"expected vehicles of the shop, got {unknown[0][:60]}"),),
        )
    away = aside.first_aside(ports, vehicles, besides=ports.shows.vehicles(show_id))
    if away is not None:
        told = (("vehicles", f"{away} is put aside: take it back first"),)
        raise Wrong("Nothing can be planned.", told)
    cases = tuple(
        case if case.vehicle in {None, *vehicles} else replace(case, vehicle=None)
        for case in show.cases
    )
    return replace(show, vehicles=tuple(garage[one] for one in vehicles), cases=cases)


def plan_behind(
    ports: Ports,
    base: PlanRecord,
    pinned: Mapping[str, int | list[int]],
    plan_rest: PlanShow,
) -> tuple[Show, Plan, str | None]:
    """Return the show, a plan that keeps the pinned rows of a revision, and what stays in words.

    `pinned` names rows of a vehicle, or how many from the bulkhead on. Cases that were called since
    are planned with the rest; rows that hold a case which is no longer called are not pinned.
    """
    show = replace(office.core_show(ports, base.show_id), vehicles=base.show.vehicles)
    codes = {case.code for case in show.cases}
    kept = {
        one.vehicle: {
            row.number
            for row in one.rows
            if row.number in _numbers(pinned.get(one.vehicle, 0))
            and all(place.code in codes for place in row.places)
        }
        for one in base.plan.vehicles
    }
    trouble: list[str] = []

    def rest(part: Show) -> Plan:
        plan, words = plan_rest(part)
        trouble.extend([words] if words else [])
        return plan

    plan, moved = with_kept(show, base.plan, kept, rest)
    return show, with_straps(show, plan), "; ".join([*trouble, *moved]) or None


def _numbers(pinned: int | list[int]) -> Collection[int]:
    return range(1, pinned + 1) if isinstance(pinned, int) else pinned
