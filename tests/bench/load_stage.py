"""A served shop with some shows on a scratch database, and what its processes cost."""

from __future__ import annotations

import contextlib
import os
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Final

from server.commands import demo
from server.files.show_file import parse_show
from server.service import hand_out, office, shop
from server.service.plan_show import keep, plan_show
from server.service.ports import Ports
from server.service.records import Called, FleetCase, FleetVehicle, ShopSettings, ShowRecord
from tests.bench.show_generator import make_show
from tests.support.app import Bench
from tests.support.needs import find_postgres
from tests.support.postgres import mortal_cluster, scratch_database
from tests.support.serving import Server, serving

TICKS: Final = os.sysconf("SC_CLK_TCK")
WORKERS: Final = {"sqlite": 1, "postgresql": 2}


@dataclass(frozen=True, slots=True)
class Stage:
    """A running server; `codes` are the join codes by show, `postgres` its first process or 0.

    `url` and `data` are where it keeps what it holds.
    """

    server: Server
    codes: dict[str, str]
    postgres: int
    processes: int
    url: str
    data: Path


@contextmanager
def staged(database: str, threads: int, shows: int = 1, cases: int = 0) -> Iterator[Stage]:
    """Yield a server with shows: copies of the demo, or of a show of so many cases.

    One process on SQLite, two on PostgreSQL.
    """
    with contextlib.ExitStack() as held:
        folder = held.enter_context(tempfile.TemporaryDirectory(prefix="rowcall-load-"))
        data, words, postgres = Path(folder), ["--threads", str(threads)], 0
        url = f"sqlite:///{data / 'rowcall.sqlite'}"
        if database == "postgresql":
            programs = find_postgres()
            assert programs is not None
            cluster = held.enter_context(mortal_cluster(programs))
            url = held.enter_context(scratch_database(cluster.folder, "load"))
            words += ["--database", url, "--workers", str(WORKERS[database])]
            assert cluster.process is not None
            postgres = cluster.process.pid
        codes = filled(url, data, shows, cases)
        server = held.enter_context(serving(data, *words))
        yield Stage(server, codes, postgres, WORKERS[database], url, data)


def filled(url: str, folder: Path, shows: int, cases: int) -> dict[str, str]:
    """Fill a database; return the join code of each show."""
    bench = Bench(url, folder)
    ports, codes = bench.ports, dict[str, str]()
    with bench.app.app_context():
        if cases:
            put_show_of(ports, cases)
        else:
            demo.fill(ports, folder, seconds=0.2)
        (model,) = ports.shows.all()
        plan = ports.plans.get(model.id, 1)
        assert plan is not None and plan.sheets is not None
        booked, called = ports.shows.vehicles(model.id), ports.shows.called(model.id)
        for number in range(2, shows + 1):
            name = f"show-{number}"
            copied = replace(model, id=name, name=f"{model.name} {number}", cursor=0, issued=0)
            ports.shows.put(copied, booked, called)
            office.renew_join(ports, name)
            ports.plans.add(name, plan.show, plan.plan, plan.faults, ports.now())
            ports.plans.issue(name, 1, plan.sheets, ports.now())
        for show in ports.shows.all():
            assert show.join_code is not None
            codes[show.id] = show.join_code
    bench.close()
    return codes


def put_show_of(ports: Ports, cases: int) -> None:
    """Add a show of the planner's bench, planned for a second and issued."""
    shop.put_settings(ports, ShopSettings(name="Bench"))
    show = parse_show(make_show(cases, seed=1))
    plan, _ = plan_show(show, seconds=1.0, seed=1)
    ports.fleet.put_cases([FleetCase(one, "", "good") for one in show.cases], ports.now())
    marks = {one.id: mark for mark, one in enumerate(show.vehicles)}
    ports.fleet.put_vehicles([FleetVehicle(one, marks[one.id]) for one in show.vehicles], 0)
    record = ShowRecord("show-1", "Bench", "", show.rules, show.units, ports.now())
    called = [Called(one.code, one.drop, None, None, None) for one in show.cases]
    ports.shows.put(record, [one.id for one in show.vehicles], called)
    office.renew_join(ports, "show-1")
    kept = keep(ports, "show-1", show, plan)
    ports.plans.issue("show-1", kept.revision, hand_out.sheets(show, plan, marks), ports.now())


@dataclass(frozen=True, slots=True)
class Cost:
    """Processor seconds so far: of the server, of PostgreSQL, of the clients, of all there is."""

    server: float
    postgres: float
    clients: float
    busy: float

    def __sub__(self, other: Cost) -> Cost:
        return Cost(
            self.server - other.server,
            self.postgres - other.postgres,
            self.clients - other.clients,
            self.busy - other.busy,
        )

    @property
    def others(self) -> float:
        """Return what the machine did for others meanwhile."""
        return max(0.0, self.busy - self.server - self.postgres - self.clients)


def cost_of(stage: Stage) -> Cost:
    """Read what was used so far."""
    machine = Path("/proc/stat").read_text(encoding="ascii").split("\n", 1)[0].split()[1:9]
    user, nice, system, _idle, _wait, irq, soft, steal = map(int, machine)
    return Cost(
        server=sum(map(used, family(stage.server.process.pid))),
        postgres=sum(map(used, family(stage.postgres))) if stage.postgres else 0.0,
        clients=used(os.getpid()),
        busy=(user + nice + system + irq + soft + steal) / TICKS,
    )


def used(pid: int) -> float:
    """Return the processor seconds of a process and of its children that have ended."""
    try:
        text = Path(f"/proc/{pid}/stat").read_text(encoding="utf-8", errors="replace")
    except OSError:
        return 0.0  # it ended meanwhile
    return sum(map(int, text.rsplit(")", 1)[1].split()[11:15])) / TICKS


def family(pid: int) -> list[int]:
    """Return a process and all that it started."""
    try:
        words = Path(f"/proc/{pid}/task/{pid}/children").read_text(encoding="ascii").split()
    except OSError:
        return []
    return [pid, *(one for word in words for one in family(int(word)))]


def memory_mb(pid: int) -> list[int]:
    """Return the resident memory of a process and of each that it started, in MB."""
    found = []
    for one in family(pid):
        with contextlib.suppress(OSError):
            text = Path(f"/proc/{one}/status").read_text(encoding="ascii", errors="replace")
            fields = dict(line.split(":", 1) for line in text.splitlines() if ":" in line)
            if "VmRSS" in fields:
                found.append(int(fields["VmRSS"].split()[0]) // 1024)
    return found
