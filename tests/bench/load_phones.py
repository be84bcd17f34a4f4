"""Phones of the load bench: one that posts, one that listens, and a crowd that only listens."""

from __future__ import annotations

import contextlib
import http.client
import json
import random
import selectors
import socket
import threading
import time
from typing import Any


def answered(
    connection: http.client.HTTPConnection,
    method: str,
    path: str,
    body: str | None,
    headers: dict[str, str],
) -> http.client.HTTPResponse:
    """Return the answer; a connection that rested too long was closed and is opened anew, once."""
    try:
        connection.request(method, path, body, headers)
        return connection.getresponse()
    except (http.client.RemoteDisconnected, ConnectionResetError, BrokenPipeError):
        connection.close()
        connection.request(method, path, body, headers)
        return connection.getresponse()


class LoadPhone:
    """Posts one fact after the other on one connection."""

    def __init__(self, port: int, device: str, code: str, show: str = "demo") -> None:
        self.show = show
        self.connection = http.client.HTTPConnection("127.0.0.1", port, timeout=30)
        self.device, self.cookie, self.n, self.cursor = device, "", 0, 0
        self.times: list[float] = []
        self.sent: dict[int, float] = {}
        self.errors = 0
        self.post("/api/join", {"code": code, "name": device, "device": device})

    def post(self, path: str, body: object) -> dict[str, Any]:
        headers = {"X-Rowcall": "1", "Content-Type": "application/json", "Cookie": self.cookie}
        answer = answered(self.connection, "POST", path, json.dumps(body), headers)
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
            "show": self.show,
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

    def send_until(self, end: float, *, every: float = 0.0, batch: int = 1) -> None:
        """Send batches until a time, with a pause of `every` seconds, spread by half of it.

        `sent` keeps when the facts up to a number had left their phones.
        """
        spread = random.Random(self.device)
        time.sleep(every * spread.random())
        while time.monotonic() < end:
            facts = [self.fact() for _ in range(batch)]
            begun = time.monotonic()
            try:
                told = self.post(
                    f"/api/shows/{self.show}/events",
                    {"device": self.device, "events": facts, "since": self.cursor},
                )
            except OSError:
                self.errors += 1
                return
            self.times.append(time.monotonic() - begun)
            self.cursor = told["cursor"]
            for one in told["events"]:
                if one["event"]["id"] == facts[-1]["id"]:
                    self.sent[one["seq"]] = begun
            time.sleep(every * spread.uniform(0.5, 1.5))


class Listener:
    """Keeps a live stream open, fetches what it announces, and notes when it had it in hand."""

    def __init__(self, port: int, phone: LoadPhone) -> None:
        self.asking = http.client.HTTPConnection("127.0.0.1", port, timeout=60)
        self.phone, self.cursor = phone, 0
        self.connection = http.client.HTTPConnection("127.0.0.1", port, timeout=60)
        self.refused = 0
        self.heard: list[tuple[int, float]] = []
        path = f"/api/shows/{phone.show}/stream?since=0"
        self.connection.request("GET", path, headers={"Cookie": phone.cookie})
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
                    self._fetch()
                    self.heard.append((self.cursor, time.monotonic()))
        except (OSError, http.client.HTTPException, ValueError, AttributeError):
            return  # closed under it: the bench is over

    def _fetch(self) -> None:
        """Read what is new, as a phone does."""
        path = f"/api/shows/{self.phone.show}/events?since={self.cursor}"
        self.asking.request("GET", path, headers={"Cookie": self.phone.cookie})
        self.cursor = json.loads(self.asking.getresponse().read())["cursor"]

    def latencies(self, sent: dict[int, float]) -> list[float]:
        """Return of each batch how long after its post this phone had it."""
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
        self.asking.close()


class Crowd:
    """Streams that are held open and read by one thread; real phones have processors of their own.

    `lines` counts what they were told.
    """

    def __init__(self, port: int) -> None:
        self.port, self.lines, self.refused, self.closing = port, 0, 0, False
        self.selector = selectors.DefaultSelector()
        self.sockets: list[socket.socket] = []
        self.thread = threading.Thread(target=self._read, daemon=True)

    def join(self, phone: LoadPhone) -> None:
        """Open one more stream with the cookie of a phone."""
        stream = socket.create_connection(("127.0.0.1", self.port), timeout=60)
        path = f"/api/shows/{phone.show}/stream?since=0"
        head = f"GET {path} HTTP/1.1\r\nHost: 127.0.0.1:{self.port}\r\nCookie: {phone.cookie}\r\n"
        stream.sendall(f"{head}\r\n".encode())
        self.refused += not stream.recv(4096).startswith(b"HTTP/1.1 200")
        stream.setblocking(False)
        self.sockets.append(stream)
        self.selector.register(stream, selectors.EVENT_READ)

    def _read(self) -> None:
        while not self.closing:
            for key, _ in self.selector.select(timeout=0.2):
                stream = key.fileobj
                assert isinstance(stream, socket.socket)
                with contextlib.suppress(BlockingIOError):
                    told = stream.recv(65536)
                    self.lines += told.count(b"event: ")
                    if not told:
                        self.selector.unregister(stream)
                        self.refused += 1

    def listen(self) -> None:
        self.thread.start()

    def close(self) -> None:
        """End every stream."""
        self.closing = True
        self.thread.join(timeout=10)
        self.selector.close()
        for stream in self.sockets:
            stream.close()
