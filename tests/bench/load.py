"""`python3 tests bench load [--json]`: one served machine, many phones, over loopback.

Phones post one fact at a time as fast as they are answered, or with `--every` at the pace of hands,
while streams stay open and a few of them measure how long a fact takes from its post until another
phone has fetched it. Bounded in phones and seconds. Exit status 1 when a target of the project is
missed: targets hold on two cores with nothing else to do; at the pace of hands none is judged but
that nothing fails.
"""

from __future__ import annotations

import argparse
import json
import sys
import tempfile
import threading
import time
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Final

from tests.bench.load_phones import Listener, LoadPhone
from tests.support.needs import find_postgres
from tests.support.postgres import scratch_cluster, scratch_database
from tests.support.serving import Server, code_of, serving

# database → posts a second, p95 in ms (issue of the project: 200 streams, no error)
TARGETS: Final = {"sqlite": (150, 200.0), "postgresql": (300, 200.0)}
LISTENERS: Final = 10


@dataclass(frozen=True, slots=True)
class Measured:
    """What one server held; times in milliseconds, memory of all its processes in MB."""

    database: str
    processes: int
    streams: int
    phones: int
    posts: int
    posts_a_second: int
    p50_ms: float
    p95_ms: float
    seen_p50_ms: float
    seen_p95_ms: float
    errors: int
    memory_mb: int


def main(argv: Sequence[str]) -> int:
    """Measure each database; print a table or JSON."""
    parser = argparse.ArgumentParser(prog="python3 tests bench load", description=__doc__)
    parser.add_argument("--json", action="store_true")
    parser.add_argument("--streams", type=int, default=200)
    parser.add_argument("--phones", type=int, default=16)
    parser.add_argument("--seconds", type=float, default=10.0)
    parser.add_argument("--every", type=float, default=0.0, help="seconds between two scans")
    parser.add_argument("--database", choices=[*TARGETS, "both"], default="both")
    args = parser.parse_args(argv)
    if not 0 <= args.every <= 60:
        parser.error("expected 0 to 60 seconds between two scans")
    if not 1 <= args.phones <= 64 or not 0 <= args.streams <= 400 or not 1 <= args.seconds <= 120:
        parser.error("expected 1 to 64 phones, 0 to 400 streams, 1 to 120 seconds")
    names = list(TARGETS) if args.database == "both" else [args.database]
    found = [measure(name, args) for name in names if name == "sqlite" or find_postgres()]
    if args.json:
        print(json.dumps([asdict(one) for one in found], indent=1))
    else:
        print(table(found))
    missed = [line for one in found for line in misses(one, paced=args.every > 0)]
    for line in missed:
        print(f"missed: {line}", file=sys.stderr)
    return 1 if missed else 0


def misses(one: Measured, *, paced: bool) -> list[str]:
    """Return which targets were missed; a pace of hands is no measure of what a server takes."""
    rate, p95 = TARGETS[one.database]
    found = []
    if one.posts_a_second < rate and not paced:
        found.append(f"{one.database}: {one.posts_a_second} posts a second, target {rate}")
    if one.p95_ms > p95:
        found.append(f"{one.database}: p95 {one.p95_ms} ms, target {p95:g} ms")
    if one.errors:
        found.append(f"{one.database}: {one.errors} errors, target none")
    return found


def table(found: Sequence[Measured]) -> str:
    """Return the figures as lines."""
    lines = [
        f"{one.database}, {one.processes} process(es), {one.streams} streams, {one.phones} phones: "
        f"{one.posts_a_second} posts/s, p50 {one.p50_ms} ms, p95 {one.p95_ms} ms, on another "
        f"phone after p50 {one.seen_p50_ms} ms, p95 {one.seen_p95_ms} ms, {one.errors} errors, "
        f"{one.memory_mb} MB"
        for one in found
    ]
    return "\n".join(lines)


def measure(database: str, args: argparse.Namespace) -> Measured:
    """Serve, send for some seconds, and return what was measured."""
    with started(database, args.streams) as (server, data, url, processes):
        code = code_of(data, url)
        stamp = f"{time.time_ns() % 10**8}"
        phones = [LoadPhone(server.port, f"load-{stamp}-{n}", code) for n in range(args.phones)]
        listeners = [
            Listener(server.port, phones[n % len(phones)].cookie, fetches=n < LISTENERS)
            for n in range(args.streams)
        ]
        watching = listeners[:LISTENERS]
        time.sleep(1.0)
        sent: dict[int, float] = {}
        end = time.monotonic() + args.seconds
        threads = [
            threading.Thread(target=phone.send_until, args=(end, sent, args.every))
            for phone in phones
        ]
        begun = time.monotonic()
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
        took = time.monotonic() - begun
        time.sleep(1.0)
        memory = memory_mb(server.process.pid)
        seen = [late for listener in watching for late in listener.latencies(sent)]
        times = [one for phone in phones for one in phone.times]
        errors = sum(phone.errors for phone in phones)
        errors += sum(listener.refused for listener in listeners)
        for listener in listeners:
            listener.close()
    return Measured(
        database=database,
        processes=processes,
        streams=args.streams,
        phones=args.phones,
        posts=len(times),
        posts_a_second=int(len(times) / took),
        p50_ms=share(times, 0.5),
        p95_ms=share(times, 0.95),
        seen_p50_ms=share(seen, 0.5),
        seen_p95_ms=share(seen, 0.95),
        errors=errors,
        memory_mb=memory,
    )


def share(seconds: list[float], part: float) -> float:
    """Return the time in ms that a part of all stays below."""
    ordered = sorted(seconds)
    return (
        round(1000 * ordered[min(len(ordered) - 1, int(part * len(ordered)))], 1)
        if ordered
        else 0.0
    )


@contextmanager
def started(database: str, streams: int) -> Iterator[tuple[Server, Path, str, int]]:
    """Yield a served demo: one process on SQLite, two on PostgreSQL."""
    with tempfile.TemporaryDirectory(prefix="rowcall-load-") as folder:
        data = Path(folder)
        threads = str(streams + 40)
        if database == "sqlite":
            with serving(data, "--threads", threads) as server:
                yield server, data, "", 1
            return
        programs = find_postgres()
        assert programs is not None
        with scratch_cluster(programs) as socket, scratch_database(socket, "load") as url:
            words = ("--database", url, "--threads", threads, "--workers", "2")
            with serving(data, *words) as server:
                yield server, data, url, 2


def memory_mb(pid: int) -> int:
    """Return the resident memory of a process and its children."""
    total = 0
    for status in Path("/proc").glob("[0-9]*/status"):
        try:
            text = status.read_text(encoding="ascii", errors="replace")
        except OSError:
            continue  # it ended meanwhile
        fields = dict(line.split(":", 1) for line in text.splitlines() if ":" in line)
        own = status.parent.name == str(pid) or fields.get("PPid", "").strip() == str(pid)
        if own and "VmRSS" in fields:
            total += int(fields["VmRSS"].split()[0])
    return total // 1024


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
