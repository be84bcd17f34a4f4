"""A copy of the database before each migration, and the way back to it.

SQLite: a copy of the file, beside it. PostgreSQL: a backup of format rowcall-backup-1 in the data
folder. A database that a newer version has migrated is refused before anything is read from it.
"""

from __future__ import annotations

import contextlib
import gzip
import json
import os
import sqlite3
import sys
import time
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path
from typing import Any, Final

from sqlalchemy import Engine, inspect, text

from server.places import PROGRAM
from server.trouble import BadInput

MAGIC: Final = b"SQLite format 3\0"
Dump = Callable[[], Iterator[dict[str, Any]]]


def guard(engine: Engine, steps: Sequence[str], data: Path, dump: Dump) -> None:
    """Refuse a newer database; where migrations are due, keep a copy first and say so.

    `steps`: all migrations that this version knows, the newest first.
    """
    found = migration_of(engine)
    if found is None or found == steps[0]:
        return
    if found not in steps:
        raise BadInput("database", f"migration {steps[0]} or older, which this version knows",
                       f"migration {found} of a newer Rowcall: install that version again, or "
                       f"return to a copy: {PROGRAM} restore {data}/before-...")  # fmt: skip
    name = f"before-{steps[0]}-{time.strftime('%Y%m%d-%H%M%S')}"
    if engine.dialect.name == "sqlite":
        copy = _copy_file(Path(engine.url.database or ""), name)
    else:
        copy = _dump_into(data / f"{name}.jsonl.gz", dump)
    sys.stderr.write(
        f"The database is brought up to date (migration {found} to {steps[0]}). As it was before: "
        f"{copy}\nTo go back: install the version of Rowcall that was here before, stop the server,"
        f" then: {PROGRAM} restore {copy}\n"
    )


def migration_of(engine: Engine) -> str | None:
    """Return the migration at which a database stands; None for a new one."""
    with engine.connect() as connection:
        if not inspect(connection).has_table("alembic_version"):
            return None
        found = connection.execute(text("SELECT version_num FROM alembic_version")).scalar()
    return None if found is None else str(found)


def _copy_file(database: Path, name: str) -> Path:
    return copy_sqlite(database, database.with_name(f"{name}.sqlite"))


def copy_sqlite(database: Path, to: Path) -> Path:
    """Copy an SQLite database with what lies in its log; the copy is there once it is whole."""
    fresh = to.with_name(to.name + ".new")
    fresh.unlink(missing_ok=True)
    os.close(os.open(fresh, os.O_RDWR | os.O_CREAT | os.O_EXCL, 0o600))
    with (
        contextlib.closing(sqlite3.connect(database)) as source,
        contextlib.closing(sqlite3.connect(fresh)) as target,
    ):
        source.backup(target)
        target.execute("PRAGMA journal_mode=DELETE")
    fresh.replace(to)
    return to


def _dump_into(file: Path, dump: Dump) -> Path:
    file.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    fresh = file.with_name(file.name + ".new")
    with (
        os.fdopen(os.open(fresh, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600), "wb") as raw,
        gzip.open(raw, "wt", encoding="utf-8", compresslevel=6) as out,
    ):
        for line in dump():
            out.write(json.dumps(line, ensure_ascii=False, separators=(",", ":")) + "\n")
    fresh.replace(file)
    return file


def is_sqlite(file: Path) -> bool:
    """Return whether a file is an SQLite database, by its first bytes."""
    with file.open("rb") as raw:
        return raw.read(len(MAGIC)) == MAGIC


def put_back(copy: Path, database: Path) -> Path | None:
    """Put a copy in the place of a database that nobody has open; return where that lies now."""
    aside = None
    if database.exists() and database.stat().st_size:
        with contextlib.closing(sqlite3.connect(database, timeout=1)) as alone:
            try:
                # Leaving the log needs the database alone; it also writes the log into the file.
                mode = alone.execute("PRAGMA journal_mode=DELETE").fetchone()[0]
            except sqlite3.OperationalError as error:
                mode = str(error)
        if mode != "delete":
            raise BadInput(str(database), "a database that no program has open: stop the server",
                           mode)  # fmt: skip
        aside = database.with_name(f"replaced-{time.strftime('%Y%m%d-%H%M%S')}.sqlite")
        database.rename(aside)
    copy_sqlite(copy, database)
    return aside
