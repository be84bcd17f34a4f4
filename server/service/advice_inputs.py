"""What the advisor looks at, from the shop's own data: fleet, shows as nights, prices, times.

Questions come as the documents of `server/api/advice_models.py`; micrometres, grams, hundredths.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any, Final

from server.core.advisor.load_time import Timed
from server.core.advisor.money import Prices, VehiclePrice
from server.core.advisor.questions import AskBuy, AskHire, Change, Drive, Need, Night, Offer
from server.core.shop.case import Case
from server.core.shop.vehicle import Vehicle
from server.service import morning, office
from server.service.changing import ChangedMeanwhile
from server.service.ports import Ports
from server.service.troubles import Wrong

PRICES: Final = "advisor prices"
MOST_NIGHTS: Final = 60
NOT_SO: Final = "The advisor cannot answer this."


def prices_document(ports: Ports) -> dict[str, Any]:
    """Return the prices as the owner entered them; without any, nothing is said of money."""
    kept: dict[str, Any] | None = (ports.settings.get(PRICES) or {}).get("document")
    return kept or {"currency": "", "driver_hour_cents": None, "vehicles": [], "licences": None}


def prices_version(ports: Ports) -> int:
    """Return how often the prices were changed."""
    number: int = (ports.settings.get(PRICES) or {}).get("number", 0)
    return number


def keep_prices(ports: Ports, document: dict[str, Any], seen: int | None) -> dict[str, Any]:
    """Keep the prices; vehicles that are not the shop's are refused by place.

    `seen`: the version that is changed, None for any; ChangedMeanwhile where it is another by now.
    """
    garage = {one.vehicle.id for one in ports.fleet.vehicles()}
    faults = [
        (f"vehicles.{place}.id", f"expected a vehicle of the shop, got {one['id']}")
        for place, one in enumerate(document["vehicles"])
        if one["id"] not in garage
    ]
    ids = [one["id"] for one in document["vehicles"]]
    if len(set(ids)) < len(ids):
        faults.append(("vehicles", "expected each vehicle once"))
    if faults:
        raise Wrong("These prices cannot be kept.", tuple(faults[:50]))
    number = prices_version(ports)
    if seen not in {None, number}:
        raise ChangedMeanwhile("Somebody else changed the prices: look at them again.", number)
    ports.settings.put(PRICES, {"number": number + 1, "document": document})
    return document


def fleet_of(ports: Ports) -> tuple[tuple[Case, ...], tuple[Vehicle, ...]]:
    """Return every case that may travel and every vehicle that is not archived."""
    cases = tuple(one.case for one in ports.fleet.cases() if one.state != "retired")
    return cases, tuple(one.vehicle for one in ports.fleet.vehicles() if not one.aside)


def prices_of(ports: Ports) -> Prices:
    """Return the prices in the core's type."""
    document = prices_document(ports)
    return Prices(
        document["currency"],
        {one["id"]: _price(one) for one in document["vehicles"]},
        document["driver_hour_cents"],
    )


def _price(one: dict[str, Any]) -> VehiclePrice:
    return VehiclePrice(
        one["day_cents"], one["distance_cents"], one["tolls_cents"], one["loading_metre_cents"]
    )


def nights_of(
    ports: Ports, shows: Sequence[str], vehicles: Sequence[str], times: dict[str, int]
) -> tuple[Night, ...]:
    """Return shows as nights: those named, or the newest; in vehicles named, or their own."""
    _, garage = fleet_of(ports)
    by_id = {vehicle.id: vehicle for vehicle in garage}
    for place, one in enumerate(vehicles):
        if one not in by_id:
            fault = f"expected a vehicle of the shop that is not archived, got {one[:60]}"
            raise Wrong(NOT_SO, ((f"vehicles.{place}", fault),))
    every = sorted(ports.shows.all(), key=lambda one: (one.date, one.created_at), reverse=True)
    wanted = list(shows) or [one.id for one in every[:MOST_NIGHTS]]
    found = []
    for one in wanted:
        show = office.core_show(ports, one)
        if not show.cases:
            continue
        chosen = [by_id[name] for name in vehicles] or list(show.vehicles) or list(garage)
        name = f"{show.name}, {show.date}" if show.date else show.name
        found.append(Night(name, show.cases, tuple(chosen), times.get(one, 1)))
    return tuple(found)


def changes_of(ports: Ports, asked: Sequence[dict[str, Any]]) -> tuple[Change, ...]:
    """Return changes in core types; codes that are not the fleet's are refused by place."""
    fleet = {one.case.code: one.case for one in ports.fleet.cases()}
    found = []
    for place, one in enumerate(asked):
        strangers = [code for code in one["codes"] if code not in fleet]
        if strangers:
            fault = f"expected cases of the fleet, got {strangers[0][:60]}"
            raise Wrong(NOT_SO, ((f"changes.{place}.codes", fault),))
        cases = [fleet[code] for code in one["codes"]]
        other = {key: one[key] for key in SIDES if one[key] is not None}
        instead: dict[str, Case | None] = {}
        if one["do"] == "sell":
            instead = {case.code: None for case in cases}
        elif one["do"] == "replace":
            instead = {case.code: replace(case, **other) for case in cases}
        like = replace(cases[0], **other)
        count = one["count"] if one["do"] == "buy" else 0
        bought = tuple(replace(like, code=f"new {place} {n}") for n in range(count))
        found.append(Change(one["name"], instead, bought, cost=one["cost_cents"]))
    return tuple(found)


SIDES: Final = ("length_um", "width_um", "height_um", "lid_casters", "lid_load_g")


def buy_of(ports: Ports, asked: dict[str, Any]) -> AskBuy:
    """Return new cases asked for, judged by shows, or by empty vehicles where none is named."""
    needs = []
    for place, one in enumerate(asked["needs"]):
        values = {**one, "inside_um": tuple(one["inside_um"])}
        try:
            needs.append(Need(**values))
        except ValueError as error:
            fault = f"expected {str(error).rpartition('expected ')[2]}"
            raise Wrong(NOT_SO, ((f"needs.{place}", fault),)) from error
    if asked["anew"]:
        _, garage = fleet_of(ports)
        chosen = [one for one in garage if not asked["vehicles"] or one.id in asked["vehicles"]]
        nights: tuple[Night, ...] = (Night("new cases alone", (), tuple(chosen)),)
    else:
        nights = nights_of(ports, asked["shows"], asked["vehicles"], {})
    if not any(night.vehicles for night in nights):
        raise Wrong(NOT_SO, (("vehicles", "expected a show and a vehicle to judge by"),))
    return AskBuy(tuple(needs), nights, asked["most_sizes"])


def hire_of(ports: Ports, asked: dict[str, Any]) -> AskHire:
    """Return what is asked of a hire for one show: every vehicle of the shop is an offer."""
    show = office.core_show(ports, asked["show"])
    if not show.cases:
        raise Wrong(NOT_SO, (("show", "expected a show with cases"),))
    _, garage = fleet_of(ports)
    if not garage:
        raise Wrong(NOT_SO, (("vehicles", "expected a vehicle that is not archived"),))
    document = prices_document(ports)
    priced = {one["id"]: one for one in document["vehicles"]}
    held = document["licences"]
    drive = Drive(
        **asked["drive"],
        driver_hour=document["driver_hour_cents"],
        licences=None if held is None else frozenset(held),
    )
    cases = tuple(replace(case, vehicle=None) for case in show.cases)
    bare = replace(show, vehicles=garage, cases=cases)
    booked = [vehicle.id for vehicle in show.vehicles if vehicle in garage]
    offers = tuple(_offer(vehicle, priced.get(vehicle.id)) for vehicle in garage)
    return AskHire(bare, offers, drive, tuple(booked), asked["seconds"])


def _offer(vehicle: Vehicle, one: dict[str, Any] | None) -> Offer:
    if one is None:
        return Offer(vehicle)
    return Offer(
        vehicle,
        one["count"],
        one["trips"],
        one["licence"],
        _price(one),
        one["empty_g"],
        one["tow_limit_g"],
    )


def timed(ports: Ports) -> tuple[Timed, ...]:
    """Return every vehicle in every move of the newest nights that were worked."""
    worked = [one for one in ports.shows.all() if one.issued and one.cursor]
    newest = sorted(worked, key=lambda one: one.date, reverse=True)[:MOST_NIGHTS]
    nights = morning.sums(ports, newest, morning.ADDED_A_REPORT)
    return tuple(
        Timed(float(leg["minutes"]), int(leg["cases"]), str(leg["move"]))
        for night in nights.values()
        for leg in night["legs"]
        if leg["minutes"] and leg["cases"]
    )
