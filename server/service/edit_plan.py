"""A plan changed by hand: steps done, judged at once, kept as a revision only when asked."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from typing import Any

from server.core.editing.editing import CannotEdit, Step, edited
from server.core.judge import judge
from server.core.planner.problem.straps import straps_for
from server.core.planner.replanning.replan import Replan, replan
from server.core.shop.plan import Plan
from server.core.shop.show import Show
from server.service import aside, hand_out, office, plan_again
from server.service.changing import ChangedMeanwhile
from server.service.ports import Ports
from server.service.records import PlanRecord
from server.service.troubles import Wrong


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


def latest(ports: Ports, show_id: str) -> int:
    """Return the newest revision of a show; 0 where it has none."""
    return ports.plans.newest(show_id)


def refuse_newer(ports: Ports, show_id: str, known: int | None) -> None:
    """Refuse a draft of a page that did not know the newest revision; None: it is kept beside."""
    newest = ports.plans.newest(show_id)
    if known is not None and newest > known:
        detail = (
            f"Revision {newest} was made since this page was opened. Nothing was kept: compare it, "
            "or keep this one beside it."
        )
        raise ChangedMeanwhile(detail, newest)


def refuse_later(ports: Ports, show_id: str, known: int | None) -> None:
    """Refuse to issue where another revision was issued since the page was opened."""
    issued = office.show_of(ports, show_id).issued
    if known is not None and issued != known:
        detail = f"Revision {issued} was issued since this page was opened: look at it first."
        raise ChangedMeanwhile(detail, issued)


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
        told = (("vehicles", f"{away} is archived: take it out of the archive first"),)
        raise Wrong("Nothing can be planned.", told)
    cases = tuple(
        case if case.vehicle in {None, *vehicles} else replace(case, vehicle=None)
        for case in show.cases
    )
    return replace(show, vehicles=tuple(garage[one] for one in vehicles), cases=cases)


def replan_from(
    ports: Ports,
    base: PlanRecord,
    differs: Mapping[str, Any],
    seconds: float,
    should_stop: Callable[[], bool],
) -> tuple[Show, Replan]:
    """Return the show as it is now and its plan from a revision on.

    `differs`: `loaded` rows by vehicle (numbers, or how many from the bulkhead), other `vehicles`
    where the revision's are not those that will drive, and the wishes of service/plan_again.
    """
    vehicles = differs.get("vehicles")
    show = (
        asked_show(ports, base.show_id, vehicles)
        if vehicles
        else replace(office.core_show(ports, base.show_id), vehicles=base.show.vehicles)
    )
    show = plan_again.wished(ports, base, show, differs)
    before, stay = plan_again.opened(base, differs), plan_again.rows_that_stay(base, differs)
    made = replan(show, before, stay, seconds=seconds, should_stop=should_stop)
    return show, made
