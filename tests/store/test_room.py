"""Before a server starts it says whether PostgreSQL has room for what it may ask for."""

from __future__ import annotations

from pathlib import Path

import psycopg
import pytest

import server
from server.store.room import Room, warning
from tests.support.app import Bench

# connections in all, held by others, processes, pool of each -> is it too much
ROOMS = [
    (97, 0, 2, 32, False),  # PostgreSQL as it comes: 100, 3 of them kept for its superuser
    (97, 0, 3, 32, True),
    (97, 0, 3, 31, False),
    (97, 32, 2, 32, True),  # another process of ours is up already
    (397, 66, 10, 32, False),
]


@pytest.mark.parametrize(("most", "held", "processes", "pool", "much"), ROOMS)
def test_a_server_that_may_ask_for_more_than_there_is_says_so(
    most: int, held: int, processes: int, pool: int, *, much: bool
) -> None:
    assert bool(warning(Room(most, held), processes, pool)) is much


def test_postgresql_itself_is_asked_and_sqlite_has_no_limit(bare: Bench) -> None:
    told = server.warn_of_connections(bare.app, 9, 32)
    if not bare.settings.on_postgres:
        assert told == ""
        return
    assert "may ask for 297 (9 x 32" in told and "max_connections" in told
    assert server.warn_of_connections(bare.app, 1, 32) == ""


def test_connections_that_others_hold_count(postgres_url: str, tmp_path: Path) -> None:
    bench = Bench(postgres_url, tmp_path)
    before = server.warn_of_connections(bench.app, 9, 32)
    with psycopg.connect(postgres_url.replace("+psycopg", "")):
        assert server.warn_of_connections(bench.app, 9, 32) != before
    bench.close()
