"""The planner's worker: one at a time, and a job asked while it leaves is not forgotten."""

from __future__ import annotations

import sys
import time
from pathlib import Path

from server.planning import PlannerStarter
from server.settings import Settings

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
