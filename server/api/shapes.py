"""The documents of the office as clients see them: read, changed, kept; one function a kind."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import asdict, replace
from typing import Any, Final

from flask import g, request
from pydantic import ValidationError

from server.api.bookings_models import KitModel
from server.api.case_models import CaseModel
from server.api.context import ports
from server.api.models import Strict
from server.api.office_models import ShopModel
from server.api.show_models import ShowModel
from server.api.vehicle_models import VehicleModel
from server.api.wire import (
    called_from,
    called_to,
    case_from,
    case_plain,
    details_from,
    details_to,
    rules_from,
    rules_to,
    vehicle_from,
    vehicle_to,
)
from server.core.base.units import Units
from server.service import bookings, office
from server.service import shop as service
from server.service.changing import NoVersion, Shape
from server.service.document_records import ShowDocument
from server.service.records import FleetCase, FleetVehicle, ShopSettings
from server.service.troubles import Unknown, Wrong

Plain = dict[str, Any]
SHOP_ID: Final = "1"


def seen() -> int | None:
    """Return the version that If-Match names; None for `*`, 0 for one that is not ours.

    NoVersion where there is no If-Match: such a change could undo what others did.
    """
    if "If-Match" not in request.headers:
        raise NoVersion("Send the header If-Match with the ETag of the version that you saw.")
    if request.if_match.star_tag:
        return None
    tags = filter(None, request.if_match.as_set())
    ours = [tag.removesuffix(_generation()) for tag in tags if tag.endswith(_generation())]
    numbers = [int(tag) for tag in ours if tag.isdecimal() and len(tag) < 10]
    return max(numbers, default=0)


def tag(number: int) -> None:
    """Give this answer the ETag of a version."""
    g.version = tag_of(number)


def tag_of(number: int) -> str:
    """Return what an ETag says of a version; a restored database numbers a generation anew."""
    return f"{number}{_generation()}"


def _generation() -> str:
    found = ports().settings.get("generation")
    return "" if found is None else f".{found}"


def _whole(model: type[Strict], named: Callable[[Plain], Plain] = dict) -> Callable[[Plain], Plain]:
    """Return what checks a document against its model and fills in what was left out."""

    def check(document: Plain) -> Plain:
        try:
            found = model.model_validate(document)
        except ValidationError as error:
            faults = tuple(
                (".".join(map(str, one["loc"])), one["msg"]) for one in error.errors()[:50]
            )
            raise Wrong("Something in it is not as expected.", faults) from error
        return named(found.model_dump(by_alias=True))

    return check


def case_shape(code: str) -> Shape:
    """Return a case of the fleet."""

    def now() -> Plain:
        found = ports().fleet.case(code)
        if found is None:
            raise Unknown(f"There is no case {code[:60]}.")
        return case_plain(found)

    def keep(document: Plain, expect: int) -> None:
        if document["code"] != code:
            raise Wrong("A code is for life.", (("code", f"expected {code[:60]}"),))
        case = case_from(CaseModel.model_validate(document))
        service.put_case(ports(), case, new=False, expect=expect)

    def past(document: FleetCase) -> Plain:
        return case_plain(document)

    return Shape("case", code, now, past, _whole(CaseModel), keep)


def vehicle_shape(vehicle: str) -> Shape:
    """Return a vehicle of the shop."""

    def now() -> Plain:
        found = ports().fleet.vehicle(vehicle)
        if found is None:
            raise Unknown(f"There is no vehicle {vehicle[:60]}.")
        return past(found)

    def keep(document: Plain, expect: int) -> None:
        if document["id"] != vehicle:
            raise Wrong("A vehicle keeps its id.", (("id", f"expected {vehicle[:60]}"),))
        changed = vehicle_from(VehicleModel.model_validate(document))
        service.put_vehicle(ports(), changed, new=False, expect=expect)

    def past(document: FleetVehicle) -> Plain:
        return vehicle_to(document).model_dump()

    return Shape("vehicle", vehicle, now, past, _whole(VehicleModel), keep)


def shop_shape() -> Shape:
    """Return the shop's settings and lists; its kits have an address of their own."""

    def now() -> Plain:
        return past(ports().fleet.settings())

    def keep(document: Plain, expect: int) -> None:
        settings = ShopSettings(
            name=document["name"],
            units=Units(**document["units"]),
            language=document["language"],
            numbering=document["numbering"],
            checks=tuple(document["checks"]),
            walk=tuple(document["walk"]),
            kits=ports().fleet.settings().kits,
            demo=ports().fleet.settings().demo,
            homes=tuple(dict.fromkeys(document["homes"])),
        )
        service.put_settings(ports(), settings, expect)

    def past(document: ShopSettings) -> Plain:
        plain = asdict(document)
        del plain["kits"], plain["demo"]  # they have addresses of their own
        return {**plain, **{name: list(plain[name]) for name in ("checks", "walk", "homes")}}

    return Shape("shop", SHOP_ID, now, past, _whole(ShopModel), keep)


def kits_shape() -> Shape:
    """Return the kits, under the one name `kits`."""

    def now() -> Plain:
        return past(ports().fleet.settings())

    def keep(document: Plain, expect: int) -> None:
        bookings.put_kits(ports(), document["kits"], expect)

    def past(document: ShopSettings) -> Plain:
        return {"kits": [dict(one) for one in document.kits]}

    def whole(document: Plain) -> Plain:
        return {"kits": [_whole(KitModel)(one) for one in document["kits"]]}

    return Shape("shop", SHOP_ID, now, past, whole, keep)


def show_shape(show: str) -> Shape:
    """Return what the office says of a show."""

    def now() -> Plain:
        found = ports().shows.document(show)
        if found is None:
            raise Unknown("There is no such show.")
        return past(found)

    def keep(document: Plain, expect: int) -> None:
        model = ShowModel.model_validate(document)
        before = office.show_of(ports(), show)
        units = before.units if model.units is None else Units(**model.units.model_dump())
        changed = replace(
            before, name=model.name, date=model.date, rules=rules_from(model.rules), units=units,
            details=details_from(model),
        )  # fmt: skip
        asked = office.Asked(tuple(model.vehicles), called_from(model.cases))
        office.put_show(ports(), changed, asked, expect)

    def past(document: ShowDocument) -> Plain:
        return {
            "name": document.name,
            "date": document.date,
            **details_to(document.details),
            "rules": rules_to(document.rules).model_dump(),
            "units": asdict(document.units),
            "vehicles": list(document.vehicles),
            "cases": called_to(list(document.called)),
        }

    def named(document: Plain) -> Plain:
        units = document["units"] or now()["units"]
        return {**document, "name": document["name"].strip(), "units": units}

    return Shape("show", show, now, past, _whole(ShowModel, named), keep)


def shape_of(kind: str, one: str) -> Shape:
    """Return a document by its kind and id; Unknown where there is none."""
    if kind in {"shop", "kits"}:
        return shop_shape() if kind == "shop" else kits_shape()
    makers = {"case": case_shape, "vehicle": vehicle_shape, "show": show_shape}
    if kind not in makers:
        raise Unknown("There is no such kind of document: shop, kits, case, vehicle and show are.")
    shape = makers[kind](one)
    shape.now()
    return shape
