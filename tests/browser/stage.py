"""A server in this process with one planned, issued show: what a phone needs to join.

Everything goes through the services that the office uses; only the planning runs here and now.
"""

from __future__ import annotations

import functools
import hashlib
import json
import logging
import os
import tempfile
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from server import bring_up_to_date, create_app, dump, load, ports_of
from server.core.planner.problem.answer import NoPlan
from server.core.planner.solve import solve
from server.files.show_file import parse_show, read_json
from server.service import lists, office
from server.service.records import Called, FleetCase, FleetVehicle, ShowRecord
from server.settings import ROOT, Settings
from tests.support.once import reckoned_once

if TYPE_CHECKING:
    from flask import Flask

    from server.core.shop.plan import Plan
    from server.core.shop.show import Show
    from server.service.ports import Ports

PIN: Final = "482913"
DEMO: Final = ROOT / "fixtures" / "demo" / "show.json"
SHARED: Final[list[Path]] = []
TWO_TRUCKS: Final = ROOT / "fixtures" / "shows" / "s1-two-truck-tour.json"


@dataclass(frozen=True, slots=True)
class Stage:
    """A served show; `code` joins it, with PIN as chief."""

    app: Flask
    url: str
    show: str
    code: str
    plan: Plan

    @property
    def ports(self) -> Ports:
        """What the services need."""
        return ports_of(self.app)

    def link(self) -> str:
        """Return the join link as the QR code holds it."""
        return f"{self.url}/join#{self.code}"


def small_show(first: int = 10, second: int = 6) -> dict[str, Any]:
    """Return the demo with few cases: so many on the first vehicle, so many on the second."""
    document: dict[str, Any] = read_json(DEMO)
    one, two = (vehicle["id"] for vehicle in document["vehicles"])
    cases = document["cases"][: first + second]
    document["rules"]["hands"] = "men"  # whom a wet ramp asks for one more: mixed teams have them
    document["cases"] = [
        case | {"vehicle": one if place < first else two} for place, case in enumerate(cases)
    ]
    return document


@contextmanager
def stage(
    folder: Path, document: dict[str, Any] | None = None, *, checks_first: bool = False
) -> Iterator[Stage]:
    """Serve a show file's show, planned and issued; the demo if none is given.

    `checks_first`: the shop's own list, whose checks hold the first case of every move.
    """
    text = json.dumps(document if document is not None else read_json(DEMO))
    rows, record, plan = furnished(text, checks_first=checks_first)
    app = app_in(folder)
    load(app, iter(rows), "the stage")
    with served(app) as url:
        yield Stage(app, url, record.id, record.join_code or "", plan)


def app_in(folder: Path) -> Flask:
    """Return an app on a fresh database in a folder."""
    settings = Settings(
        data=folder,
        database=f"sqlite:///{folder / 'stage.db'}",
        client=Path(os.environ.get("ROWCALL_CLIENT", ROOT / "pwa" / "dist")),
        planner=False,
    )
    app = create_app(settings)
    bring_up_to_date(app)
    return app


@functools.cache
def furnished(
    document: str, *, checks_first: bool
) -> tuple[list[dict[str, Any]], ShowRecord, Plan]:
    """Plan and issue a show once in this run; return the rows of its database."""
    if not SHARED:
        return _furnished(document, checks_first=checks_first)
    name = hashlib.sha256(f"{checks_first} {document}".encode()).hexdigest()[:16]
    return reckoned_once(SHARED[0], name, lambda: _furnished(document, checks_first=checks_first))


def furnish_in(shared: Path) -> None:
    """Keep what is furnished in a folder that all workers of this run see."""
    SHARED[:] = [shared]


def _furnished(
    document: str, *, checks_first: bool
) -> tuple[list[dict[str, Any]], ShowRecord, Plan]:
    with tempfile.TemporaryDirectory() as folder:
        app = app_in(Path(folder))
        with app.app_context():
            record, plan = furnish(ports_of(app), parse_show(json.loads(document)))
            if not checks_first:
                ask_nothing_first(ports_of(app))
        return list(dump(app)), record, plan


def ask_nothing_first(ports: Ports) -> None:
    """Ask every check, but none of them before the first case: for tests of something else."""
    checks = tuple(
        check | {"moment": "during"} if check["moment"] == "before" else check
        for check in lists.CHECKS
    )
    ports.fleet.put_settings(replace(ports.fleet.settings(), checks=checks), ports.now())


def furnish(ports: Ports, show: Show) -> tuple[ShowRecord, Plan]:
    """Fill the shop with the demo's and the show's cases, plan and issue the show."""
    now = ports.now()
    fleet = {case.code: case for case in (*parse_show(read_json(DEMO)).cases, *show.cases)}
    ports.fleet.put_cases([FleetCase(replace(case, drop=1)) for case in fleet.values()], now)
    garage = [FleetVehicle(vehicle, mark) for mark, vehicle in enumerate(show.vehicles)]
    ports.fleet.put_vehicles(garage, now)
    called = tuple(
        Called(case.code, case.drop, case.vehicle, case.near, case.together, case.priority)
        for case in show.cases
    )
    asked = office.Asked(tuple(vehicle.id for vehicle in show.vehicles), called)
    draft = ShowRecord("", show.name, show.date or "2027-05-14", show.rules, show.units, 0)
    record = office.new_show(ports, draft, asked)
    office.set_pin(ports, record.id, PIN)
    # A small show is settled within a second of work: on a busy machine that takes longer.
    return record, issue(ports, record.id, seconds=30.0 if len(show.cases) < 20 else 4.0)


def issue(ports: Ports, show: str, *, seconds: float = 4.0) -> Plan:
    """Plan a show as it is called now, keep and issue that revision."""
    core = office.core_show(ports, show)
    answer = solve(core, seconds=seconds, seed=1)
    plan = answer.best if isinstance(answer, NoPlan) else answer
    kept = office.keep_plan(ports, show, core, plan, ())
    words = {one.key: "staged" for one in office.concerns_of(ports, show, kept.revision)}
    office.issue(ports, show, kept.revision, None, "127.0.0.1", words=words)
    return plan


@contextmanager
def served(app: Flask) -> Iterator[str]:
    """Serve an app on a free port of this machine until the block ends."""
    from werkzeug.serving import make_server

    logging.getLogger("werkzeug").setLevel(logging.ERROR)
    server = make_server("127.0.0.1", 0, app, threaded=True)
    thread = threading.Thread(target=server.serve_forever, daemon=True)
    thread.start()
    try:
        yield f"http://127.0.0.1:{server.port}"
    finally:
        server.shutdown()
        thread.join(5)
