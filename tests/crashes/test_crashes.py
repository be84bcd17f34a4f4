"""A server killed in the middle of writes keeps its word; the audit that says so can say no."""

from __future__ import annotations

from pathlib import Path
from random import Random
from typing import Any

import pytest

from tests.crashes.__main__ import play
from tests.crashes.audit import Audit
from tests.support.needs import find_postgres, lacking

ROUNDS = 3


@pytest.mark.slow
@pytest.mark.store
@pytest.mark.parametrize("database", ["sqlite", "postgresql"])
def test_killed_amid_writes_it_keeps_every_fact_it_acknowledged(
    database: str, tmp_path: Path
) -> None:
    if database == "postgresql" and find_postgres() is None:
        lacking("PostgreSQL server", "postgresql")
    tale = play(database, ROUNDS, Random(5), tmp_path)
    assert tale.faults == []
    assert tale.rounds == ROUNDS
    assert tale.struck == ROUNDS
    assert tale.acknowledged == tale.stored > 50


class Stored:
    """A log as a server would tell it, with whatever fault a test plants."""

    def __init__(self, *ids: str) -> None:
        self.events = [{"seq": seq, "event": {"id": one}} for seq, one in enumerate(ids, 1)]

    def page(self, since: int) -> dict[str, Any]:
        return {"events": self.events[since:], "more": False}


class Told:
    """A client that was promised all it read."""

    def __init__(self, *ids: str) -> None:
        self.device = "phone"
        self.acked = list(ids)
        self.read = list(enumerate(ids, 1))
        self.faults: list[str] = []


def test_the_audit_finds_nothing_where_all_is_there() -> None:
    audit = Audit(Stored("a", "b", "c"))
    assert audit.look([Told("a", "b")]) == []
    assert audit.from_the_start() == []


def test_the_audit_finds_what_was_planted() -> None:
    lost = Audit(Stored("a")).look([Told("a", "b")])
    assert any("acknowledged are lost: ['b']" in one for one in lost)
    assert any("read b as 2" in one for one in lost)
    assert "1 facts are there twice" in Audit(Stored("a", "a")).look([])
    gap = Stored("a", "b")
    gap.events[1]["seq"] = 3
    assert any("after 0 came [1, 3]" in one for one in Audit(gap).look([]))
    leap = Told("a", "b", "c")
    del leap.read[1]
    assert "phone: read 3 after 1" in Audit(Stored("a", "b", "c")).look([leap])


def test_the_audit_finds_a_log_that_changed_behind_it() -> None:
    stored = Stored("a", "b")
    audit = Audit(stored)
    assert audit.look([]) == []
    stored.events.pop()
    assert audit.from_the_start() == ["2 facts were read, 1 are there now"]
