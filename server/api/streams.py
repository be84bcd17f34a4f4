"""Server-sent events: short hints that a show has something new; phones read on by their cursor."""

from __future__ import annotations

import json
import threading
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import ExitStack
from functools import partial
from typing import Final

from flask import Response, current_app, request

from server.api.context import ports, someone
from server.service.ports import Ports
from server.service.troubles import Busy

HEARTBEAT_SECONDS: Final = 15.0
HELLO: Final = "retry: {retry}\n: here\n\n"
# Where the web server has it, a connection that listens is its loop's and takes no thread.
LOOP: Final = "rowcall.listen"
THREADS_LEFT: Final = 16  # for requests, where each stream takes a thread
RETRY_MS: Final = 3_000
EXTENSION: Final = "rowcall_streams"
A_SESSION: Final = 4  # tabs of one phone, and a stream that its network has forgotten


class Seats:
    """How many streams one process holds, in all and in threads of their own."""

    def __init__(self, count: int, threads: int) -> None:
        self.count = count
        self.threads = max(1, min(count, threads - THREADS_LEFT))
        self.taken = 0
        self.by_session: Counter[str] = Counter()
        self._lock = threading.Lock()

    def take(self, session: str, *, threaded: bool) -> bool:
        """Take a seat for a session; no session takes more than A_SESSION."""
        most = self.threads if threaded else self.count
        with self._lock:
            if self.taken >= most or self.by_session[session] >= A_SESSION:
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
    listen: Callable[[News], None] | None = request.environ.get(LOOP)
    if not chairs.take(session, threaded=listen is None):
        raise Busy("There is no room for one more live stream: ask again by polling.", 10)
    news = News(outside, show, since, partial(chairs.free, session))
    if listen is None or request.method != "GET":
        lines = news.lines()
    else:
        lines = iter([news.hello()])
        listen(news)
    response = Response(lines, mimetype="text/event-stream")
    response.headers["Cache-Control"] = "no-store"
    response.headers["X-Accel-Buffering"] = "no"
    if listen is None or request.method != "GET":
        response.call_on_close(news.close)
    return response


class News:
    """The news of a show for one phone. Its seat is free again however it ends."""

    def __init__(self, outside: Ports, show: str, since: int, free: Callable[[], None]) -> None:
        self.show = show
        self._watch = outside.watch
        self._head = (-1, -1)
        self._cursor, self._revision = since, -1
        self._leaving = ExitStack()
        self._leaving.callback(free)

    def close(self) -> None:
        """Give the seat back."""
        self._leaving.close()

    def hello(self) -> str:
        """Return the first words, and have the show watched from now on."""
        self._leaving.enter_context(self._watch.watching(self.show))
        return HELLO.format(retry=RETRY_MS)

    def words(self, seconds: float = 0.0) -> str:
        """Return what is new, as soon as there is something, or after a while; empty: nothing."""
        head = self._watch.wait(self.show, self._head, seconds)
        if head == self._head:
            return ""
        self._head = head
        new = ""
        if head[0] > self._cursor:
            new += line("cursor", {"cursor": head[0]}, head[0])
        if head[1] != self._revision and self._revision >= 0:
            new += line("bundle", {"revision": head[1]}, None)
        self._cursor, self._revision = max(self._cursor, head[0]), head[1]
        return new

    def lines(self) -> Iterator[str]:
        """Yield what is new for as long as the phone listens, in a thread of its own."""
        yield self.hello()
        while not self._watch.closed:
            head = self._head
            new = self.words(HEARTBEAT_SECONDS)
            if new or head == self._head:
                yield new or ": still here\n\n"


def line(event: str, data: dict[str, int], number: int | None) -> str:
    """Return one event of the stream."""
    numbered = "" if number is None else f"id: {number}\n"
    return f"{numbered}event: {event}\ndata: {json.dumps(data)}\n\n"
