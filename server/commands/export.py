"""`python3 server export DIR`: fleet, vehicles, shows, plans, events and records as plain files."""

from __future__ import annotations

import argparse
import json
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

from server.commands.database import add_database, opened

if TYPE_CHECKING:
    from server.service.ports import Ports
    from server.service.records import CasePhoto, NightPhoto, Photo, ShowRecord

One = TypeVar("One", bound="CasePhoto | NightPhoto")


def add(parser: argparse.ArgumentParser) -> None:
    """Declare the arguments."""
    parser.add_argument("folder", type=Path, metavar="DIR", help="made if it is not there")
    add_database(parser)


def run(args: argparse.Namespace) -> int:
    """Write the files; secrets (passwords, PINs, keys of phones) are in none of them."""
    with opened(args) as (ports, _):
        args.folder.mkdir(parents=True, exist_ok=True)
        count = fleet(ports, args.folder)
        for show in ports.shows.all():
            folder = args.folder / f"show-{show.id}"
            count += one_show(ports, show, folder) + night_photos(ports, show.id, folder)
        count += case_photos(ports, args.folder)
    print(f"{args.folder}: {count} files")
    return 0


def fleet(ports: Ports, folder: Path) -> int:
    """Write cases and vehicles as CSV and JSON, settings as JSON."""
    from dataclasses import asdict

    from server.service.fleet_csv import write_fleet
    from server.service.vehicle_csv import write_vehicles

    settings = ports.fleet.settings()
    text = write_fleet(ports.fleet.cases(), settings.units)
    (folder / "fleet.csv").write_text(text, encoding="utf-8-sig", newline="")
    vehicles = ports.fleet.vehicles()
    text = write_vehicles(vehicles, settings.units)
    (folder / "vehicles.csv").write_text(text, encoding="utf-8-sig", newline="")
    _write(folder / "cases.json", [asdict(one) for one in ports.fleet.cases()])
    _write(folder / "vehicles.json", [asdict(one) for one in vehicles])
    _write(folder / "shop.json", asdict(settings))
    return 5


def one_show(ports: Ports, show: ShowRecord, folder: Path) -> int:
    """Write a show: what was called, every plan, the record of its night as JSON and CSV."""
    from dataclasses import asdict

    from server.files.plan_file import write_plan
    from server.service import record

    folder.mkdir(exist_ok=True)
    kept = asdict(show)
    for secret in ("pin", "join_code", "join_ends_at"):
        del kept[secret]
    called = [asdict(one) for one in ports.shows.called(show.id)]
    _write(folder / "show.json", {**kept, "vehicles": ports.shows.vehicles(show.id),
                                  "cases": called})  # fmt: skip
    plans = ports.plans.all(show.id)
    for plan in plans:
        document = write_plan(plan.plan, plan.show.units)
        _write(folder / f"plan-{plan.revision}.json", document)
    # The show as it was planned goes beside each plan, so that `import` of the folder restores it.
    planned = [
        {"show": asdict(one.show), "plan": asdict(one.plan), "faults": list(one.faults),
         "issued": one.revision == show.issued}
        for one in plans
    ]  # fmt: skip
    _write(folder / "planned.json", planned)
    _write(folder / "record.json", record.of_show(ports, show.id))
    text = record.as_csv(ports, show.id)
    (folder / "record.csv").write_text(text, encoding="utf-8-sig", newline="")
    return 4 + len(plans)


def case_photos(ports: Ports, folder: Path) -> int:
    """Write the photos of cases as they were sent, and a list of them."""
    from server.service.bring_photos import OF_CASES

    every = ports.case_photos.of_cases()
    return _photos(every, folder, OF_CASES, lambda one: ports.case_photos.get(one.code, one.id))


def night_photos(ports: Ports, show: str, folder: Path) -> int:
    """Write the photos of a night as they were sent, and a list of them."""
    every = ports.photos.of_show(show)
    return _photos(every, folder, "photos", lambda one: ports.photos.get(show, one.id))


def _photos(
    every: Sequence[One], folder: Path, name: str, get: Callable[[One], Photo | None]
) -> int:
    from server.service.bring_photos import file_name, listed

    lines = []
    for one in every:
        photo = get(one)
        if photo is None:
            continue  # removed while the export ran
        file = folder / file_name(name, one)
        file.parent.mkdir(exist_ok=True)
        file.write_bytes(photo.content)
        lines.append(listed(one, photo.content))
    _write(folder / f"{name}.json", lines)
    return len(lines) + 1


def _write(file: Path, value: Any) -> None:
    text = json.dumps(value, indent=1, ensure_ascii=False) + "\n"
    file.write_text(text, encoding="utf-8")
