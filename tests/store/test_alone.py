"""Two processes never bring one database up to date at once; who comes second waits in words."""

from __future__ import annotations

import multiprocessing
import threading
from multiprocessing.synchronize import Event
from pathlib import Path

import pytest
from sqlalchemy import create_engine

from server.store.alone import alone
from server.trouble import BadInput
from tests.support.serving import Server, code_of


def hold(url: str, inside: Event, leave: Event) -> None:
    engine = create_engine(url)
    with alone(engine):
        inside.set()
        leave.wait(20)
    engine.dispose()


def test_another_process_waits_its_turn_and_says_so(
    database_url: str, capsys: pytest.CaptureFixture[str]
) -> None:
    forked = multiprocessing.get_context("spawn")
    inside, leave = forked.Event(), forked.Event()
    other = forked.Process(target=hold, args=(database_url, inside, leave))
    other.start()
    engine = create_engine(database_url)
    try:
        assert inside.wait(20)
        with pytest.raises(BadInput, match="another process"), alone(engine, patience=0.2):
            pass
        assert "waiting for it" in capsys.readouterr().err
        threading.Timer(0.3, leave.set).start()
        with alone(engine, patience=20):
            assert leave.is_set()
    finally:
        leave.set()
        other.join(20)
        engine.dispose()


def test_a_holder_that_is_killed_keeps_nobody_out(sqlite_url: str) -> None:
    forked = multiprocessing.get_context("spawn")
    inside, leave = forked.Event(), forked.Event()
    other = forked.Process(target=hold, args=(sqlite_url, inside, leave))
    other.start()
    assert inside.wait(20)
    other.kill()
    other.join(20)
    engine = create_engine(sqlite_url)
    with alone(engine, patience=0.2), alone(engine, patience=0.2):
        pass  # and whoever is inside enters again
    engine.dispose()


@pytest.mark.slow
@pytest.mark.store
def test_two_servers_started_at_once_on_a_new_file_both_serve_one_demo(tmp_path: Path) -> None:
    servers = [Server(tmp_path), Server(tmp_path)]
    starting = [threading.Thread(target=server.start) for server in servers]
    try:
        for one in starting:
            one.start()
        for one in starting:
            one.join(60)
        assert all(server.alive for server in servers)
        said = [server.words() for server in servers]
        assert sum("making the demo shop" in one for one in said) == 1
        assert sum("waiting for it" in one for one in said) <= 1
        assert code_of(tmp_path)
    finally:
        for server in servers:
            server.kill()
