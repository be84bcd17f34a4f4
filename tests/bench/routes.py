"""`python3 tests bench routes [--json]`: what the largest input costs on the routes that do most.

In this process, without a network: processor time, peak of memory that Python allots (tracemalloc,
in a run of its own), and the size of the answer. Routes that decode photos work in processes of
their own; only what the server itself spends is counted. `who`: the least role that may ask.
"""

from __future__ import annotations

import argparse
import json
import sys
import tempfile
import time
import tracemalloc
from collections.abc import Callable, Sequence
from dataclasses import asdict, dataclass
from io import BytesIO
from pathlib import Path
from typing import Any

from PIL import Image
from werkzeug.test import TestResponse

from tests.support.app import Bench, Phone, on

Ask = Callable[[], TestResponse]


@dataclass(frozen=True, slots=True)
class Cost:
    """What one request cost; times in ms of one processor, memory in MB."""

    who: str
    route: str
    largest: str
    status: int
    ms: int
    peak_mb: float
    answer_kb: int


def main(argv: Sequence[str]) -> int:
    """Measure and print; 1 where a request failed."""
    parser = argparse.ArgumentParser(prog="python3 tests bench routes", description=__doc__)
    parser.add_argument("--json", action="store_true")
    args = parser.parse_args(argv)
    with tempfile.TemporaryDirectory() as folder:
        bench = Bench(f"sqlite:///{folder}/x.sqlite", Path(folder)).demo()
        costs = [cost(*one) for one in requests(bench)]
        bench.close()
    if args.json:
        print(json.dumps([asdict(one) for one in costs], indent=1))
    else:
        for one in costs:
            print(f"{one.who:8} {one.route:28} {one.largest:42} {one.status} {one.ms:6} ms "
                  f"{one.peak_mb:7.1f} MB {one.answer_kb:6} kB")  # fmt: skip
    return 1 if any(one.status >= 500 for one in costs) else 0


def cost(who: str, route: str, largest: str, ask: Callable[[], Ask]) -> Cost:
    """Ask twice, with two inputs of the same size: for time, then for memory."""
    first, second = ask(), ask()
    begun = time.process_time()
    answer = first()
    took = time.process_time() - begun
    tracemalloc.start()
    second()
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    size = len(answer.data) // 1000
    return Cost(
        who, route, largest, answer.status_code, round(took * 1000), round(peak / 1e6, 1), size
    )


def batch(phone: Phone, count: int, **more: Any) -> Callable[[], Ask]:
    """Return what makes a post of so many facts."""

    def made() -> Ask:
        facts = [phone.fact(on("BL-002-C"), **more) for _ in range(count)]
        body = {"device": phone.device, "events": facts, "since": 0}
        text = json.dumps(body).encode()
        return lambda: phone.send("/api/shows/demo/events", text, "application/json")

    return made


def photo(phone: Phone, path: str) -> Callable[[], Ask]:
    """Return what makes a post of a photo of 50 megapixels."""
    out, numbers = BytesIO(), iter(range(10**8, 10**9))
    Image.new("RGB", (8_165, 6_123), (90, 90, 90)).save(out, "JPEG")
    return lambda: lambda: phone.send(path.format(n=next(numbers)), out.getvalue(), "image/jpeg")


def requests(bench: Bench) -> Sequence[tuple[str, str, str, Callable[[], Ask]]]:
    """Return who asks what; facts first, so that what reads them has 4,000 to read."""
    bo, ana, owner = bench.phone("Bo"), bench.phone("Ana", chief=True), bench.owner()
    stranger = bench.client()
    show = "/api/shows/demo"
    deep = b'{"device":"device-bo","since":0,"events":[' + b"[" * 50_000 + b"]" * 50_000 + b"]}"
    values = b'{"device":"device-bo","since":0,"events":[' + b"1," * 199_990 + b"1]}"

    def get(who: Any, path: str) -> Callable[[], Ask]:
        return lambda: lambda: who.get(path)

    return [
        ("loader", "POST events", "1,000 facts", batch(bo, 1000)),
        ("loader", "POST events", "13 facts of 140 kB", batch(bo, 13, extra=["x" * 3_500] * 40)),
        ("loader", "POST events", "50,000 levels", lambda: lambda: bo.send(
            f"{show}/events", deep, "application/json")),
        ("loader", "POST events", "200,000 values", lambda: lambda: bo.send(
            f"{show}/events", values, "application/json")),
        ("loader", "GET events", "a page of 1,000", get(bo, f"{show}/events?since=0")),
        ("loader", "GET bundle", "the demo's 73 cases", get(bo, f"{show}/bundle")),
        ("loader", "POST photos", "50 megapixels", photo(bo, show + "/photos?id=photo-{n}")),
        ("loader", "POST read", "50 megapixels", photo(bo, show + "/read?x={n}")),
        ("loader", "GET wall.pdf", "the demo", get(bo, f"{show}/wall.pdf")),
        ("loader", "GET driver.pdf", "the demo", get(bo, f"{show}/driver.pdf")),
        ("chief", "GET devices", "2 phones, 2,000 facts", get(ana, f"{show}/devices")),
        ("chief", "GET record", "2,000 facts", get(ana, f"{show}/record")),
        ("chief", "GET record.pdf", "2,000 facts", get(ana, f"{show}/record.pdf")),
        ("owner", "GET put-away", "2,000 facts", get(owner, f"{show}/put-away")),
        ("anyone", "POST join", "100 kB", lambda: lambda: stranger.send(
            "/api/join", b'{"code":"' + b"x" * 99_000 + b'"}', "application/json")),
        ("anyone", "POST owner/login", "a wrong password", lambda: lambda: stranger.post(
            "/api/owner/login", {"name": "Nobody", "password": "x" * 256})),
        ("anyone", "GET openapi.json", "once it was made", get(stranger, "/api/openapi.json")),
        ("anyone", "GET healthz", "", get(stranger, "/healthz")),
    ]  # fmt: skip


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
