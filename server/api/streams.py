"""Server-sent events: short hints that a show has something new; phones read on by their cursor."""

from __future__ import annotations

import json
import threading
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import ExitStack
from functools import partial
from typing import Final

from flask import Response, current_app

from server.api.context import ports, someone
from server.service.ports import Ports
from server.service.troubles import Busy

HEARTBEAT_SECONDS: Final = 15.0
RETRY_MS: Final = 3_000
EXTENSION: Final = "rowcall_streams"
A_SESSION: Final = 4  # tabs of one phone, and a stream that its network has forgotten


class Seats:
    """How many streams one process holds: each keeps a thread, and requests need some too."""

    def __init__(self, count: int) -> None:
        self.count = count
        self.taken = 0
        self.by_session: Counter[str] = Counter()
        self._lock = threading.Lock()

    def take(self, session: str) -> bool:
        """Take a seat for a session; no session takes more than A_SESSION."""
        with self._lock:
            if self.taken >= self.count or self.by_session[session] >= A_SESSION:
                return False
            self.taken += 1
            self.by_session[session] += 1
            return True

    def free(self, session: str) -> None:
        """Give the seat of a session back."""
        with self._lock:
            self.taken -= 1
            self.by_session[session] -= 1
            if not self.by_session[session]:
                del self.by_session[session]


def seats() -> Seats:
    """Return this process's seats."""
    found: Seats = current_app.extensions[EXTENSION]
    return found


def open_stream(show: str, since: int) -> Response:
    """Return a stream for one phone, or Busy: then it polls."""
    chairs, outside, session = seats(), ports(), someone().id
    if not chairs.take(session):
        raise Busy("There is no room for one more live stream: ask again by polling.", 10)
    lines = Lines(outside, show, since, partial(chairs.free, session))
    response = Response(lines, mimetype="text/event-stream")
    response.headers["Cache-Control"] = "no-store"
    response.headers["X-Accel-Buffering"] = "no"
    response.call_on_close(lines.close)
    return response


class Lines:
    """The lines of one stream. Its seat is free again however it ends, also before it began."""

    def __init__(self, outside: Ports, show: str, since: int, free: Callable[[], None]) -> None:
        self._leaving = ExitStack()
        self._leaving.callback(free)
        self._lines = self._run(outside, show, since)

    def __iter__(self) -> Iterator[str]:
        return self._lines

    def close(self) -> None:
        self._leaving.close()

    def _run(self, outside: Ports, show: str, since: int) -> Iterator[str]:
        self._leaving.enter_context(outside.watch.watching(show))
        yield f"retry: {RETRY_MS}\n: here\n\n"
        cursor, revision = since, -1
        head = outside.watch.wait(show, (-1, -1), HEARTBEAT_SECONDS)
        while not outside.watch.closed:
            if head[0] > cursor:
                yield line("cursor", {"cursor": head[0]}, head[0])
            if head[1] != revision and revision >= 0:
                yield line("bundle", {"revision": head[1]}, None)
            cursor, revision = max(cursor, head[0]), head[1]
            fresh = outside.watch.wait(show, head, HEARTBEAT_SECONDS)
            if fresh == head:
                yield ": still here\n\n"
            head = fresh


def line(event: str, data: dict[str, int], number: int | None) -> str:
    """Return one event of the stream."""
    numbered = "" if number is None else f"id: {number}\n"
    return f"{numbered}event: {event}\ndata: {json.dumps(data)}\n\n"
