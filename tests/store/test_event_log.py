"""The event log: twice is once, and no reader by cursor ever skips a fact."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from dataclasses import replace

import pytest

from server.core.base.units import Units
from server.core.shop.show import Rules
from server.service.records import NewEvent, ShowRecord
from tests.support.app import NOON, Bench


def fact(name: str, device: str = "d", n: int = 1, code: str | None = None) -> NewEvent:
    return NewEvent(
        name, device, n, "on", code, f"{NOON:013d}-00000-{device}", f'{{"id":"{name}"}}'
    )


@pytest.fixture
def shows(bare: Bench) -> Iterator[Bench]:
    with bare.app.app_context():
        for name in ("one", "two"):
            record = ShowRecord(name, name, "", Rules(), Units(), NOON)
            bare.ports.shows.put(record, (), ())
        yield bare


def test_facts_are_numbered_from_one_without_gaps(shows: Bench) -> None:
    log = shows.ports.log
    done = log.append("one", [fact("a"), fact("b", n=2)], NOON, "d")
    assert [one.seq for one in done.stored] == [1, 2] and done.cursor == 2
    again = [fact("b", n=2), fact("c", n=3), fact("c", n=3)]
    done = log.append("one", again, NOON, "d")
    assert [(one.seq, one.id) for one in done.stored] == [(3, "c")] and done.cursor == 3
    assert [one.id for one in log.since("one", 1)] == ["b", "c"] and log.cursor("one") == 3


def test_shows_are_numbered_apart(shows: Bench) -> None:
    log = shows.ports.log
    log.append("one", [fact("a")], NOON, "d")
    done = log.append("two", [fact("a")], NOON, "d")
    assert done.stored[0].seq == 1 and log.cursor("one") == log.cursor("two") == 1


def test_a_show_that_is_not_there_takes_nothing(shows: Bench) -> None:
    with pytest.raises(KeyError):
        shows.ports.log.append("none", [fact("a")], NOON, "d")


def test_a_batch_is_stored_whole_or_not_at_all(shows: Bench) -> None:
    log = shows.ports.log
    too_long = NewEvent("x" * 40, "d" * 64, 1, "k", None, "h", "{}")
    broken = NewEvent("y", "d", None, "k", None, "h", "{}")  # type: ignore[arg-type]
    with pytest.raises(Exception, match=r"(?i)null"):
        log.append("one", [too_long, broken], NOON, "d")
    assert log.since("one", 0) == [] and log.cursor("one") == 0


def test_gaps_in_a_phones_numbers_are_found(shows: Bench) -> None:
    log = shows.ports.log
    log.append("one", [fact(f"a{n}", "d", n) for n in (1, 2, 5, 7)], NOON, "d")
    assert log.missing("one", "d") == ((3, 4), (6, 6))
    assert log.missing("one", "other") == () and log.gaps("one") == {"d": (4, 7)}


def test_an_id_or_number_under_two_facts_is_named_and_the_first_stays(shows: Bench) -> None:
    log = shows.ports.log
    log.append("one", [fact("a"), fact("b", n=2)], NOON, "d")
    other = replace(fact("a"), document='{"id":"a","other":1}')
    reused, fresh = fact("c", n=2), fact("d", n=3)
    done = log.append("one", [other, reused, fresh], NOON, "d")
    assert done.ids_taken == {0} and done.numbers_taken == {1}
    assert [one.id for one in done.stored] == ["d"] and done.cursor == 3
    signed = replace(fact("a"), document='{"sig":"s","id":"a"}')
    assert log.append("one", [signed], NOON, "d").ids_taken == frozenset()


def test_where_a_case_was_last_seen_is_the_newest_fact_of_any_show(shows: Bench) -> None:
    log = shows.ports.log
    log.append("one", [fact("a", code="PW-001-J"), fact("b", n=2, code="PW-002-H")], NOON, "d")
    log.append("two", [fact("c", code="PW-001-J")], NOON + 5, "d")
    later = {"PW-001-J": ("two", '{"id":"c"}'), "PW-002-H": ("one", '{"id":"b"}')}
    assert log.last_seen() == later
    log.append("one", [fact("e", n=3, code="PW-001-J")], NOON + 1, "d")  # a clock that went back
    assert log.last_seen() == later


def test_a_reader_by_cursor_sees_every_fact_of_eight_writers(bare: Bench) -> None:
    """Eight threads append while a ninth reads on from its cursor only: nothing is skipped."""
    with bare.app.app_context():
        bare.ports.shows.put(ShowRecord("one", "one", "", Rules(), Units(), NOON), (), ())
    writers, batches, troubles = 8, 12, list[BaseException]()
    over = threading.Event()
    seen: list[int] = []

    def write(number: int) -> None:
        try:
            with bare.app.app_context():
                for batch in range(batches):
                    numbers = [
                        *range(batch * 3, batch * 3 + 3),
                        *([batch * 3 - 3] if batch else []),
                    ]
                    facts = [fact(f"{number}-{n}", f"d{number}", n + 1) for n in numbers]
                    bare.ports.log.append("one", facts, NOON, f"d{number}")
        except BaseException as error:  # noqa: BLE001  (handed to the test)
            troubles.append(error)

    def read() -> None:
        with bare.app.app_context():
            cursor = 0
            while True:
                last = over.is_set()
                page = bare.ports.log.since("one", cursor)
                _forget()
                seen.extend(one.seq for one in page)
                cursor = page[-1].seq if page else cursor
                if last and not page:
                    return

    threads = [threading.Thread(target=write, args=(number,)) for number in range(writers)]
    reader = threading.Thread(target=read)
    for thread in [reader, *threads]:
        thread.start()
    for thread in threads:
        thread.join()
    over.set()
    reader.join(timeout=30)
    assert not troubles
    assert seen == list(range(1, writers * batches * 3 + 1))


def _forget() -> None:
    """End the reader's transaction: the next look sees what was committed since."""
    from server.store.db import db

    db.session.rollback()


def test_sqlite_is_told_to_keep_every_commit(shows: Bench) -> None:
    from sqlalchemy import text

    from server.store.db import db

    if db.engine.dialect.name == "postgresql":
        assert db.session.execute(text("SHOW fsync")).scalar() == "on"
        assert db.session.execute(text("SHOW synchronous_commit")).scalar() == "on"
        return
    asked = {name: db.session.execute(text(f"PRAGMA {name}")).scalar() for name in
             ("journal_mode", "synchronous", "foreign_keys")}  # fmt: skip
    assert asked == {"journal_mode": "wal", "synchronous": 2, "foreign_keys": 1}  # 2 is FULL
