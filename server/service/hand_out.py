"""All that one phone needs for a show, as one bundle; sheets of a plan with every figure."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import asdict
from typing import Any, Final

from server.core.base.figure import Figure
from server.core.crew.sheet import Asked, Card, Hands, HeldBy, build_sheet
from server.core.handling.cards import Site, lift_limits_g, lift_of, over_gate, tip_of
from server.core.handling.gate import SOURCE as GATE_SOURCE
from server.core.night.state import as_json
from server.core.securing.rows import RowHold, every_row_lined, straps_for_vehicle
from server.core.securing.slack import fill_above_um
from server.core.shop.case import Case
from server.core.shop.case_mass import worst_g
from server.core.shop.plan import Place, Plan, VehiclePlan
from server.core.shop.show import Show
from server.core.shop.vehicle import Vehicle
from server.service import case_photos, lists
from server.service.briefing import brief, briefing, hand_check, push_on_ramp
from server.service.ports import Ports
from server.service.records import FleetCase, PlanRecord, Role, ShowRecord
from server.service.troubles import Conflict, Unknown

SERVER: Final = "1"
# What a loader does not read of a case of the fleet that is not on the show.
NOT_HERE: Final = {"name": "", "department": "", "home": "", "owner": ""}


def sheets(show: Show, plan: Plan, marks: Mapping[str, int]) -> list[dict[str, Any]]:
    """Return the sheets of every vehicle of a plan as the bundle carries them."""
    cases = {case.code: case for case in show.cases}
    return [
        as_json(
            build_sheet(
                show.vehicle(one.vehicle),
                one,
                cases,
                asked(show, one),
                mark=marks.get(one.vehicle, place % 8),
            )
        )
        for place, one in enumerate(plan.vehicles)
    ]


def asked(show: Show, plan: VehiclePlan) -> Asked:
    """Return the rules that the sheet of a vehicle asks."""
    vehicle = show.vehicle(plan.vehicle)
    held = straps_for_vehicle(show, vehicle, every_row_lined(plan))

    return Asked(
        hold=lambda row: _row_hold(held.row(row.number)),
        hands=lambda place, case: hands(show, vehicle, place, case),
        slack_limit_um=fill_above_um(show.rules.slack_limit_um),
        units=show.units,
        briefing=briefing(show, vehicle, plan),
        brief=brief(show, vehicle, plan),
    )


def _row_hold(hold: RowHold) -> HeldBy:
    assert hold.straps is not None  # every row has a line of its own
    open_um = max((void.behind_um for void in hold.voids), default=0)
    return HeldBy(hold.straps, open_um, hold.fill)


def hands(show: Show, vehicle: Vehicle, place: Place, case: Case) -> Hands:
    """Return who moves a case up the ramp and who lifts it; 0: none, or no number will do.

    The card beside it says which: a key that ends in `_machine` means that hands are not enough.
    """
    push = push_on_ramp(vehicle, case.mass_g, show)
    cards = [Card("push" if push.value is not None else "push_machine", push)]
    site = Site("shop_load", units=show.units, hands=show.rules.hands)
    by_hand = [0]
    for key, figure in (("lift", lift_of(case, site, place)), ("tip", tip_of(case, site, place))):
        if figure is not None:
            cards.append(Card(key if figure.value is not None else f"{key}_machine", figure))
            by_hand.append(_count(figure))
    refused = over_gate(case, vehicle, site)
    if refused:
        gate = Figure(None, "people", GATE_SOURCE, "; ".join(refused), "planning")
        cards.append(Card("gate_machine", gate))
    check = hand_check(show, vehicle, place, case)
    limits = lift_limits_g(case, site, place)
    return Hands(_count(push), max(by_hand), tuple(cards), check, limits)


def _count(figure: Figure) -> int:
    return figure.value if isinstance(figure.value, int) else 0


def bundle(ports: Ports, show_id: str, role: Role = "owner") -> dict[str, Any]:
    """Return the bundle of a show as a role may read it; Conflict while nothing is issued.

    A loader reads of cases that are not on this show what a scan and the weights need, and no
    more. Where other crews saw a case is the chief's and the owner's; by whom, the owner's.
    """
    record = ports.shows.show(show_id)
    if record is None:
        raise Unknown("There is no such show.")
    plan = ports.plans.get(show_id, record.issued) if record.issued else None
    if plan is None or plan.sheets is None:
        raise Conflict("No plan of this show is issued yet: the owner issues one in the office.")
    settings = ports.fleet.settings()
    rules = plan.show.rules
    return {
        "format": "rowcall-bundle-1",
        "server": SERVER,
        "show": {"id": record.id, "name": record.name, "date": record.date},
        "revision": plan.revision,
        **_drop_names(record),
        "units": asdict(record.units),
        "rules": {
            "slack_limit_um": fill_above_um(rules.slack_limit_um),
            "securing": rules.securing,
            "hands": rules.hands,
        },
        "numbering": settings.numbering,
        "vehicles": plan.sheets,
        "cases": _cards(ports, show_id, plan, role),
        "checks": list(settings.checks or lists.CHECKS),
        "walk": list(settings.walk or lists.WALK),
        "homes": list(settings.homes),
    }


def _drop_names(record: ShowRecord) -> dict[str, Any]:
    """Return the names of drops, where any has one."""
    names = {str(drop): name for drop, name in record.details.drop_names}
    return {"drops": names} if names else {}


def _cards(ports: Ports, show_id: str, issued: PlanRecord, role: Role) -> dict[str, Any]:
    drops = {case.code: case.drop for case in issued.show.cases}
    vehicles = {place.code: one.vehicle for one in issued.plan.vehicles for place in one.places()}
    seen = {
        code: _seen(text, named=role == "owner" or show == show_id)
        for code, (show, text) in ports.log.last_seen().items()
        if role != "loader" or (show == show_id and code in drops)
    }
    photos = case_photos.first_of_each(ports)
    cards = {}
    for one in ports.fleet.cases():
        if one.state == "retired":
            continue
        code = one.case.code
        cards[code] = _card(
            one, drop=drops.get(code), vehicle=vehicles.get(code), last_seen=seen.get(code)
        )
        if role == "loader" and code not in drops:
            cards[code] |= NOT_HERE
        elif code in photos.keys() & drops:  # the crew sees photos of its own show only
            cards[code]["photo"] = photos[code]
    return cards


def _card(
    one: FleetCase, *, drop: int | None, vehicle: str | None, last_seen: dict[str, Any] | None
) -> dict[str, Any]:
    case = one.case
    tags = {"tags": list(one.notes.tags)} if one.notes.tags else {}
    return {
        "code": case.code,
        "name": case.name,
        "department": case.department,
        "home": case.home,
        "length_um": case.length_um,
        "width_um": case.width_um,
        "height_um": case.height_um,
        "mass_g": case.mass_g,
        "most_g": worst_g(case),
        "drop": drop,
        "owner": one.owner,
        "state": one.state,
        "vehicle": vehicle,
        "last_seen": last_seen,
        **tags,
    }


def _seen(document: str, *, named: bool) -> dict[str, Any]:
    """Return where a fact says that a case was: a place, or the vehicle it went on or off."""
    event = json.loads(document)
    body = event["body"]
    place = body.get("place") or f"{body['kind']} {event['vehicle'] or ''}".strip()
    return {"place": place, "at": event["at"], "by": event["by"]["name"] if named else ""}
