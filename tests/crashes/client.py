"""A client of the crash rounds: sends batches until each is acknowledged, remembers every word."""

from __future__ import annotations

import http.client
import json
import threading
import time
from random import Random
from typing import Any, Final

SHOW: Final = "/api/shows/demo"
PATIENCE_S: Final = 10
NO_ANSWER: Final = (OSError, http.client.HTTPException)
NOT_THERE: Final = ConnectionRefusedError  # nothing was sent
# The database is away or its connection was cut: said in words, and the client asks again.
SORRY: Final = 503


class Refused(Exception):
    """An answer that no client should ever get."""


class Asking:
    """One connection with its cookie; it is opened anew after every trouble."""

    def __init__(self, port: int, device: str, code: str) -> None:
        self.device, self.cookie = device, ""
        self.connection = http.client.HTTPConnection("127.0.0.1", port, timeout=PATIENCE_S)
        self.ask("/api/join", {"code": code, "name": device, "device": device})

    def ask(self, path: str, body: object = None) -> dict[str, Any]:
        """Return the answer; one of NO_ANSWER where there is none, Refused for a bad one."""
        headers = {"X-Rowcall": "1", "Content-Type": "application/json", "Cookie": self.cookie}
        sent = None if body is None else json.dumps(body)
        try:
            self.connection.request("GET" if body is None else "POST", path, sent, headers)
            answer = self.connection.getresponse()
            content = answer.read()
        except NO_ANSWER:
            self.connection.close()
            raise
        if answer.status == SORRY:
            raise OSError(content)
        if answer.status != 200:
            raise Refused(f"{path}: {answer.status} {content[:200]!r}")
        cookie = answer.headers.get("Set-Cookie")
        self.cookie = cookie.split(";")[0] if cookie else self.cookie
        told: dict[str, Any] = json.loads(content)
        return told

    def close(self) -> None:
        self.connection.close()

    def page(self, since: int) -> dict[str, Any]:
        """Return what comes after a cursor; asks until there is an answer."""
        end = time.monotonic() + 60
        while True:
            try:
                return self.ask(f"{SHOW}/events?since={since}")
            except NO_ANSWER:
                if time.monotonic() > end:
                    raise
                time.sleep(0.02)


class Client(threading.Thread):
    """Sends one batch after the other; the same again while it has no answer.

    `acked` holds every id that the server promised to keep, `read` what it told under which number.
    """

    def __init__(self, asking: Asking, seed: int) -> None:
        super().__init__(daemon=True)
        self.asking, self.device, self.random = asking, asking.device, Random(seed)
        self.n = self.cursor = self.answers = self.unanswered = self._cut = 0
        self.acked: list[str] = []
        self.read: list[tuple[int, str]] = []
        self.faults: list[str] = []
        self.leaving = threading.Event()

    def run(self) -> None:
        while not self.leaving.is_set():
            batch = [self.fact() for _ in range(self.random.randint(1, 5))]
            while not self.sent(batch):
                time.sleep(0.02)

    def sent(self, batch: list[dict[str, Any]]) -> bool:
        """Send a batch; return whether that is over, acknowledged or hopeless."""
        body = {"device": self.device, "events": batch, "since": self.cursor}
        try:
            told = self.asking.ask(f"{SHOW}/events", body)
        except NO_ANSWER as trouble:
            # A batch that was on its way counts once, however often it is sent again.
            if not isinstance(trouble, NOT_THERE) and batch[0]["n"] != self._cut:
                self._cut = batch[0]["n"]
                self.unanswered += 1
            return self.leaving.is_set()
        except Refused as refused:
            self.faults.append(str(refused))
            self.leaving.wait(0.5)
            return True
        if told["refused"] or told["stored"] != [one["id"] for one in batch]:
            self.faults.append(f"{self.device}: stored {told['stored']}, refused {told['refused']}")
        # First what was read, then what was promised: the audit takes them the other way round.
        self.read += [(one["seq"], one["event"]["id"]) for one in told["events"]]
        self.acked += told["stored"]
        self.cursor = told["cursor"]
        self.answers += 1
        return True

    def fact(self) -> dict[str, Any]:
        self.n += 1
        ms = time.time_ns() // 1_000_000
        return {
            "v": 1, "id": f"{self.device}-{self.n}", "show": "demo", "move": "shop_load",
            "vehicle": "T1", "device": self.device, "n": self.n, "revision": 1, "at": ms,
            "by": {"id": self.device, "name": self.device, "role": "loader"},
            "hlc": f"{ms:013d}-00000-{self.device}", "body": {"kind": "hands", "count": 4},
        }  # fmt: skip

    def leave(self) -> None:
        """Send what is under way to its end and stop."""
        self.leaving.set()
        if self.ident is not None:
            self.join(60)
        self.asking.close()
