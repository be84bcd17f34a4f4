"""A database that has no connection left, or is gone, is answered with words; nothing is lost."""

from __future__ import annotations

import getpass
import signal
from collections.abc import Iterator
from contextlib import ExitStack
from pathlib import Path

import psycopg
import pytest
from werkzeug.test import TestResponse

from server.store.db import db
from tests.support.app import Bench, Phone, on
from tests.support.needs import postgres
from tests.support.postgres import Cluster, mortal_cluster, scratch_database

FACTS = "/api/shows/demo/events"
pytestmark = pytest.mark.store


@pytest.fixture
def narrow(database_url: str, tmp_path: Path) -> Iterator[Bench]:
    """Yield the demo in a process that holds two connections and waits a second for one."""
    made = Bench(database_url, tmp_path, pool=2, pool_wait=1).demo()
    yield made
    made.close()


def away(answer: TestResponse, words: str) -> None:
    """Make sure that an answer says what is wrong and when to come again, and nothing more."""
    assert answer.status_code == 503 and answer.mimetype == "application/problem+json"
    said = answer.get_json()["detail"]
    assert words in said and "try again" in said
    assert 1 <= int(answer.headers["Retry-After"]) <= 10
    assert "SELECT" not in answer.text and "sqlalche" not in answer.text


def test_who_waits_too_long_for_a_connection_is_told_to_come_again(narrow: Bench) -> None:
    bo = narrow.phone("Bo")
    fact = bo.fact(on("BL-002-C"))
    batch = {"device": bo.device, "events": [fact], "since": 0}
    with narrow.app.app_context(), ExitStack() as held:
        for _ in range(2):
            held.enter_context(db.engine.connect())
        away(bo.post(FACTS, batch), "Too much is asked of the database")
        away(bo.get("/healthz"), "Too much is asked of the database")
    answer = bo.post(FACTS, batch)
    assert answer.status_code == 200 and answer.get_json()["stored"] == [fact["id"]]
    assert bo.get("/healthz").text == "ok\n"


@pytest.fixture(scope="module")
def cluster() -> Iterator[Cluster]:
    """Yield a PostgreSQL server that may be stopped."""
    with mortal_cluster(postgres()) as started:
        yield started


def test_a_database_that_went_and_came_back_is_found_again(
    cluster: Cluster, tmp_path: Path
) -> None:
    with scratch_database(cluster.folder, "shop") as url:
        bench = Bench(url, tmp_path).demo()
        bo = bench.phone("Bo")
        kept = bo.fact(on("BL-002-C"))
        assert bo.tell(kept)["stored"] == [kept["id"]]
        cluster.stop(signal.SIGQUIT)
        waits = bo.fact(on("BL-003-A"))
        batch = {"device": bo.device, "events": [waits], "since": 0}
        for _ in range(3):  # the connections that it cut, then the ones that it refuses
            away(bo.post(FACTS, batch), "does not answer")
            away(bo.get("/healthz"), "does not answer")
        cluster.start()
        assert bo.get("/healthz").text == "ok\n"
        answer = bo.post(FACTS, batch).get_json()
        assert [one["event"]["id"] for one in answer["events"]] == [kept["id"], waits["id"]]
        bench.close()


def test_a_database_that_asks_the_system_who_comes_needs_no_password(
    cluster: Cluster, tmp_path: Path
) -> None:
    cluster.stop()
    settings = cluster.folder / "data"
    (settings / "pg_hba.conf").write_text("local all all peer map=shop\n", encoding="utf-8")
    here = f"shop {getpass.getuser()} postgres\n"
    (settings / "pg_ident.conf").write_text(here, encoding="utf-8")
    cluster.start()
    with scratch_database(cluster.folder, "shop") as url:
        bench = Bench(url, tmp_path)
        assert bench.client().get("/healthz").text == "ok\n"
        bench.close()
        with pytest.raises(psycopg.OperationalError, match="Peer authentication failed"):
            psycopg.connect(f"host={cluster.folder} user=somebody dbname=shop")


def limited(postgres_url: str, connections: int) -> None:
    """Let the user `crowd` hold so many connections to this server."""
    with psycopg.connect(postgres_url.replace("+psycopg", ""), autocommit=True) as own:
        if not own.execute("SELECT 1 FROM pg_roles WHERE rolname = 'crowd'").fetchone():
            own.execute("CREATE ROLE crowd LOGIN")
        own.execute(f"ALTER ROLE crowd CONNECTION LIMIT {connections}".encode())
        own.execute("GRANT ALL ON SCHEMA public TO crowd")


def test_a_database_with_no_room_for_another_connection_is_away_until_it_has(
    postgres_url: str, tmp_path: Path
) -> None:
    limited(postgres_url, 5)
    bench = Bench(postgres_url.replace("postgres@", "crowd@"), tmp_path).demo()
    bo: Phone = bench.phone("Bo")
    with bench.app.app_context():
        db.session.remove()
        db.engine.dispose()
    limited(postgres_url, 0)
    away(bo.get(f"{FACTS}?since=0"), "does not answer")
    away(bo.get("/healthz"), "does not answer")
    limited(postgres_url, 5)
    assert bo.get("/healthz").text == "ok\n"
    bench.close()
    with psycopg.connect(postgres_url.replace("+psycopg", ""), autocommit=True) as own:
        own.execute("REASSIGN OWNED BY crowd TO postgres")
        own.execute("DROP OWNED BY crowd")
        own.execute("DROP ROLE crowd")
