"""Connections that are cut: no answer that holds turns into an error, and the next request goes."""

from __future__ import annotations

from pathlib import Path

import psycopg
import pytest
from sqlalchemy import text
from sqlalchemy.exc import OperationalError

from server.store.db import db, writing
from tests.support.app import Bench


def cut(url: str) -> None:
    """End the connection that this session holds, as a database that goes down does."""
    pid = db.session.execute(text("SELECT pg_backend_pid()")).scalar_one()
    with psycopg.connect(url.replace("+psycopg", ""), autocommit=True) as other:
        other.execute("SELECT pg_terminate_backend(%s, 5000)", (pid,))


def write_half(url: str) -> None:
    with writing():
        db.session.execute(text("CREATE TABLE half (a integer)"))
        cut(url)


def test_a_connection_cut_amid_a_transaction_fails_it_and_nothing_after_it(
    postgres_url: str, tmp_path: Path
) -> None:
    bench = Bench(postgres_url, tmp_path)
    with bench.app.app_context():
        with pytest.raises(OperationalError):
            write_half(postgres_url)
        db.session.remove()
        there = text("SELECT count(*) FROM pg_class WHERE relname = 'half'")
        assert db.session.execute(there).scalar_one() == 0
    bench.close()


def test_the_end_of_a_request_never_fails_over_a_connection_that_is_cut(
    postgres_url: str, tmp_path: Path
) -> None:
    bench = Bench(postgres_url, tmp_path)
    with bench.app.app_context():
        db.session.connection().exec_driver_sql("BEGIN")
        cut(postgres_url)
        db.session.remove()
        assert db.session.execute(text("SELECT 1")).scalar_one() == 1
    bench.close()


def test_reading_leaves_no_transaction_open_and_writing_is_one(
    postgres_url: str, tmp_path: Path
) -> None:
    bench = Bench(postgres_url, tmp_path)
    stamp = text("SELECT pg_current_xact_id()::text")
    with bench.app.app_context():
        assert len({db.session.execute(stamp).scalar_one() for _ in range(3)}) == 3
        with writing():
            assert len({db.session.execute(stamp).scalar_one() for _ in range(3)}) == 1
        assert len({db.session.execute(stamp).scalar_one() for _ in range(2)}) == 2
        with db.engine.connect() as other:  # as migrations and backups ask for one
            assert len({other.execute(stamp).scalar_one() for _ in range(2)}) == 1
    bench.close()
