"""Several batches, one commit: nobody hears of success too early, nobody pays for another."""

from __future__ import annotations

import threading
from pathlib import Path

import pytest

from server.core.show import Rules
from server.core.units import Units
from server.service.records import NewEvent, ShowRecord
from server.store.db import db
from server.store.group_commit import GroupCommit
from tests.support.app import NOON, Bench


def fact(name: str) -> NewEvent:
    return NewEvent(name, "d", 1, "on", None, f"{NOON:013d}-00000-d", "{}")


def test_work_that_waits_shares_a_commit_and_a_fault_stays_with_its_own(bare: Bench) -> None:
    with bare.app.app_context():
        bare.ports.shows.put(ShowRecord("one", "one", "", Rules(), Units(), NOON), (), ())
    group, gate = GroupCommit(), threading.Barrier(6)
    ends: dict[str, object] = {}

    def run(name: str) -> None:
        def work() -> int:
            stored, _ = bare.ports.log._store("one", [fact(name)], NOON, "d")  # type: ignore[attr-defined]
            if name == "bad":
                raise ValueError(name)
            return len(stored)

        with bare.app.app_context():
            gate.wait()
            try:
                ends[name] = group.run("one", work)
            except ValueError as error:
                ends[name] = str(error)

    names = ["a", "b", "c", "bad", "d", "e"]
    threads = [threading.Thread(target=run, args=(name,)) for name in names]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert ends == {"a": 1, "b": 1, "c": 1, "bad": "bad", "d": 1, "e": 1}
    with bare.app.app_context():
        stored = bare.ports.log.since("one", 0)
        assert sorted(one.id for one in stored) == ["a", "b", "c", "d", "e"]
        assert [one.seq for one in stored] == [1, 2, 3, 4, 5]


def test_batches_that_wait_together_cost_one_commit(
    database_url: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    bench = Bench(database_url, tmp_path)
    commits, first, go_on = list[int](), threading.Event(), threading.Event()
    group = GroupCommit()
    with bench.app.app_context():
        real = db.session.commit

        def slow_commit() -> None:
            commits.append(1)
            first.set()
            assert go_on.wait(20)
            real()

        monkeypatch.setattr(db.session, "commit", slow_commit)

        def run() -> None:
            with bench.app.app_context():
                group.run("one", lambda: None)

        threads = [threading.Thread(target=run)]
        threads[0].start()
        assert first.wait(20)
        threads += [threading.Thread(target=run) for _ in range(5)]
        for thread in threads[1:]:
            thread.start()
        while len(group._queue) < 5:
            threading.Event().wait(0.01)
        go_on.set()
        for thread in threads:
            thread.join()
        monkeypatch.undo()
    assert len(commits) == 2
    bench.close()
