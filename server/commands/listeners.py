"""The connections of phones that listen: a few hundred bytes each, no thread, all in one loop.

A wake-up of a show comes from the thread that watches the database; the loop writes it to each
phone of that show. A phone that does not take a few lines in a quarter of a minute is gone.
"""

from __future__ import annotations

import contextlib
import heapq
from collections.abc import Callable
from itertools import count
from typing import Any, Final

LISTEN: Final = "rowcall.listen"  # in a request's environment: hands the connection to the loop
BEAT_SECONDS: Final = 15.0
BEAT: Final = ": still here\n\n"
UNSENT_MOST: Final = 4_096


class Listeners:
    """Every connection that waits for news, by show."""

    def __init__(self, drop: Callable[[Any], None]) -> None:
        self._drop = drop
        self._by_show: dict[str, set[Any]] = {}
        self._beats: list[tuple[float, int, Any]] = []
        self._number = count()
        self._now = 0.0

    def __len__(self) -> int:
        return sum(map(len, self._by_show.values()))

    def add(self, conn: Any) -> None:
        """Keep a connection; what is new since its answer began is said at once."""
        self._by_show.setdefault(conn.sock.listener.show, set()).add(conn)
        self._later(conn)
        self._say(conn, conn.sock.listener.words())

    def discard(self, conn: Any) -> None:
        """Forget a connection."""
        listener = conn.sock.listener
        if listener is None or listener.show not in self._by_show:
            return
        of_show = self._by_show[listener.show]
        of_show.discard(conn)
        if not of_show:
            del self._by_show[listener.show]

    def woken(self, show: str) -> None:
        """Tell every phone of a show what is new."""
        for conn in list(self._by_show.get(show, ())):
            self._say(conn, conn.sock.listener.words())

    def sweep(self, now: float, *, leaving: bool) -> None:
        """Let every phone hear that it is still connected; all leave with the process."""
        self._now = now
        if leaving:
            for conn in [conn for of_show in self._by_show.values() for conn in of_show]:
                with contextlib.suppress(OSError):
                    conn.sock.end()
                self._drop(conn)
        while self._beats and self._beats[0][0] <= now:
            conn = heapq.heappop(self._beats)[2]
            if conn.sock.listener is None:
                continue
            if conn.sock.rest:
                self._drop(conn)
                continue
            self._later(conn)
            self._say(conn, BEAT)

    def _later(self, conn: Any) -> None:
        heapq.heappush(self._beats, (self._now + BEAT_SECONDS, next(self._number), conn))

    def _say(self, conn: Any, words: str) -> None:
        if not words:
            return
        try:
            conn.sock.say(words)
        except OSError:
            self._drop(conn)
            return
        if len(conn.sock.rest) > UNSENT_MOST:
            self._drop(conn)
