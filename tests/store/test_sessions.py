"""A connection that is cut behind an answer changes nothing of the answer."""

from __future__ import annotations

from pathlib import Path

import psycopg
from sqlalchemy import text

from server.store.db import db
from tests.support.app import Bench


def test_a_connection_cut_after_the_work_does_not_fail_the_request(
    postgres_url: str, tmp_path: Path
) -> None:
    bench = Bench(postgres_url, tmp_path)
    with bench.app.app_context():
        pid = db.session.execute(text("SELECT pg_backend_pid()")).scalar_one()
        with psycopg.connect(postgres_url.replace("+psycopg", ""), autocommit=True) as other:
            other.execute("SELECT pg_terminate_backend(%s, 5000)", (pid,))
        db.session.remove()
        assert db.session.execute(text("SELECT 1")).scalar_one() == 1
    bench.close()
