"""Several batches, one commit: nobody hears of success too early, nobody pays for another."""

from __future__ import annotations

import threading
from collections.abc import Sequence
from pathlib import Path

import pytest

from server.core.base.units import Units
from server.core.shop.show import Rules
from server.service.records import Appended, NewEvent, ShowRecord
from server.store.append_events import Batch, store
from server.store.db import db, writing
from server.store.group_commit import GroupCommit
from tests.support.app import NOON, Bench


def fact(name: str) -> NewEvent:
    return NewEvent(name, f"d-{name}", 1, "on", None, f"{NOON:013d}-00000-d", "{}")


def test_work_that_waits_shares_a_commit_and_a_fault_stays_with_its_own(bare: Bench) -> None:
    with bare.app.app_context():
        bare.ports.shows.put(ShowRecord("one", "one", "", Rules(), Units(), NOON), (), ())

    def work(show: str, batches: Sequence[Batch]) -> list[Appended]:
        stored = store(show, batches)
        if any(event.id == "bad" for batch in batches for event in batch.events):
            raise ValueError("bad")
        return stored

    group, gate = GroupCommit(work), threading.Barrier(6)
    ends: dict[str, object] = {}

    def run(name: str) -> None:
        with bare.app.app_context():
            gate.wait()
            try:
                ends[name] = len(group.run("one", Batch([fact(name)], NOON, "d")).stored)
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


def test_a_fact_that_two_batches_of_one_commit_bring_is_stored_once(bare: Bench) -> None:
    with bare.app.app_context():
        bare.ports.shows.put(ShowRecord("one", "one", "", Rules(), Units(), NOON), (), ())
        with writing():
            first = store("one", [Batch([fact("a")], NOON, "d")])
        assert [(len(one.stored), one.cursor) for one in first] == [(1, 1)]
        with writing():
            batches = [Batch([fact(x) for x in names], NOON, "d") for names in ("abc", "cad")]
            ends = store("one", batches)
        assert [[(one.seq, one.id) for one in end.stored] for end in ends] == [
            [(2, "b"), (3, "c")],
            [(4, "d")],
        ]
        assert bare.ports.log.cursor("one") == 4


def test_batches_that_wait_together_cost_one_commit(
    database_url: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    bench = Bench(database_url, tmp_path)
    commits, first, go_on = list[int](), threading.Event(), threading.Event()
    group = GroupCommit[None, int](lambda _show, items: [1] * len(items))
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
                group.run("one", None)

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
