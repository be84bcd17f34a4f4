"""The owner's shop: settings, cases and vehicles, singly or by a file."""

from __future__ import annotations

import csv
import io
from collections.abc import Callable
from dataclasses import dataclass
from typing import Final, TypeVar

from server.core.shop.case_code import CHECKED, BadCode, CaseCode, Numbering, Refused
from server.core.shop.numbering import OwnNumbering, SeveralNumberings
from server.service.aside import held_by, refuse_held
from server.service.case_tags import refuse_tags
from server.service.changing import together
from server.service.document_records import Expected
from server.service.fleet_csv import read_fleet, write_fleet
from server.service.ports import Ports
from server.service.records import FleetCase, FleetVehicle, ShopSettings
from server.service.troubles import Conflict, Unknown, Wrong
from server.service.vehicle_csv import read_vehicles, write_vehicles

MOST_TOLD: Final = 200
One = TypeVar("One")


def numbering(settings: ShopSettings) -> Numbering:
    """Return how this shop's codes look; codes with check character are fine beside its own."""
    if not settings.numbering:
        return CHECKED
    return SeveralNumberings((OwnNumbering(settings.numbering), CHECKED))


def put_settings(ports: Ports, settings: ShopSettings, expect: int | None = None) -> None:
    """Keep the shop's settings; a numbering that makes no sense is refused.

    `expect`, here and below: the version that is changed; Stale where it is another by now.
    """
    try:
        numbering(settings)
    except BadCode as bad:
        raise Wrong(str(bad), (("numbering", f"expected {bad.expected}"),)) from bad
    for what, entries in (("checks", settings.checks), ("walk", settings.walk)):
        ids = [entry["id"] for entry in entries]
        if len(ids) != len(set(ids)):
            raise Wrong("Every entry needs an id of its own.", ((what, "expected each id once"),))
    ports.fleet.put_settings(settings, ports.now(), by=ports.by, expect=expect)


def put_case(ports: Ports, case: FleetCase, *, new: bool, expect: int | None = None) -> None:
    """Add a case, or change one; a code is for life and must be as the shop numbers."""
    there = ports.fleet.case(case.case.code)
    if new and there is not None:
        raise Conflict(f"There is a case {case.case.code} already.")
    if not new and there is None:
        raise Unknown(f"There is no case {case.case.code}.")
    refused = numbering(ports.fleet.settings()).canonical(case.case.code)
    if isinstance(refused, Refused) and new:
        raise Wrong(refused.reason, (("code", refused.reason),))
    refuse_tags(ports, [case])
    ports.fleet.put_cases([case], ports.now(), by=ports.by, expect=expect)


def put_vehicle(
    ports: Ports, vehicle: FleetVehicle, *, new: bool, expect: int | None = None
) -> None:
    """Add a vehicle, or change one."""
    there = ports.fleet.vehicle(vehicle.vehicle.id)
    if new and there is not None:
        raise Conflict(f"There is a vehicle {vehicle.vehicle.id} already.")
    if not new and there is None:
        raise Unknown(f"There is no vehicle {vehicle.vehicle.id}.")
    if vehicle.aside and there is not None and not there.aside:
        refuse_held(ports, vehicle.vehicle.id)
    ports.fleet.put_vehicles([vehicle], ports.now(), by=ports.by, expect=expect)


@dataclass(frozen=True, slots=True)
class Change:
    """What a file changes of a case or vehicle: column, cell before, cell after, shop's units."""

    code: str
    fields: tuple[tuple[str, str, str], ...]


@dataclass(frozen=True, slots=True)
class Imported:
    """What a file did, or would do; `changes` tells the first of them cell by cell."""

    new: int
    changed: int
    same: int
    changes: tuple[Change, ...] = ()


def import_fleet(ports: Ports, content: bytes, *, dry_run: bool) -> Imported:
    """Import a fleet file: all of it, or nothing (BadCsv). Cases that are not in it stay."""
    return together(ports, "case", lambda expect: _fleet(ports, content, expect, dry_run=dry_run))


def _fleet(ports: Ports, content: bytes, expect: Expected, *, dry_run: bool) -> Imported:
    settings = ports.fleet.settings()
    looks = numbering(settings)
    there = {one.case.code: one for one in ports.fleet.cases()}

    def code_trouble(code: str) -> str | None:
        refused = looks.canonical(code)
        if not isinstance(refused, Refused) or code in there:
            return None
        if refused.kind == "check":
            return f"a code with the check character that belongs to it{_right(code)}"
        return refused.reason if settings.numbering else "a case code such as PW-031-7"

    cases = read_fleet(content, settings.units, code_trouble, there)
    new = [case for case in cases if case.case.code not in there]
    changed = [case for case in cases if there.get(case.case.code, case) != case]
    refuse_tags(ports, [*new, *changed])
    if not dry_run:
        ports.fleet.put_cases([*new, *changed], ports.now(), by=ports.by, expect=expect)
    pairs = [(there[one.case.code], one) for one in changed[:MOST_TOLD]]
    told = changes(pairs, lambda cases: write_fleet(cases, settings.units))
    return Imported(len(new), len(changed), len(cases) - len(new) - len(changed), told)


def _right(code: str) -> str:
    """Return the code as it would have to be, for whoever makes codes in a spreadsheet."""
    department, _, rest = code.partition("-")
    try:
        right = CaseCode(department, int(rest.partition("-")[0]))
    except ValueError:
        return ""
    return f" ({right})" if right.may_be_issued else " (this number is never issued)"


def import_vehicles(ports: Ports, content: bytes, *, dry_run: bool) -> Imported:
    """Import a file of vehicles: all of it, or nothing (BadCsv). Others stay as they are."""
    return together(
        ports, "vehicle", lambda expect: _garage(ports, content, expect, dry_run=dry_run)
    )


def _garage(ports: Ports, content: bytes, expect: Expected, *, dry_run: bool) -> Imported:
    units = ports.fleet.settings().units
    there = {one.vehicle.id: one for one in ports.fleet.vehicles()}
    vehicles = read_vehicles(content, units, there, held_by(ports))
    new = [one for one in vehicles if one.vehicle.id not in there]
    changed = [one for one in vehicles if there.get(one.vehicle.id, one) != one]
    if not dry_run:
        ports.fleet.put_vehicles([*new, *changed], ports.now(), by=ports.by, expect=expect)
    pairs = [(there[one.vehicle.id], one) for one in changed[:MOST_TOLD]]
    told = changes(pairs, lambda some: write_vehicles(some, units))
    return Imported(len(new), len(changed), len(vehicles) - len(new) - len(changed), told)


def changes(pairs: list[tuple[One, One]], write: Callable[[list[One]], str]) -> tuple[Change, ...]:
    """Return cell by cell what differs between each thing before and after."""
    columns, *lines = csv.reader(io.StringIO(write([one for pair in pairs for one in pair])))
    return tuple(
        Change(
            after[0],
            tuple(
                (column, was, becomes)
                for column, was, becomes in zip(columns, before, after, strict=True)
                if was != becomes
            ),
        )
        for before, after in zip(lines[::2], lines[1::2], strict=True)
    )
