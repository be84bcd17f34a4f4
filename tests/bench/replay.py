"""`python3 tests bench replay [--database ...] [--json]`: the hour of a big night, in less time.

Twenty shows load at once. Each has 200 cases that go on within the hour, 3.3 a minute: a little
more than the two to three a minute of a dock with four hands in the truck and eight that push
(common practice, no source), and a fact about straps for each row. Ten phones a show hold a live
stream each, eight of them scan; a phone that hears of something new reads on. The hour passes
`--speed` times as fast, through a real server. At the end what each phone holds is folded and held
against the fold of what the database holds. Exit status 1 when anything failed or differs.
"""

from __future__ import annotations

import argparse
import json
import sys
import threading
import time
from collections.abc import Sequence
from dataclasses import asdict, dataclass
from random import Random
from typing import Any, Final

import server
from server.core.crew.bundle import Bundle, read_bundle
from server.core.night.events import read_event
from server.core.night.fold import fold
from server.core.night.house_state import State
from server.service import hand_out
from server.settings import Settings
from tests.bench.load import share
from tests.bench.load_stage import Stage, cost_of, memory_mb, staged
from tests.bench.replay_phones import Due, ReplayPhone
from tests.support.needs import find_postgres

DATABASES: Final = ("sqlite", "postgresql")
HOUR_S: Final = 3600.0
MOVE: Final = "shop_load"


@dataclass(frozen=True, slots=True)
class Replayed:
    """What an hour came to; times in ms, memory in MB of every process, the first one first."""

    database: str
    shows: int
    cases: int
    phones: int
    speed: float
    posts: int
    facts: int
    reads: int
    posts_a_second: float
    p50_ms: float
    p95_ms: float
    errors: int
    different: int
    on: int
    memory_mb: tuple[int, ...]
    cores: float
    others_cores: float


def main(argv: Sequence[str]) -> int:
    """Replay the hour on each database; 1 when anything failed or differs."""
    parser = argparse.ArgumentParser(prog="python3 tests bench replay", description=__doc__)
    parser.add_argument("--json", action="store_true")
    parser.add_argument("--database", choices=[*DATABASES, "both"], default="both")
    parser.add_argument("--shows", type=int, default=20)
    parser.add_argument("--cases", type=int, default=200)
    parser.add_argument("--phones", type=int, default=10, help="phones of each show")
    parser.add_argument("--speed", type=float, default=20.0, help="times as fast as life (20)")
    args = parser.parse_args(argv)
    if not 1 <= args.shows <= 20 or not 1 <= args.phones <= 10 or not 10 <= args.cases <= 300:
        parser.error("expected 1 to 20 shows, 10 to 300 cases, 1 to 10 phones a show")
    if not 1 <= args.speed <= 600:
        parser.error("expected a speed of 1 to 600")
    names = DATABASES if args.database == "both" else (args.database,)
    found = [replay(name, args) for name in names if name == "sqlite" or find_postgres()]
    print(json.dumps([asdict(one) for one in found], indent=1) if args.json else table(found))
    return 1 if any(one.errors or one.different for one in found) else 0


def table(found: Sequence[Replayed]) -> str:
    """Return the figures as lines."""
    return "\n".join(
        f"{one.database}: an hour of {one.shows} shows of {one.cases} cases and {one.phones} "
        f"phones each, {one.speed:g} times as fast: {one.facts} facts in {one.posts} posts, "
        f"{one.posts_a_second} posts/s and {one.reads} reads, p50 {one.p50_ms} ms, "
        f"p95 {one.p95_ms} ms, {one.errors} errors, memory "
        f"{' + '.join(map(str, one.memory_mb))} MB, {one.cores} cores (others {one.others_cores})\n"
        f"  {one.on} cases on by the server's tally; {one.different} of "
        f"{one.shows * one.phones} phones hold another"
        for one in found
    )


def replay(database: str, args: argparse.Namespace) -> Replayed:
    """Serve, play the hour, and hold every phone against the database."""
    threads = args.shows * args.phones + 40
    with staged(database, threads, args.shows, args.cases) as stage:
        crews = {
            show: [ReplayPhone(stage.server.port, f"{show}-{n}", code, show)
                   for n in range(args.phones)]
            for show, code in stage.codes.items()
        }  # fmt: skip
        phones = [phone for crew in crews.values() for phone in crew]
        bundles = {show: bundle_of(crew[0]) for show, crew in crews.items()}
        for phone in phones:
            phone.listener.start()
        time.sleep(1.0)
        before, begun = cost_of(stage), time.monotonic()
        play(crews, bundles, args.speed)
        took, cost = time.monotonic() - begun, cost_of(stage) - before
        for phone in phones:
            phone.fetch()
        memory = memory_mb(stage.server.process.pid)
        kept = states(stage, bundles)
        different = sum(
            phone.state(bundles[show]) != kept[show]
            for show, crew in crews.items()
            for phone in crew
        )
        for phone in phones:
            phone.close()
    times = [one for phone in phones for one in phone.times]
    return Replayed(
        database=database,
        shows=args.shows,
        cases=args.cases,
        phones=args.phones,
        speed=args.speed,
        posts=len(times),
        facts=sum(phone.sending.n for phone in phones),
        reads=sum(phone.fetches for phone in phones),
        posts_a_second=round(len(times) / took, 1),
        p50_ms=share(times, 0.5),
        p95_ms=share(times, 0.95),
        errors=sum(phone.errors for phone in phones),
        different=different,
        on=sum(len(leg.on) for state in kept.values() for leg in state.legs[MOVE].values()),
        memory_mb=tuple(memory),
        cores=round((cost.server + cost.postgres + cost.clients) / took, 2),
        others_cores=round(cost.others / took, 2),
    )


def play(crews: dict[str, list[ReplayPhone]], bundles: dict[str, Bundle], speed: float) -> None:
    """Let every phone report its part of the hour."""
    start = time.monotonic()
    threads = [
        threading.Thread(target=phone.work, args=(dues, start))
        for show, crew in crews.items()
        for phone, dues in zip(crew, parts(bundles[show], crew, speed), strict=True)
    ]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()


def parts(bundle: Bundle, crew: Sequence[ReplayPhone], speed: float) -> list[list[Due]]:
    """Deal a show's hour out to its phones: scans in the order of the load, straps after rows."""
    random = Random(bundle.show)
    told: list[tuple[str, dict[str, Any]]] = []
    for sheet in bundle.vehicles:
        told += [(sheet.id, {"kind": "on", "code": code, "read": "typed", "row": None})
                 for code in sheet.load]  # fmt: skip
        told += [(sheet.id, {"kind": "strapped", "row": row.number, "count": 2, "filled": True})
                 for row in sheet.rows]  # fmt: skip
    pace = HOUR_S / len(told) / speed
    dealt: list[list[Due]] = [[] for _ in crew]
    scanning = max(1, len(crew) - 2)
    for number, (vehicle, body) in enumerate(told):
        at = pace * (number + random.random())
        dealt[random.randrange(scanning)].append(Due(at, vehicle, body))
    return [sorted(part, key=lambda due: due.at) for part in dealt]


def bundle_of(phone: ReplayPhone) -> Bundle:
    """Return the show's bundle as a phone gets it."""
    return read_bundle(json.loads(phone.get("bundle", phone.asking).read()))


def states(stage: Stage, bundles: dict[str, Bundle]) -> dict[str, State]:
    """Fold what the database holds of each show, by the server's own bundle."""
    app = server.create_app(Settings(data=stage.data, database=stage.url, planner=False))
    found = {}
    with app.app_context():
        ports = server.ports_of(app)
        for show in bundles:
            events = [read_event(json.loads(one.document)) for one in ports.log.all(show)]
            found[show] = fold(read_bundle(hand_out.bundle(ports, show)), events)
        from server.store.db import db

        db.session.remove()
        db.engine.dispose()
    return found


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
