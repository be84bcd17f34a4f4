"""How many requests of one session are at work at once.

The web server's loop lets clients take turns before a request costs anything
(server/commands/turns.py); this holds where there is no such loop, or where one session was made to
look like many.
"""

from __future__ import annotations

import threading
from collections import Counter
from typing import Final

from flask import Flask, g

from server.api.context import who
from server.service.troubles import Locked

MOST: Final = 12  # a browser opens six connections; streams may hold some more


class AtOnce:
    """Requests at work, by session."""

    def __init__(self) -> None:
        self.working: Counter[str] = Counter()
        self._lock = threading.Lock()

    def begin(self) -> None:
        """Count a request; Locked where its session has too many at work."""
        session = who()
        if session is None:
            return
        with self._lock:
            if self.working[session.id] >= MOST:
                raise Locked("Too much is asked at once: ask again in a moment.", 2)
            self.working[session.id] += 1
        g.at_work = session.id

    def end(self, _error: BaseException | None) -> None:
        """Count a request as answered."""
        session = g.pop("at_work", None)
        if session is None:
            return
        with self._lock:
            self.working[session] -= 1
            if self.working[session] <= 0:
                del self.working[session]


def register(app: Flask) -> None:
    """Count the requests of an app; after `roles.check`, which knows who asks."""
    counted = AtOnce()
    app.before_request(counted.begin)
    app.teardown_request(counted.end)
