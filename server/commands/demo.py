"""`python3 server demo`: fill an empty database with the demo shop and show."""

from __future__ import annotations

import argparse
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Final

from server.commands.database import add_database, opened
from server.settings import ROOT

if TYPE_CHECKING:
    from server.service.ports import Ports

DEMO: Final = ROOT / "fixtures" / "demo"
SHOW_ID: Final = "demo"
SECONDS: Final = 4.0


def add(parser: argparse.ArgumentParser) -> None:
    """Declare the arguments."""
    add_database(parser)


def run(args: argparse.Namespace) -> int:
    """Fill an empty database; 1 when it is not empty."""
    with opened(args) as (ports, settings):
        if not is_empty(ports):
            print("This database is not empty: the demo goes only into an empty one.")
            return 1
        pin = fill(ports, settings.data)
        print(f"The demo shop and its show are there; the chief's PIN is {pin}.")
    return 0


def is_empty(ports: Ports) -> bool:
    """Return whether there is no case, no vehicle and no show."""
    return not (ports.shows.all() or ports.fleet.cases() or ports.fleet.vehicles())


def fill(ports: Ports, data: Path, seconds: float = SECONDS) -> str:
    """Add the demo shop with one show, planned and issued; return the chief's PIN."""
    from server.core.base.units import Units
    from server.files.show_file import read_show
    from server.service import office, shop
    from server.service.plan_show import keep, plan_show
    from server.service.records import Called, FleetVehicle, ShopSettings, ShowRecord
    from server.service.removal import DEMO_SHOP

    shop.put_settings(ports, ShopSettings(name=DEMO_SHOP, units=Units("in", "lb")))
    shop.import_fleet(ports, (DEMO / "fleet.csv").read_bytes(), dry_run=False)
    show = read_show(DEMO / "show.json")
    marked = [FleetVehicle(one, mark) for mark, one in enumerate(show.vehicles)]
    ports.fleet.put_vehicles(marked, ports.now())
    called = tuple(
        Called(case.code, case.drop, case.vehicle, case.near, case.together, case.priority)
        for case in show.cases
    )
    asked = office.Asked(tuple(vehicle.id for vehicle in show.vehicles), called)
    record = ShowRecord(SHOW_ID, show.name, show.date, show.rules, show.units, ports.now())
    office.put_show(ports, record, asked)
    office.renew_join(ports, SHOW_ID)
    pin = office.set_pin(ports, SHOW_ID, None)
    remember_pin(data, pin)
    full = office.core_show(ports, SHOW_ID)
    plan, _ = plan_show(full, seconds=seconds, seed=1)
    revision = keep(ports, SHOW_ID, full, plan).revision
    words = {one.key: "made-up data" for one in office.concerns_of(ports, SHOW_ID, revision)}
    office.issue(ports, SHOW_ID, revision, None, "demo", words=words)
    kept = ports.fleet.settings()
    cases = [one.case.code for one in ports.fleet.cases()]
    vehicles = [one.vehicle.id for one in ports.fleet.vehicles()]
    ports.fleet.put_settings(replace(kept, demo=(*cases, *vehicles)))
    return pin


def remember_pin(data: Path, pin: str) -> None:
    """Keep the demo's PIN readable by this user alone, so that every start can print it."""
    data.mkdir(parents=True, exist_ok=True)
    file = data / "demo-pin.txt"
    file.touch(mode=0o600)
    file.write_text(pin + "\n", encoding="utf-8")


def remembered_pin(data: Path) -> str | None:
    """Return the demo's PIN, if this is where the demo was made."""
    file = data / "demo-pin.txt"
    return file.read_text(encoding="utf-8").strip() if file.is_file() else None
