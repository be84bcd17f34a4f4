"""Phones of the load bench: one that posts, one that listens."""

from __future__ import annotations

import contextlib
import http.client
import json
import random
import socket
import threading
import time
from typing import Any


class LoadPhone:
    """Posts one fact after the other on one connection."""

    def __init__(self, port: int, device: str, code: str) -> None:
        self.connection = http.client.HTTPConnection("127.0.0.1", port, timeout=30)
        self.device, self.cookie, self.n, self.cursor = device, "", 0, 0
        self.times: list[float] = []
        self.errors = 0
        self.post("/api/join", {"code": code, "name": device, "device": device})

    def post(self, path: str, body: object) -> dict[str, Any]:
        headers = {"X-Rowcall": "1", "Content-Type": "application/json", "Cookie": self.cookie}
        self.connection.request("POST", path, json.dumps(body), headers)
        answer = self.connection.getresponse()
        content = answer.read()
        cookie = answer.headers.get("Set-Cookie")
        self.cookie = cookie.split(";")[0] if cookie else self.cookie
        if answer.status != 200:
            raise OSError(f"{answer.status} {content[:200]!r}")
        told: dict[str, Any] = json.loads(content)
        return told

    def fact(self) -> dict[str, Any]:
        self.n += 1
        ms = time.time_ns() // 1_000_000
        return {
            "v": 1,
            "id": f"{self.device}-{self.n}",
            "show": "demo",
            "move": "shop_load",
            "vehicle": "T1",
            "device": self.device,
            "n": self.n,
            "revision": 1,
            "at": ms,
            "by": {"id": self.device, "name": self.device, "role": "loader"},
            "hlc": f"{ms:013d}-00000-{self.device}",
            "body": {"kind": "hands", "count": 4},
        }

    def send_until(self, end: float, sent: dict[int, float], every: float = 0.0) -> None:
        """Send until a time, with a pause of `every` seconds, spread by half of it either way.

        `sent` keeps when the facts up to a number had left their phones.
        """
        spread = random.Random(self.device)
        time.sleep(every * spread.random())
        while time.monotonic() < end:
            fact = self.fact()
            begun = time.monotonic()
            try:
                told = self.post(
                    "/api/shows/demo/events",
                    {"device": self.device, "events": [fact], "since": self.cursor},
                )
            except OSError:
                self.errors += 1
                return
            self.times.append(time.monotonic() - begun)
            self.cursor = told["cursor"]
            for one in told["events"]:
                if one["event"]["id"] == fact["id"]:
                    sent[one["seq"]] = begun
            time.sleep(every * spread.uniform(0.5, 1.5))


class Listener:
    """Keeps a live stream open, fetches what it tells of, and notes when it had it in hand.

    One that only listens (`fetches` False) holds a stream as a phone does and asks for nothing.
    """

    def __init__(self, port: int, cookie: str, *, fetches: bool = False) -> None:
        self.asking = http.client.HTTPConnection("127.0.0.1", port, timeout=60) if fetches else None
        self.cookie, self.cursor = cookie, 0
        self.connection = http.client.HTTPConnection("127.0.0.1", port, timeout=60)
        self.refused = 0
        self.heard: list[tuple[int, float]] = []
        path = "/api/shows/demo/stream?since=0"
        self.connection.request("GET", path, headers={"Cookie": cookie})
        assert self.connection.sock is not None
        self.socket: socket.socket = self.connection.sock
        self.thread = threading.Thread(target=self._listen, daemon=True)
        self.thread.start()

    def _listen(self) -> None:
        try:
            answer = self.connection.getresponse()
            if answer.status != 200:
                self.refused = 1
                return
            for line in answer:
                if line.startswith(b'data: {"cursor"'):
                    told = json.loads(line[6:])["cursor"]
                    self.heard.append((self._fetch(told), time.monotonic()))
        except (OSError, http.client.HTTPException, ValueError, AttributeError):
            return  # closed under it: the bench is over

    def _fetch(self, told: int) -> int:
        """Read what is new, as a phone does; return up to which number it is in hand."""
        if self.asking is None:
            return told
        path = f"/api/shows/demo/events?since={self.cursor}"
        self.asking.request("GET", path, headers={"Cookie": self.cookie})
        self.cursor = json.loads(self.asking.getresponse().read())["cursor"]
        return self.cursor

    def latencies(self, sent: dict[int, float]) -> list[float]:
        """Return of each fact how long after its post this phone had it."""
        found, heard = [], iter(self.heard)
        cursor, at = next(heard, (0, 0.0))
        for seq in sorted(sent):
            while cursor < seq:
                cursor, at = next(heard, (1 << 60, 0.0))
            if cursor < 1 << 60:
                found.append(at - sent[seq])
        return found

    def close(self) -> None:
        """End the stream; its own thread, which waits on it, lets go of the rest."""
        with contextlib.suppress(OSError):
            self.socket.shutdown(socket.SHUT_RDWR)
        self.thread.join(timeout=10)
        self.connection.close()
        if self.asking is not None:
            self.asking.close()
