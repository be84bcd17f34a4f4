"""Wakes the streams of this process whenever a show has something new, whoever stored it.

One thread watches the database: SQLite by its change counter, five times a second; PostgreSQL by
listening. It starts with the first stream. A wake is only a hint: streams tell the cursor that they
find, and phones read on from their own. Only the streams of the show in question wake, and the more
they are the longer a busy show waits between two wakes: the first fact after a rest goes out
at once, a hundred phones never take the processor from those that post.
"""

from __future__ import annotations

import logging
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Any, Final

from flask import Flask
from sqlalchemy import text

from server.store.append_events import CHANNEL
from server.store.db import db
from server.store.event_log import EventLog

POLL_SECONDS: Final = 0.2
AGAIN_SECONDS: Final = 1.0
# A notice can be lost with its connection: so often every watched show is looked at anyway.
LISTEN_SECONDS: Final = 5.0
# Facts that follow one another closely are one look: ten a second, the first after a rest at once.
GATHER_SECONDS: Final = 0.1
# Between two wakes of one show at least, and for each of its streams: each is a phone that asks.
REST_SECONDS: Final = 0.2
REST_OF_STREAM_SECONDS: Final = 0.0025

Head = tuple[int, int]
NOTHING: Final[Head] = (0, 0)
log = logging.getLogger("rowcall.watch")


class _Watched:
    """One show that streams of this process watch."""

    def __init__(self, lock: threading.Lock) -> None:
        self.news = threading.Condition(lock)
        self.streams = 0
        self.head: Head | None = None
        self.told: Head | None = None
        self.rests_until = 0.0

    def wake(self, now: float) -> float:
        """Wake the streams if there is something to tell and the rest is over; return the wait."""
        if self.head == self.told:
            return LISTEN_SECONDS
        if now < self.rests_until:
            return self.rests_until - now
        self.told = self.head
        self.rests_until = now + max(REST_SECONDS, REST_OF_STREAM_SECONDS * self.streams)
        self.news.notify_all()
        return LISTEN_SECONDS


class Watch:
    """Cursor and issued revision of every show that a stream of this process watches."""

    def __init__(self, app: Flask) -> None:
        self._app = app
        self._lock = threading.Lock()
        self._watched: dict[str, _Watched] = {}
        self._thread: threading.Thread | None = None
        self._closed = threading.Event()
        self._woken: Callable[[str], None] | None = None

    @property
    def closed(self) -> bool:
        return self._closed.is_set()

    def on_wake(self, woken: Callable[[str], None]) -> None:
        """Have a show named whenever its streams are to hear of something new."""
        self._woken = woken

    @contextmanager
    def watching(self, show: str) -> Iterator[None]:
        """Keep a show among the watched ones."""
        with self._lock:
            watched = self._watched.setdefault(show, _Watched(self._lock))
            watched.streams += 1
            if self._thread is None:
                self._thread = threading.Thread(target=self._run, name="watch", daemon=True)
                self._thread.start()
        try:
            if watched.head is None:
                with self._app.app_context():
                    self._look([show])
            yield
        finally:
            with self._lock:
                watched.streams -= 1
                if not watched.streams:
                    self._watched.pop(show, None)

    def wait(self, show: str, known: Head, seconds: float) -> Head:
        """Return the show's head as soon as it differs from the known one, or after a while."""
        with self._lock:
            watched = self._watched.get(show)
            if watched is None:
                return known
            watched.news.wait_for(lambda: self.closed or watched.told not in {None, known}, seconds)
            return watched.told or known

    def close(self) -> None:
        """Let every stream end: the process is leaving."""
        self._closed.set()
        with self._lock:
            for watched in self._watched.values():
                watched.news.notify_all()

    def _look(self, shows: list[str]) -> float:
        """Read the heads of these shows, wake whom it concerns; return how soon to wake again."""
        heads = EventLog().heads(shows) if shows else {}
        db.session.remove()
        with self._lock:
            for show, head in heads.items():
                if show in self._watched:
                    self._watched[show].head = head
        return self._wake()

    def _wake(self) -> float:
        now = time.monotonic()
        with self._lock:
            before = {show: watched.told for show, watched in self._watched.items()}
            waits = [watched.wake(now) for watched in self._watched.values()]
            woken = [show for show, told in before.items() if self._watched[show].told != told]
        if self._woken is not None:
            for show in woken:
                self._woken(show)
        return min(waits, default=LISTEN_SECONDS)

    def _shows(self) -> list[str]:
        with self._lock:
            return list(self._watched)

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
                    self._look(self._shows())
                else:
                    self._wake()

    def _listen(self) -> None:
        with db.engine.connect().execution_options(isolation_level="AUTOCOMMIT") as connection:
            connection.execute(text(f"LISTEN {CHANNEL}"))
            raw: Any = connection.connection.dbapi_connection
            patience = self._look(self._shows())
            looked_at = all_at = time.monotonic()
            while not self.closed:
                told = {note.payload for note in raw.notifies(timeout=patience, stop_after=1)}
                if told:
                    self._closed.wait(max(0.0, looked_at + GATHER_SECONDS - time.monotonic()))
                    told |= {note.payload for note in raw.notifies(timeout=0)}
                shows, looked_at = set(self._shows()), time.monotonic()
                if looked_at - all_at > LISTEN_SECONDS:
                    told, all_at = shows, looked_at
                patience = self._look(sorted(told & shows))
