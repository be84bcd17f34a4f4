"""Phones of the replay: each works off its scans, holds a stream, and reads on when told to."""

from __future__ import annotations

import contextlib
import http.client
import json
import threading
import time
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from server.core.crew.bundle import Bundle
from server.core.night.events import read_event
from server.core.night.fold import fold
from server.core.night.house_state import State
from tests.bench.load_phones import LoadPhone, answered


@dataclass(frozen=True, slots=True)
class Due:
    """A fact to report, so many seconds after the start."""

    at: float
    vehicle: str
    body: dict[str, Any]


class ReplayPhone:
    """One phone of a show: reports what it has to, holds all that it read."""

    def __init__(self, port: int, device: str, code: str, show: str) -> None:
        self.sending = LoadPhone(port, device, code, show)
        self.asking = http.client.HTTPConnection("127.0.0.1", port, timeout=60)
        self.streaming = http.client.HTTPConnection("127.0.0.1", port, timeout=60)
        self.held: dict[int, dict[str, Any]] = {}
        self.cursor, self.fetches, self.errors = 0, 0, 0
        self.times: list[float] = []
        self.reading = threading.Lock()
        self.leaving = False
        self.listener = threading.Thread(target=self._listen, daemon=True)

    def get(self, path: str, connection: http.client.HTTPConnection) -> http.client.HTTPResponse:
        show, cookie = self.sending.show, self.sending.cookie
        asked = f"/api/shows/{show}/{path}"
        answer = answered(connection, "GET", asked, None, {"Cookie": cookie})
        if answer.status != 200:
            raise OSError(f"{path}: {answer.status} {answer.read()[:200]!r}")
        return answer

    def work(self, dues: Sequence[Due], start: float) -> None:
        """Report each fact in its time; those that wait while one is under way go together."""
        waiting = list(dues)
        while waiting:
            time.sleep(max(0.0, start + waiting[0].at - time.monotonic()))
            now = time.monotonic() - start
            ready = [one for one in waiting if one.at <= now]
            waiting = waiting[len(ready) :]
            self.report([self._fact(one) for one in ready])

    def _fact(self, due: Due) -> dict[str, Any]:
        return {**self.sending.fact(), "vehicle": due.vehicle, "body": due.body}

    def report(self, facts: list[dict[str, Any]]) -> None:
        """Send facts until they are acknowledged; the time of the answer counts."""
        with self.reading:
            body = {"device": self.sending.device, "events": facts, "since": self.cursor}
            begun = time.monotonic()
            try:
                told = self.sending.post(f"/api/shows/{self.sending.show}/events", body)
            except (OSError, http.client.HTTPException):
                self.errors += 1
                return
            self.times.append(time.monotonic() - begun)
            self.errors += len(facts) - len(told["stored"])
            self._take(told)

    def fetch(self) -> None:
        """Read on from the cursor to the end."""
        more = True
        while more:
            with self.reading:
                answer = self.get(f"events?since={self.cursor}", self.asking)
                told = json.loads(answer.read())
                self._take(told)
                self.fetches += 1
                more = told["more"]

    def _take(self, told: dict[str, Any]) -> None:
        for one in told["events"]:
            self.held[one["seq"]] = one["event"]
        self.cursor = told["cursor"]

    def _listen(self) -> None:
        try:
            for line in self.get("stream?since=0", self.streaming):
                told = line.startswith(b'data: {"cursor"') and json.loads(line[6:])["cursor"]
                if told and told > self.cursor:
                    self.fetch()
        except (OSError, http.client.HTTPException, ValueError, AttributeError):
            self.errors += not self.leaving

    def state(self, bundle: Bundle) -> State:
        """Fold what this phone holds, as it does for its screen."""
        return fold(bundle, [read_event(one) for _, one in sorted(self.held.items())])

    def close(self) -> None:
        """Let go of every connection."""
        self.leaving = True
        if self.streaming.sock is not None:
            with contextlib.suppress(OSError):
                self.streaming.sock.shutdown(2)
        self.listener.join(timeout=5)
        for one in (self.sending.connection, self.asking, self.streaming):
            one.close()
