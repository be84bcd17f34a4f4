"""One process at a time brings a database up to date and fills it; others wait, and say so.

SQLite: a lock on a file beside the database, which the system lets go of when its holder ends,
however that happens. PostgreSQL: an advisory lock of a connection of its own.
"""

from __future__ import annotations

import os
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Final

from filelock import BaseFileLock, FileLock, Timeout
from sqlalchemy import Connection, Engine, text

from server.places import make_private
from server.trouble import BadInput

PATIENCE_S: Final = 120.0
LOOK_AGAIN_S: Final = 0.1
# Any number does that nobody else uses in this database: "rowcall" in ASCII.
KEY: Final = int.from_bytes(b"rowcall")
WAITING: Final = "Another process is bringing this database up to date: waiting for it.\n"
# What this process holds: whoever is inside may enter again.
_HELD: Final[set[str]] = set()


@contextmanager
def alone(engine: Engine, patience: float = PATIENCE_S) -> Iterator[None]:
    """Keep other processes out; BadInput after waiting in vain for `patience` seconds."""
    url = engine.url
    name = str(url)
    if name in _HELD or not url.database or ":memory:" in url.database:
        yield
        return
    on_file = url.get_backend_name() == "sqlite"
    with _file(Path(url.database), patience) if on_file else _advisory(engine, patience):
        _HELD.add(name)
        try:
            yield
        finally:
            _HELD.discard(name)


@contextmanager
def _file(database: Path, patience: float) -> Iterator[None]:
    make_private(database.parent, database.name)
    # Made here, so that the file is private from its first moment; SQLite fills an empty one.
    os.close(os.open(database, os.O_RDWR | os.O_CREAT, 0o600))
    lock = FileLock(database.with_name(database.name + ".lock"), mode=0o600)
    _wait(lambda: _locked(lock), patience, str(database))
    try:
        yield
    finally:
        lock.release()


def _locked(lock: BaseFileLock) -> bool:
    try:
        lock.acquire(timeout=0)
    except Timeout:
        return False
    return True


@contextmanager
def _advisory(engine: Engine, patience: float) -> Iterator[None]:
    with engine.connect().execution_options(isolation_level="AUTOCOMMIT") as connection:
        _wait(lambda: _advised(connection), patience, "the database")
        try:
            yield
        finally:
            connection.execute(text("SELECT pg_advisory_unlock(:key)"), {"key": KEY})


def _advised(connection: Connection) -> bool:
    found = connection.execute(text("SELECT pg_try_advisory_lock(:key)"), {"key": KEY})
    return bool(found.scalar_one())


def _wait(got: Callable[[], bool], patience: float, place: str) -> None:
    end, said = time.monotonic() + patience, False
    while not got():
        if time.monotonic() > end:
            raise BadInput(place, "to have it alone while it is brought up to date",
                           f"another process that holds it for {patience:g} s")  # fmt: skip
        if not said:
            said = True
            sys.stderr.write(WAITING)
        time.sleep(LOOK_AGAIN_S)
