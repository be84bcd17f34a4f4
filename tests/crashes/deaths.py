"""A server that dies and rises on one folder of data, and its database with it."""

from __future__ import annotations

import contextlib
import os
import signal
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from random import Random
from typing import Final

import psycopg

from tests.crashes.client import Asking
from tests.support.app import filled
from tests.support.needs import find_postgres
from tests.support.postgres import Cluster, mortal_cluster, scratch_database
from tests.support.serving import Server

WORKERS: Final = 2  # on PostgreSQL; SQLite has one process


class Stand:
    """One server on its port, with ways to die."""

    def __init__(self, folder: Path, words: tuple[str, ...], cluster: Cluster | None) -> None:
        self.folder, self.words, self.cluster = folder, words, cluster
        url = words[1] if words else f"sqlite:///{folder / 'rowcall.sqlite'}"
        self.code = filled(url, folder)
        self.server = Server(folder, *words).start()
        self.port = self.server.port
        self.down = False

    def asking(self, device: str) -> Asking:
        """Return a phone that has joined; it is known by its device."""
        return Asking(self.port, device, self.code)

    def die(self, random: Random, number: int) -> list[str]:
        """Strike; return what died."""
        died = []
        if self.cluster is not None and number % 4 in {1, 3}:
            died.append(self._strike_database(whole=number % 4 == 1))
        if random.random() < 0.5:
            self.server.kill()
            return ["server", *died]
        # The first process only minds the others: it puts a new one in the place of each.
        for pid in children(self.server.process.pid):
            with contextlib.suppress(ProcessLookupError):
                os.kill(pid, signal.SIGKILL)
        return ["worker", *died]

    def _strike_database(self, *, whole: bool) -> str:
        assert self.cluster is not None
        if whole:
            self.cluster.stop(signal.SIGQUIT)
            self.down = True
            return "database stopped at once"
        assert self.cluster.process is not None
        backends = [
            pid
            for pid in children(self.cluster.process.pid)
            if b"[local]" in Path(f"/proc/{pid}/cmdline").read_bytes()
        ]
        for pid in backends[:1]:
            os.kill(pid, signal.SIGKILL)
        return "process of the database"

    def rise(self) -> None:
        """Bring back what is down and wait until the server answers."""
        if self.cluster is not None:
            if self.down:
                self.cluster.start()
                self.down = False
            else:
                self._wait_for_database()
        if self.server.alive:
            self.server.wait()
        else:
            self.server.start()

    def _wait_for_database(self) -> None:
        assert self.cluster is not None
        end = time.monotonic() + 30
        while True:
            try:
                psycopg.connect(f"host={self.cluster.folder} user=postgres dbname=postgres").close()
            except psycopg.OperationalError:
                assert time.monotonic() < end, "the database did not come back"
                time.sleep(0.02)
            else:
                return


def children(pid: int) -> list[int]:
    """Return the processes that a process started."""
    tasks = Path(f"/proc/{pid}/task/{pid}/children")
    return [int(one) for one in tasks.read_text(encoding="ascii").split()]


@contextmanager
def standing(database: str, folder: Path) -> Iterator[Stand]:
    """Yield a served demo on a database of its own."""
    with contextlib.ExitStack() as held:
        cluster, words = None, tuple[str, ...]()
        if database == "postgresql":
            programs = find_postgres()
            assert programs is not None
            cluster = held.enter_context(mortal_cluster(programs))
            url = held.enter_context(scratch_database(cluster.folder, "crashes"))
            words = ("--database", url, "--workers", str(WORKERS))
        stand = Stand(folder, words, cluster)
        try:
            yield stand
        finally:
            stand.server.kill()
