"""A scratch PostgreSQL server: its own folder, a socket in it, no network, gone afterwards."""

from __future__ import annotations

import os
import pwd
import shutil
import signal
import subprocess
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any, Final, LiteralString

import psycopg

START_SECONDS: Final = 120
# Files in memory: what the tests ask is the same, and no disk is waited for.
MEMORY: Final = Path("/dev/shm")
ROOM: Final = 2_000_000_000  # bytes that must be free there


class Cluster:
    """One PostgreSQL server on a fresh folder; it can be stopped like a power cut and started."""

    def __init__(self, programs: Path, *, below: Path | None = None) -> None:
        self.programs = programs
        self.user = _user()
        # Below the system's own temporary folder: a socket's path may have 107 characters at most.
        self.folder = Path(tempfile.mkdtemp(prefix="rowcall-pg-", dir=below))
        if self.user is not None:
            shutil.chown(self.folder, self.user.pw_uid, self.user.pw_gid)
        _run_as(self.user, [programs / "initdb", "-D", self.folder / "data", "-U", "postgres",
                            "-A", "trust", "-E", "UTF8", "--locale=C",
                            "--no-instructions", "--no-sync"])  # fmt: skip
        self.process: subprocess.Popen[bytes] | None = None

    def start(self) -> None:
        """Start it, after a crash with what its log holds, and wait until it answers."""
        log = self.folder / "log"
        postgres = self.programs / "postgres"
        words: list[str | Path] = [*_leash(), postgres, "-D", self.folder / "data"]
        with log.open("a") as out:
            self.process = subprocess.Popen(
                [*words, "-k", self.folder, "-h", "", "-c", "fsync=on"],
                stdout=out,
                stderr=subprocess.STDOUT,
                cwd=self.folder,
                # A process group of its own, so that Ctrl-C ends the tests first.
                start_new_session=True,
                **_as(self.user),
            )
        _wait(self.folder, self.process, log)

    def stop(self, how: signal.Signals = signal.SIGINT) -> None:
        """Stop it: SIGINT ends it in order, SIGQUIT at once and without a flush."""
        if self.process is not None:
            self.process.send_signal(how)
            self.process.wait(timeout=START_SECONDS)
            self.process = None


@contextmanager
def scratch_cluster(programs: Path) -> Iterator[Path]:
    """Yield the socket folder of a fresh cluster, user postgres, trust, fsync on."""
    roomy = MEMORY.is_dir() and shutil.disk_usage(MEMORY).free > ROOM
    with mortal_cluster(programs, below=MEMORY if roomy else None) as cluster:
        yield cluster.folder


@contextmanager
def mortal_cluster(programs: Path, *, below: Path | None = None) -> Iterator[Cluster]:
    """Yield a running cluster that may be stopped and started; its folder goes afterwards."""
    cluster = Cluster(programs, below=below)
    try:
        cluster.start()
        yield cluster
    finally:
        try:
            cluster.stop()
        finally:
            shutil.rmtree(cluster.folder, ignore_errors=True)


@contextmanager
def scratch_database(socket: Path, name: str) -> Iterator[str]:
    """Yield the URL of a fresh, empty database, dropped afterwards with whoever still holds it."""
    _order(socket, "CREATE DATABASE {}", name)
    try:
        yield f"postgresql+psycopg://postgres@/{name}?host={socket}"
    finally:
        _order(socket, "DROP DATABASE {} WITH (FORCE)", name)


def _order(socket: Path, words: LiteralString, name: str) -> None:
    # Never one connection for both: a test may have cut it in between.
    order = psycopg.sql.SQL(words).format(psycopg.sql.Identifier(name))
    with psycopg.connect(_dsn(socket), autocommit=True) as own:
        own.execute(order)


def _leash() -> list[str]:
    """Return a wrapper that ends the server when these tests are killed, where there is one."""
    setpriv = shutil.which("setpriv")
    return [setpriv, "--pdeathsig", "INT"] if setpriv else []


def _dsn(socket: Path) -> str:
    return f"host={socket} user=postgres dbname=postgres"


def _user() -> pwd.struct_passwd | None:
    """Return whom to run as: PostgreSQL refuses root, so root lends a lesser name."""
    if os.geteuid() != 0:
        return None
    names = {entry.pw_name: entry for entry in pwd.getpwall()}
    return names.get("postgres") or names["nobody"]


def _as(user: pwd.struct_passwd | None) -> dict[str, Any]:
    if user is None:
        return {}
    return {"user": user.pw_uid, "group": user.pw_gid, "extra_groups": []}


def _run_as(user: pwd.struct_passwd | None, words: list[str | Path]) -> None:
    done = subprocess.run(words, capture_output=True, text=True, check=False, cwd="/", **_as(user))
    assert done.returncode == 0, done.stdout + done.stderr


def _wait(socket: Path, server: subprocess.Popen[bytes], log: Path) -> None:
    deadline = time.monotonic() + START_SECONDS
    while True:
        try:
            psycopg.connect(_dsn(socket)).close()
        except psycopg.OperationalError:
            ended = server.poll() is not None or time.monotonic() > deadline
            assert not ended, f"PostgreSQL did not start: {log.read_text(encoding='utf-8')}"
            time.sleep(0.1)
        else:
            return
