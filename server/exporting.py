"""Everything that a shop has as plain files, in a folder or one zip; and back, digests compared."""

from __future__ import annotations

import hashlib
import io
import json
import zipfile
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import asdict
from typing import Any, Final, TypeVar

from server.files.plan_file import write_plan
from server.service import record
from server.service.bring_photos import OF_CASES, file_name, listed
from server.service.fleet_csv import write_fleet
from server.service.ports import Ports
from server.service.records import CasePhoto, NightPhoto, Photo, ShowRecord
from server.service.vehicle_csv import write_vehicles
from server.trouble import BadInput

DIGESTS: Final = "digests.json"
FORMAT: Final = "rowcall-export-1"
MOST_FILES: Final = 200_000
MOST_BYTES: Final = 8_000_000_000
Entry = tuple[str, bytes]
One = TypeVar("One", bound="CasePhoto | NightPhoto")


def entries(ports: Ports) -> Iterator[Entry]:
    """Yield every file by name, the digests of all last.

    Secrets (passwords, PINs, keys of phones) are in none of them.
    """
    digests: dict[str, str] = {}
    for name, content in _files(ports):
        digests[name] = hashlib.sha256(content).hexdigest()
        yield name, content
    yield DIGESTS, _json({"format": FORMAT, "sha256": digests})


def as_zip(ports: Ports) -> bytes:
    """Return everything as one zip."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as packed:
        for name, content in entries(ports):
            packed.writestr(name, content)
    return out.getvalue()


def opened_zip(content: bytes, place: str) -> Callable[[str], bytes | None]:
    """Return what reads the files of a zip by name, digests compared; BadInput names the file."""
    try:
        packed = zipfile.ZipFile(io.BytesIO(content))
        members = packed.infolist()
        too_many = len(members) > MOST_FILES or sum(m.file_size for m in members) > MOST_BYTES
        if too_many:
            raise BadInput(place, f"at most {MOST_FILES} files and {MOST_BYTES} bytes", "more")
        files = {one.filename: packed.read(one) for one in members if not one.is_dir()}
    except (zipfile.BadZipFile, RuntimeError, EOFError) as error:
        raise BadInput(place, "the zip of an export", str(error)[:80] or "none") from error
    compare(files, place)
    return files.get


def compare(files: Mapping[str, bytes], place: str) -> None:
    """Refuse files that are not as they were exported; BadInput names the first of them."""
    try:
        known = json.loads(files[DIGESTS])["sha256"]
    except (KeyError, TypeError, ValueError) as error:
        raise BadInput(f"{place}: {DIGESTS}", "the digests of an export", "none") from error
    for name, digest in known.items():
        if name not in files:
            raise BadInput(f"{place}: {name}", "a file of this name in the export", "none")
        if hashlib.sha256(files[name]).hexdigest() != digest:
            raise BadInput(f"{place}: {name}", "the file as it was given out", "another")
    more = next((name for name in files if name not in known and name != DIGESTS), None)
    if more is not None:
        raise BadInput(f"{place}: {more}", "only files of the export", "another")


def documents(names: Sequence[str], read: Callable[[str], bytes | None]) -> dict[str, object]:
    """Return every JSON file of an export by its name."""
    found: dict[str, object] = {}
    for name in sorted(names):
        if not name.endswith(".json"):
            continue
        try:
            found[name] = json.loads(read(name) or b"")
        except ValueError as error:
            raise BadInput(name, "JSON", str(error)) from error
    return found


def names_of(read: Callable[[str], bytes | None]) -> list[str]:
    """Return the names of the files whose digests were compared."""
    return list(json.loads(read(DIGESTS) or b"{}").get("sha256", {}))


def _files(ports: Ports) -> Iterator[Entry]:
    yield from _fleet(ports)
    for show in ports.shows.all():
        folder = f"show-{show.id}"
        yield from _show(ports, show, folder)
        every = ports.photos.of_show(show.id)

        def get(one: NightPhoto, show_id: str = show.id) -> Photo | None:
            return ports.photos.get(show_id, one.id)

        yield from _photos(every, f"{folder}/", "photos", get)
    of_cases = ports.case_photos.of_cases()
    yield from _photos(of_cases, "", OF_CASES, lambda one: ports.case_photos.get(one.code, one.id))


def _fleet(ports: Ports) -> Iterator[Entry]:
    """Cases and vehicles as CSV and JSON, settings as JSON."""
    settings = ports.fleet.settings()
    cases, vehicles = ports.fleet.cases(), ports.fleet.vehicles()
    yield "fleet.csv", _csv(write_fleet(cases, settings.units))
    yield "vehicles.csv", _csv(write_vehicles(vehicles, settings.units))
    yield "cases.json", _json([asdict(one) for one in cases])
    yield "vehicles.json", _json([asdict(one) for one in vehicles])
    yield "shop.json", _json(asdict(settings))


def _show(ports: Ports, show: ShowRecord, folder: str) -> Iterator[Entry]:
    """A show: what was called, every plan, the record of its night as JSON and CSV."""
    kept = asdict(show)
    for secret in ("pin", "join_code", "join_ends_at"):
        del kept[secret]
    called = [asdict(one) for one in ports.shows.called(show.id)]
    document = {**kept, "vehicles": ports.shows.vehicles(show.id), "cases": called}
    yield f"{folder}/show.json", _json(document)
    plans = ports.plans.all(show.id)
    for plan in plans:
        written = write_plan(plan.plan, plan.show.units)
        yield f"{folder}/plan-{plan.revision}.json", _json(written)
    # The show as it was planned is beside each plan, so that an import restores it.
    planned = [
        {"show": asdict(one.show), "plan": asdict(one.plan), "faults": list(one.faults),
         "issued": one.revision == show.issued}
        for one in plans
    ]  # fmt: skip
    yield f"{folder}/planned.json", _json(planned)
    yield f"{folder}/record.json", _json(record.of_show(ports, show.id))
    yield f"{folder}/record.csv", _csv(record.as_csv(ports, show.id))


def _photos(
    every: Sequence[One], folder: str, name: str, get: Callable[[One], Photo | None]
) -> Iterator[Entry]:
    """Photos as they were sent, and a list of them."""
    lines = []
    for one in every:
        photo = get(one)
        if photo is None:
            continue  # removed while the export ran
        yield f"{folder}{file_name(name, one)}", photo.content
        lines.append(listed(one, photo.content))
    yield f"{folder}{name}.json", _json(lines)


def _json(value: Any) -> bytes:
    return (json.dumps(value, indent=1, ensure_ascii=False) + "\n").encode()


def _csv(text: str) -> bytes:
    return text.encode("utf-8-sig")
