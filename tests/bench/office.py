"""`python3 tests bench office [--json]`: the office at 2,000 cases and 200 past shows.

Each list the office reads is asked of the app itself, without a network, as is one step of the plan
editor on the demo's plan. Exit status 1 when a target of the project is missed: 300 ms for a list,
100 ms for a step. Targets hold on a machine with nothing else to do.
"""

from __future__ import annotations

import argparse
import json
import statistics
import sys
import tempfile
import time
from collections.abc import Callable, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any, Final

from sqlalchemy import insert

from server.service import office
from server.service.records import Called, FleetCase, ShowRecord
from server.store.db import db
from server.store.tables import CasePhotoRow
from tests.support.app import Bench, Caller
from tests.support.case_codes import issue_codes

CASES: Final = 2_000
SHOWS: Final = 200
CALLED: Final = 60
LIST_MS: Final = 300.0
STEP_MS: Final = 100.0
TIMES: Final = 7


def main(argv: Sequence[str]) -> int:
    """Fill a shop, ask each list several times, print the middle of the times."""
    parser = argparse.ArgumentParser(prog="python3 tests bench office", description=__doc__)
    parser.add_argument("--json", action="store_true")
    args = parser.parse_args(argv)
    with tempfile.TemporaryDirectory() as folder:
        bench = Bench(f"sqlite:///{folder}/office.sqlite", Path(folder)).demo()
        with bench.app.app_context():
            fill(bench)
        measured = measure(bench.owner())
        bench.close()
    if args.json:
        print(json.dumps(measured, indent=1))
    else:
        for one in measured:
            took = f"{one['ms']:8.1f} ms ({one['cpu_ms']:.1f} ms of them working)"
            print(f"{one['what']:34} {took} of {one['target']:g} ms, {one['bytes']} B")
    return int(any(one["ms"] > one["target"] for one in measured))


def fill(bench: Bench) -> None:
    """Add cases like the demo's, and past shows of some of them."""
    ports = bench.ports
    like = ports.fleet.cases()
    codes = [str(code) for code in issue_codes("ZZ", 0, CASES - len(like))]
    added = [
        FleetCase(replace(like[place % len(like)].case, code=code))
        for place, code in enumerate(codes)
    ]
    ports.fleet.put_cases(added, ports.now())
    photograph([one.case.code for one in like] + codes)
    demo = office.show_of(ports, "demo")
    for number in range(SHOWS - 1):
        first = number * 7 % (len(codes) - CALLED)
        called = tuple(Called(code, 1 + place % 4) for place, code in
                       enumerate(codes[first : first + CALLED]))  # fmt: skip
        day = f"20{20 + number // 100}-{1 + number % 12:02d}-{1 + number % 28:02d}"
        record = ShowRecord("", f"past show {number}", day, demo.rules, demo.units, 0)
        office.new_show(ports, record, office.Asked(("T1",), called))


def photograph(codes: Sequence[str]) -> None:
    """Give every case a photo, in one transaction; lists read everything of it but the picture."""
    rows = [
        {"code": code, "id": f"{place:064x}", "words": "lid open", "media_type": "image/jpeg",
         "content": b"photo", "small": b"small", "at": place}
        for place, code in enumerate(codes)
    ]  # fmt: skip
    db.session.execute(insert(CasePhotoRow), rows)
    db.session.commit()


def measure(owner: Caller) -> list[dict[str, Any]]:
    """Return the middle time of each address the office asks."""
    lists = ("/api/cases", "/api/cases.csv", "/api/case-photos", "/api/shows", "/api/vehicles",
             "/api/kits", "/api/conflicts?date=2020-01-01", "/api/fit", "/api/reports",
             "/api/shows/demo", "/api/shows/demo/plans", "/api/shows/demo/plans/1",
             "/api/shows.ics")  # fmt: skip
    found = [timed(what, LIST_MS, lambda what=what: owner.get(what)) for what in lists]  # type: ignore[misc]
    sheet = owner.read("/api/shows/demo/plans/1")["sheets"][0]
    step = {"do": "row", "vehicle": sheet["id"], "row": len(sheet["rows"]), "at": 1}
    body = {"revision": 1, "steps": [step]}
    edit = timed("a step of the editor", STEP_MS, lambda: owner.post("/api/shows/demo/edit", body))
    return [*found, edit]


def timed(what: str, target: float, ask: Callable[[], Any]) -> dict[str, Any]:
    """Return the middle of some askings in milliseconds, and the size of the answer."""
    times, busy = [], []
    size = 0
    for _ in range(TIMES):
        start, worked = time.perf_counter(), time.process_time()
        answer = ask()
        times.append(1000 * (time.perf_counter() - start))
        busy.append(1000 * (time.process_time() - worked))
        assert answer.status_code == 200, answer.text
        size = len(answer.data)
    return {
        "what": what,
        "ms": round(statistics.median(times), 1),
        "cpu_ms": round(statistics.median(busy), 1),
        "target": target,
        "bytes": size,
    }


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
