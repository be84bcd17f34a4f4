"""Wakes the streams of this process whenever a show has something new, whoever stored it.

One thread watches the database: SQLite by its change counter, five times a second; PostgreSQL by
listening. It starts with the first stream. A wake is only a hint: streams tell the cursor that they
find, and phones read on from their own.
"""

from __future__ import annotations

import logging
import threading
from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any, Final

from flask import Flask
from sqlalchemy import text

from server.store.db import db
from server.store.event_log import CHANNEL, EventLog

POLL_SECONDS: Final = 0.2
AGAIN_SECONDS: Final = 1.0
# A notice can be lost with its connection: so often every watched show is looked at anyway.
LISTEN_SECONDS: Final = 5.0
GATHER_SECONDS: Final = 0.1

Head = tuple[int, int]
NOTHING: Final[Head] = (0, 0)
log = logging.getLogger("rowcall.watch")


class Watch:
    """Cursor and issued revision of every show that a stream of this process watches."""

    def __init__(self, app: Flask) -> None:
        self._app = app
        self._news = threading.Condition()
        self._watched: Counter[str] = Counter()
        self._heads: dict[str, Head] = {}
        self._thread: threading.Thread | None = None
        self._closed = threading.Event()

    @property
    def closed(self) -> bool:
        return self._closed.is_set()

    @contextmanager
    def watching(self, show: str) -> Iterator[None]:
        """Keep a show among the watched ones."""
        with self._news:
            self._watched[show] += 1
            if self._thread is None:
                self._thread = threading.Thread(target=self._run, name="watch", daemon=True)
                self._thread.start()
        with self._app.app_context():
            self._look([show])
        try:
            yield
        finally:
            with self._news:
                self._watched[show] -= 1
                if not self._watched[show]:
                    del self._watched[show]
                    self._heads.pop(show, None)

    def wait(self, show: str, known: Head, seconds: float) -> Head:
        """Return the show's head as soon as it differs from the known one, or after a while."""
        with self._news:
            self._news.wait_for(
                lambda: self.closed or self._heads.get(show, known) != known, seconds
            )
            return self._heads.get(show, known)

    def close(self) -> None:
        """Let every stream end: the process is leaving."""
        self._closed.set()
        with self._news:
            self._news.notify_all()

    def _look(self, shows: list[str]) -> None:
        heads = EventLog().heads(shows) if shows else {}
        db.session.remove()
        with self._news:
            changed = {show: head for show, head in heads.items() if show in self._watched}
            if any(self._heads.get(show) != head for show, head in changed.items()):
                self._heads.update(changed)
                self._news.notify_all()

    def _look_at_all(self) -> None:
        with self._news:
            shows = list(self._watched)
        self._look(shows)

    def _run(self) -> None:
        with self._app.app_context():
            on_postgres = db.engine.dialect.name == "postgresql"
            follow = self._listen if on_postgres else self._poll
            while not self.closed:
                try:
                    follow()
                except Exception:
                    log.exception("watching the database failed; again in %s s", AGAIN_SECONDS)
                    self._closed.wait(AGAIN_SECONDS)

    def _poll(self) -> None:
        with db.engine.connect() as connection:
            seen: Any = None
            while not self._closed.wait(POLL_SECONDS):
                version = connection.execute(text("PRAGMA data_version")).scalar()
                connection.rollback()
                if version != seen:
                    seen = version
                    self._look_at_all()

    def _listen(self) -> None:
        with db.engine.connect().execution_options(isolation_level="AUTOCOMMIT") as connection:
            connection.execute(text(f"LISTEN {CHANNEL}"))
            raw: Any = connection.connection.dbapi_connection
            self._look_at_all()
            while not self.closed:
                told = {note.payload for note in raw.notifies(timeout=LISTEN_SECONDS, stop_after=1)}
                if told:
                    # Many facts a second wake every stream ten times a second, not at each fact.
                    self._closed.wait(GATHER_SECONDS)
                    told |= {note.payload for note in raw.notifies(timeout=0)}
                with self._news:
                    shows = list(told & set(self._watched)) if told else list(self._watched)
                self._look(shows)
