"""Delete what nobody ever used, and the demo in one press; what has a history is kept."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from server.service.changing import TRIES
from server.service.document_records import Stamp
from server.service.ports import Ports
from server.service.troubles import Conflict, Stale, Unknown

DEMO_SHOW: Final = "demo"
DEMO_SHOP: Final = "Lantern Quay Productions"


def delete_case(ports: Ports, code: str, expect: int | None = None) -> None:
    """Delete a case that was on no show; Conflict where its history must be kept.

    `expect`, here and below: the version that was seen; Stale where it is another by now.
    """
    if ports.fleet.case(code) is None:
        raise Unknown(f"There is no case {code[:60]}.")
    names = [
        show.name
        for show in ports.shows.all()
        if any(one.code == code for one in ports.shows.called(show.id))
    ]
    if names or ports.log.of_case(code, 1):
        where = f" ({', '.join(names[:3])})" if names else ""
        raise Conflict(
            f"{code} has been called for shows{where}, so its history is kept. "
            "Set its state to retired instead: it is then offered for no show."
        )
    ports.fleet.remove([code], [], Stamp(ports.now(), ports.by), expect)
    _out_of_kits(ports, code)


def _out_of_kits(ports: Ports, code: str) -> None:
    """Take a deleted case out of the kits that have it: a kit of nothing goes with its last."""
    for _ in range(TRIES):
        version = ports.versions.number("shop", "1")
        before = ports.fleet.settings()
        kits = tuple(
            {**kit, "codes": [one for one in kit["codes"] if one != code]} for kit in before.kits
        )
        after = replace(before, kits=tuple(kit for kit in kits if kit["codes"]))
        if kits == before.kits:
            return
        try:
            ports.fleet.put_settings(after, ports.now(), by=ports.by, expect=version)
        except Stale:
            continue
        return


def delete_vehicle(ports: Ports, vehicle: str, expect: int | None = None) -> None:
    """Delete a vehicle that no show had; Conflict where a show or plan has it."""
    if ports.fleet.vehicle(vehicle) is None:
        raise Unknown(f"There is no vehicle {vehicle[:60]}.")
    names = [
        show.name
        for show in ports.shows.all()
        if vehicle in ports.shows.vehicles(show.id)
        or any(vehicle == one.id for plan in ports.plans.all(show.id) for one in plan.show.vehicles)
    ]
    if names:
        raise Conflict(
            f"{vehicle} is booked or planned for {', '.join(names[:3])}, so it is kept. "
            "Archive it instead: it is then offered for no new show."
        )
    ports.fleet.remove([], [vehicle], Stamp(ports.now(), ports.by), expect)


def delete_show(ports: Ports, show_id: str, expect: int | None = None) -> None:
    """Delete a show that the crew never had; Conflict where its night is on record."""
    show = ports.shows.show(show_id)
    if show is None:
        raise Unknown("There is no such show.")
    if show.issued or ports.log.cursor(show_id):
        raise Conflict(
            f"{show.name} was issued to the crew, so its record is kept. Close it instead."
        )
    if ports.jobs.busy(show_id) is not None:
        raise Conflict(f"{show.name} is being planned: stop the planning first.")
    ports.shows.remove(show_id, Stamp(ports.now(), ports.by), expect)


def remove_demo(ports: Ports) -> int:
    """Remove the demo: its show with all its facts, its cases and vehicles that no show uses."""
    version = ports.versions.number("shop", "1")
    settings = ports.fleet.settings()
    if ports.shows.show(DEMO_SHOW) is None and not settings.demo:
        raise Conflict("There is no demo in this shop.")
    if ports.jobs.busy(DEMO_SHOW) is not None:
        raise Conflict("The demo is being planned: stop the planning first.")
    if ports.shows.show(DEMO_SHOW) is not None:
        ports.shows.remove(DEMO_SHOW)
    shows = [one.id for one in ports.shows.all()]
    used = {one.code for show in shows for one in ports.shows.called(show)}
    booked = {one for show in shows for one in ports.shows.vehicles(show)}
    demo = set(settings.demo)
    cases = [one.case.code for one in ports.fleet.cases() if one.case.code in demo - used]
    vehicles = [one.vehicle.id for one in ports.fleet.vehicles() if one.vehicle.id in demo - booked]
    ports.fleet.remove(cases, vehicles, Stamp(ports.now(), ports.by))
    gone = set(cases)
    kits = tuple(kit for kit in settings.kits if not gone & set(kit.get("codes", ())))
    name = "" if settings.name == DEMO_SHOP else settings.name
    after = replace(settings, name=name, kits=kits, demo=())
    try:
        ports.fleet.put_settings(after, ports.now(), by=ports.by, expect=version)
    except Stale as stale:
        raise Conflict("Somebody changed the shop just now: remove the demo again.") from stale
    return len(cases)
