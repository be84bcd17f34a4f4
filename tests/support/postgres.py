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
from typing import Any, Final

import psycopg

START_SECONDS: Final = 30


@contextmanager
def scratch_cluster(programs: Path) -> Iterator[Path]:
    """Yield the socket folder of a fresh cluster, user postgres, trust, fsync on."""
    user = _user()
    # Below the system's own temporary folder: a socket's path may have 107 characters at most.
    folder = Path(tempfile.mkdtemp(prefix="rowcall-pg-"))
    try:
        if user is not None:
            shutil.chown(folder, user.pw_uid, user.pw_gid)
        data = folder / "data"
        _run_as(user, [programs / "initdb", "-D", data, "-U", "postgres", "-A", "trust",
                       "-E", "UTF8", "--locale=C", "--no-instructions"])  # fmt: skip
        log = folder / "log"
        with log.open("w") as out:
            start: list[str | Path] = [*_leash(), programs / "postgres", "-D", data, "-k", folder]
            server = subprocess.Popen(
                [*start, "-h", "", "-c", "fsync=on"],
                stdout=out,
                stderr=subprocess.STDOUT,
                cwd=folder,
                # A process group of its own, so that Ctrl-C ends the tests first.
                start_new_session=True,
                **_as(user),
            )
        try:
            _wait(folder, server, log)
            yield folder
        finally:
            server.send_signal(signal.SIGINT)  # the fast shutdown of PostgreSQL
            server.wait(timeout=START_SECONDS)
    finally:
        shutil.rmtree(folder, ignore_errors=True)


@contextmanager
def scratch_database(socket: Path, name: str) -> Iterator[str]:
    """Yield the URL of a fresh, empty database, dropped afterwards with whoever still holds it."""
    with psycopg.connect(_dsn(socket), autocommit=True) as own:
        own.execute(psycopg.sql.SQL("CREATE DATABASE {}").format(psycopg.sql.Identifier(name)))
        try:
            yield f"postgresql+psycopg://postgres@/{name}?host={socket}"
        finally:
            own.execute(
                psycopg.sql.SQL("DROP DATABASE {} WITH (FORCE)").format(
                    psycopg.sql.Identifier(name)
                )
            )


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
