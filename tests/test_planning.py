"""The planner's worker: one at a time, and a job asked while it leaves is not forgotten."""

from __future__ import annotations

import subprocess
import sys
import time
from dataclasses import replace
from pathlib import Path

import pytest

from server.planning import PlannerStarter
from server.service import office
from server.service.plan_show import work_off
from server.settings import ROOT, Settings
from tests.support.app import Bench

LOOKS = "import sys, time; open(sys.argv[1], 'a').write('x'); time.sleep(0.4)"


def looked(file: Path, count: int) -> str:
    """Return how often a worker looked, once it looked so often or three seconds are over."""
    end = time.monotonic() + 3
    while time.monotonic() < end:
        if file.exists() and len(file.read_text()) >= count:
            break
        time.sleep(0.02)
    return file.read_text() if file.exists() else ""


def test_what_is_asked_while_the_worker_leaves_is_looked_at_again(tmp_path: Path) -> None:
    file = tmp_path / "looks"
    starter = PlannerStarter(Settings(data=tmp_path), (sys.executable, "-c", LOOKS, str(file)))
    starter.start()
    assert looked(file, 1) == "x"
    # the worker has looked at the queue and is on its way out: it sees nothing of these
    for _ in range(3):
        starter.start()
    assert looked(file, 2) == "xx"
    time.sleep(0.8)
    assert file.read_text() == "xx", "expected one more worker for all that was asked, then none"
    starter.start()
    assert looked(file, 3) == "xxx"


def test_no_worker_is_started_where_planning_is_off(tmp_path: Path) -> None:
    file = tmp_path / "looks"
    command = (sys.executable, "-c", LOOKS, str(file))
    PlannerStarter(Settings(data=tmp_path, planner=False), command).start()
    time.sleep(0.3)
    assert not file.exists()


# A worker that takes a job and dies over it, as when memory runs out.
DIES = """
import os, server
app = server.create_app()
with app.app_context():
    ports = server.ports_of(app)
    ports.jobs.work(lambda job: os.kill(os.getpid(), 9), ports.now, 60_000)
"""


@pytest.mark.slow
def test_planning_left_by_a_worker_that_died_is_done_though_nobody_asks_again(
    database_url: str, tmp_path: Path
) -> None:
    bench = Bench(database_url, tmp_path).demo()
    asked: list[int] = []
    ports = replace(bench.ports, start_planner=lambda: asked.append(1))
    bench.clock.at = time.time_ns() // 1_000_000
    with bench.app.app_context():
        job = office.ask_plan(ports, "demo", seconds=1, seed=0)
        asked.clear()
        variables = {**bench.settings.environment(), "PYTHONPATH": str(ROOT)}
        died = subprocess.run([sys.executable, "-P", "-c", DIES], env=variables, check=False)
        assert died.returncode == -9
        left = ports.jobs.get(job.id)
        assert left is not None and left.state == "working"
        office.look_for_jobs_left(ports)
        assert not asked, "expected patience with a worker that may only be busy"
        bench.clock.at = time.time_ns() // 1_000_000 + 60_001
        office.look_for_jobs_left(ports)
        assert asked == [1]
        assert work_off(ports) == 1
        done = ports.jobs.get(job.id)
        assert done is not None and done.state == "done" and done.revision
        bench.clock.pass_ms(120_000)
        office.look_for_jobs_left(ports)
        assert asked == [1]
    bench.close()
