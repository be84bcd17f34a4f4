"""An imported export: shop, shows, plans and nights, into a database that holds none of it.

Everything is read and checked before the first of it is written. What an export leaves out stays
out: passwords, PINs, join codes, keys of phones.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any, Final

from pydantic import TypeAdapter, ValidationError

from server.core.night.record_chain import verify
from server.core.shop.plan import Plan
from server.core.shop.show import Show
from server.service import bring_photos, hand_out, office
from server.service.bring_photos import OF_CASES, CasePhotoFile, NightPhotoFile, Pictures
from server.service.ports import Ports
from server.service.records import (
    Called,
    FleetCase,
    FleetVehicle,
    NewEvent,
    ShopSettings,
    ShowRecord,
)
from server.service.troubles import Conflict
from server.trouble import BadInput

CARRIER: Final = "export"


@dataclass(frozen=True, slots=True)
class Planned:
    """One revision as an export keeps it: with the show as it was planned."""

    show: Show
    plan: Plan
    faults: tuple[str, ...]
    issued: bool = False


@dataclass(frozen=True, slots=True)
class Night:
    """One show of an export."""

    show: ShowRecord
    vehicles: tuple[str, ...]
    called: tuple[Called, ...]
    plans: tuple[Planned, ...]
    record: dict[str, Any]
    folder: str = ""
    photos: tuple[NightPhotoFile, ...] = ()


@dataclass(frozen=True, slots=True)
class Export:
    """A whole export, read and checked."""

    shop: ShopSettings
    cases: tuple[FleetCase, ...]
    vehicles: tuple[FleetVehicle, ...]
    nights: tuple[Night, ...]
    photos: tuple[CasePhotoFile, ...] = ()


def read(files: Mapping[str, Any]) -> Export:
    """Return the export out of its JSON files by name; BadInput names the file that is wrong."""
    nights = []
    for name, document in sorted(files.items()):
        folder, _, file = name.partition("/")
        if file == "show.json":
            nights.append(_night(files, folder, document))
    return Export(
        _as(ShopSettings, files, "shop.json"),
        _as(tuple[FleetCase, ...], files, "cases.json"),
        _as(tuple[FleetVehicle, ...], files, "vehicles.json"),
        tuple(nights),
        _photos(tuple[CasePhotoFile, ...], files, f"{OF_CASES}.json"),
    )


def _night(files: Mapping[str, Any], folder: str, document: Any) -> Night:
    name = f"{folder}/show.json"
    if not isinstance(document, dict):
        raise BadInput(name, "a show", type(document).__name__)
    kept = {key: value for key, value in document.items() if key not in {"vehicles", "cases"}}
    record = files.get(f"{folder}/record.json")
    if record is None or verify(record):
        raise BadInput(f"{folder}/record.json", "a record that nobody changed", "another")
    return Night(
        _as(ShowRecord, {name: kept}, name),
        _as(tuple[str, ...], {name: document.get("vehicles")}, name),
        _as(tuple[Called, ...], {name: document.get("cases")}, name),
        _as(tuple[Planned, ...], files, f"{folder}/planned.json"),
        record,
        f"{folder}/photos",
        _photos(tuple[NightPhotoFile, ...], files, f"{folder}/photos.json"),
    )


def _photos(kind: Any, files: Mapping[str, Any], name: str) -> Any:
    """Return the photos that a file lists; an export of an older version has no such file."""
    return _as(kind, files, name) if name in files else ()


def _as(kind: Any, files: Mapping[str, Any], name: str) -> Any:
    if name not in files:
        raise BadInput(name, "a file of this name in the export", "none")
    try:
        return TypeAdapter(kind).validate_python(files[name])
    except ValidationError as error:
        first = error.errors()[0]
        place = ".".join(map(str, first["loc"]))
        raise BadInput(f"{name} {place}".strip(), first["msg"], str(first["input"])[:60]) from error


def bring_back(ports: Ports, export: Export, pictures: Pictures) -> int:
    """Write the export into an empty database; return how many shows came back."""
    if ports.shows.all() or ports.fleet.cases() or ports.fleet.vehicles():
        raise Conflict("This database is not empty: an export goes only into an empty one.")
    small = _checked_photos(ports, export, pictures)
    now = ports.now()
    ports.fleet.put_settings(export.shop)
    ports.fleet.put_cases(export.cases, now)
    bring_photos.store_cases(ports, export.photos, small, pictures)
    ports.fleet.put_vehicles(export.vehicles, now)
    marks = {one.vehicle.id: one.mark for one in export.vehicles}
    for night in export.nights:
        fresh = replace(night.show, cursor=0, issued=0, closed_at=None)
        ports.shows.put(fresh, night.vehicles, night.called)
        for one in night.plans:
            kept = office.keep_plan(ports, fresh.id, one.show, one.plan, one.faults)
            if one.issued:
                sheets = hand_out.sheets(one.show, one.plan, marks)
                ports.plans.issue(fresh.id, kept.revision, sheets, now)
        events = _in_arrival(night.record)
        if events:
            ports.log.append(fresh.id, events, now, CARRIER)
        bring_photos.store_night(ports, fresh.id, night.folder, night.photos, pictures)
        if night.show.closed_at is not None:
            ports.shows.close(fresh.id, night.show.closed_at)
    return len(export.nights)


def _checked_photos(ports: Ports, export: Export, pictures: Pictures) -> dict[str, bytes]:
    """Check every photo before anything is written; return the small ones of cases."""
    codes = {one.case.code for one in export.cases}
    stranger = next((one.code for one in export.photos if one.code not in codes), None)
    if stranger is not None:
        raise BadInput(f"{OF_CASES}.json", "a case of the export", stranger)
    bring_photos.checked(ports, OF_CASES, export.photos, pictures)
    for night in export.nights:
        bring_photos.checked(ports, night.folder, night.photos, pictures)
    return bring_photos.small_ones(ports, export.photos, pictures)


def _in_arrival(record: Mapping[str, Any]) -> list[NewEvent]:
    """Return the facts of a record as they arrived; older records do not say how that was."""
    arrivals = record.get("arrivals") or [(0, None)] * len(record["events"])
    facts = zip(arrivals, record["events"], strict=True)
    return [_event(document, at) for (_, at), document in sorted(facts, key=lambda one: one[0][0])]


def _event(document: dict[str, Any], at: int | None) -> NewEvent:
    code = document["body"].get("code")
    return NewEvent(
        id=document["id"],
        device=document["device"],
        n=document["n"],
        kind=document["body"]["kind"][:24],
        code=None if code is None else code[:60],
        hlc=document["hlc"],
        document=json.dumps(document, ensure_ascii=False),
        received_at=at,
    )
