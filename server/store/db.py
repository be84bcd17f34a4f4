"""The database handle, and what each engine must be told."""

from __future__ import annotations

import importlib.util
import sqlite3
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any, Final

from alembic.script import ScriptDirectory
from flask import Flask
from flask_migrate import Migrate, upgrade
from flask_sqlalchemy import SQLAlchemy
from flask_sqlalchemy.session import Session
from sqlalchemy import event
from sqlalchemy.engine import Connection, Engine
from sqlalchemy.exc import DBAPIError
from sqlalchemy.orm import DeclarativeBase

from server.store.alone import alone
from server.store.upgrade_copy import guard
from server.trouble import BadInput

DATA: Final = "ROWCALL_DATA"  # key of app.config: the folder of the data
MIGRATIONS: Final = Path(__file__).parent / "migrations"
BUSY_MS: Final = 15_000


class Base(DeclarativeBase):
    """Base class of every table."""


class LenientSession(Session):
    """A session whose end never fails: what it had to say was said before.

    A database that goes away between a commit and the end of its request would else turn an answer
    that holds into an error.
    """

    def close(self) -> None:
        try:
            super().close()
        except DBAPIError:
            self.invalidate()


db = SQLAlchemy(model_class=Base, session_options={"class_": LenientSession})
migrate = Migrate(directory=str(MIGRATIONS))

# SQLite has one writer at a time and lets others sleep and try again; a queue in the process is
# fairer and quicker. PostgreSQL needs none: rows are locked there.
_ONE_WRITER: Final = threading.RLock()


def attach(app: Flask, url: str, *, pool: int = 32, wait: int = 10, data: Path = Path()) -> None:
    """Give the app its database; nothing is opened before the first use.

    `data`: the folder of the data, for copies made before migrations.

    `pool`: connections at most, three of four kept open. `wait`: for one of them, in seconds.
    """
    if url.startswith("postgresql") and importlib.util.find_spec("psycopg") is None:
        expected = "an installation with it: pip install 'rowcall[postgres]'"
        raise BadInput("database", expected, "PostgreSQL without its driver")
    app.config["SQLALCHEMY_DATABASE_URI"] = url
    app.config[DATA] = data
    # One connection a thread at most is ever in use: streams hold none. As many are kept as a busy
    # process uses at once, since opening one costs PostgreSQL more than a post; more threads than
    # that wait for their turn. A connection that the database has dropped costs one 503, after
    # which all are opened anew: phones ask again.
    kept = pool - pool // 4
    options: dict[str, Any] = {"pool_size": kept, "max_overflow": pool - kept, "pool_timeout": wait}
    if url.startswith("sqlite"):
        options["connect_args"] = {"timeout": BUSY_MS / 1000, "check_same_thread": False}
    app.config["SQLALCHEMY_ENGINE_OPTIONS"] = options
    db.init_app(app)
    migrate.init_app(app, db, render_as_batch=True)


@event.listens_for(Engine, "connect")
def _tell_sqlite(connection: Any, _record: Any) -> None:
    """Ask SQLite for durability, concurrent readers and foreign keys."""
    if not isinstance(connection, sqlite3.Connection):
        return
    cursor = connection.cursor()
    cursor.execute(f"PRAGMA busy_timeout={BUSY_MS}")
    cursor.execute("PRAGMA journal_mode=WAL")
    # FULL: an answer tells a phone that it may forget, so the commit must be on the disk.
    cursor.execute("PRAGMA synchronous=FULL")
    cursor.execute("PRAGMA foreign_keys=ON")
    cursor.close()


# PostgreSQL reads outside of `writing` without a transaction: each statement sees what is committed
# either way (READ COMMITTED), and two of three trips to the server fall away.
@event.listens_for(LenientSession, "after_begin")
def _read_at_once(_session: Any, _transaction: Any, connection: Connection) -> None:
    if connection.dialect.name == "postgresql":
        _autocommit(connection, on=True)


@event.listens_for(Engine, "checkin")
def _as_it_was(connection: Any, _record: Any) -> None:
    """Give a connection back to the pool as others expect it; None: it is lost already."""
    if getattr(connection, "autocommit", False) is True:
        connection.autocommit = False


def _autocommit(connection: Connection, *, on: bool) -> None:
    raw: Any = connection.connection.driver_connection
    if raw.autocommit is not on:
        raw.autocommit = on


@contextmanager
def writing() -> Iterator[None]:
    """Run one write transaction: all of it is stored, or nothing."""
    if db.engine.dialect.name == "sqlite":
        with _ONE_WRITER:
            yield from _transaction()
    else:
        _autocommit(db.session.connection(), on=False)
        yield from _transaction()


def _transaction() -> Iterator[None]:
    try:
        yield
        db.session.commit()
    except BaseException:
        db.session.rollback()
        raise


def bring_up_to_date(app: Flask, step: str = "head", *, copy: bool = True) -> None:
    """Apply the migrations that are not yet applied, up to a step; needs no command line.

    A database of a newer version is refused; before the first migration a copy is kept, except of
    one that was filled from a backup just now (`copy` false).
    """
    from server.store.backup import dump

    with app.app_context():
        try:
            with alone(db.engine):
                if copy:
                    guard(db.engine, steps(), app.config[DATA], dump)
                upgrade(directory=str(MIGRATIONS), revision=step)
            _private(db.engine.url.database if db.engine.dialect.name == "sqlite" else None)
        finally:
            db.session.remove()
            db.engine.dispose()


def _private(file: str | None) -> None:
    """Let nobody else of this machine read an SQLite file: keys and hashes are in it."""
    if file and file != ":memory:":
        Path(file).chmod(0o600)  # SQLite gives its other files the same


def steps() -> list[str]:
    """Return the names of all migrations, the newest first."""
    return [one.revision for one in ScriptDirectory(str(MIGRATIONS)).walk_revisions()]
