"""A gunicorn worker in which only whole requests take a thread.

Headers and bodies are collected by one loop for all connections, in bounded memory and time: a slow
or silent connection costs its buffer and nothing else. A request goes to a thread once it is whole.
"""

from __future__ import annotations

import re
import selectors
import socket
import ssl
import struct
import time
from collections import Counter
from concurrent.futures import Future
from functools import partial
from typing import Any, Final

from gunicorn import http, sock
from gunicorn.workers.gthread import TConn, ThreadWorker

HEAD_MOST: Final = 65_536
BODY_MOST: Final = 16_000_000  # above what the app takes of any request: it says so
ALL_MOST: Final = 200_000_000  # of all connections together
HEAD_SECONDS: Final = 10.0
BODY_SECONDS: Final = 20.0
BODY_BYTES_A_SECOND: Final = 10_000
WRITE_SECONDS: Final = 20
LAST_SECONDS: Final = 0.3  # a kept connection has for one more request once the worker leaves
# Phones have an address each; behind a proxy or on this machine all have one.
AN_ADDRESS: Final = 200
LENGTH: Final = re.compile(rb"(?im)^content-length:[ \t]*(\d{1,15})[ \t]*\r$")
CHUNKED: Final = re.compile(rb"(?im)^transfer-encoding:[^\r\n]*chunked")
EXPECT: Final = re.compile(rb"(?im)^expect:")
CHUNK: Final = re.compile(rb"([0-9A-Fa-f]{1,8})(?:;[^\r\n]{0,200})?\r\n")


class Waiting:
    """What has come of one request."""

    def __init__(self, deadline: float) -> None:
        self.buffer = bytearray()
        self.deadline = deadline
        self.body = 0  # where the body begins; 0: the head is not whole
        self.length = 0
        self.chunk = 0  # where the next chunk begins, of a body in chunks
        self.begun = False

    def take(self, data: bytes, now: float) -> bool:
        """Add bytes; return whether the request is whole, or wrong enough for the app to say so."""
        if not self.begun:
            self.begun, self.deadline = True, now + HEAD_SECONDS
        self.buffer += data
        if not self.body and not self._head(now):
            return len(self.buffer) > HEAD_MOST
        if self.chunk:
            return self._chunks()
        return len(self.buffer) >= self.body + self.length

    def _head(self, now: float) -> bool:
        end = self.buffer.find(b"\r\n\r\n")
        if end < 0:
            return False
        head = bytes(self.buffer[: end + 2])
        self.body = end + 4
        length = LENGTH.search(head)
        self.length = int(length.group(1)) if length else 0
        if self.length > BODY_MOST or EXPECT.search(head):
            self.length = 0  # refused by the app, or sent only once it is asked for
        elif CHUNKED.search(head):
            self.chunk = self.body
        self.deadline = now + BODY_SECONDS + self.length / BODY_BYTES_A_SECOND
        return True

    def _chunks(self) -> bool:
        while len(self.buffer) - self.body <= BODY_MOST:
            head = CHUNK.match(self.buffer, self.chunk)
            if head is None:
                rest = bytes(self.buffer[self.chunk : self.chunk + 210])
                return b"\n" in rest or len(rest) == 210  # no chunk at all
            size = int(head.group(1), 16)
            if size == 0:
                return self.buffer.find(b"\r\n", head.end()) >= 0
            after = head.end() + size
            if len(self.buffer) < after + 2:
                return size > BODY_MOST
            if self.buffer[after : after + 2] != b"\r\n":
                return True
            self.chunk = after + 2
        return True


class Worker(ThreadWorker):  # type: ignore[misc]  # gunicorn has no types
    """gunicorn's threads, behind a loop that hands them whole requests."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.waiting: dict[TConn, Waiting] = {}
        self.addresses: Counter[str] = Counter()
        self.swept = 0.0

    def accept(self, listener: socket.socket) -> None:
        """Take a connection, unless its address has as many as one may have."""
        try:
            client, address = listener.accept()
        except OSError:
            return
        name = str(address[0]) if isinstance(address, tuple) and address else ""
        local = name in {"", "127.0.0.1", "::1"} or name.startswith("::ffff:127.")
        if not local and self.addresses[name] >= AN_ADDRESS:
            client.close()
            return
        self.nr_conns += 1
        bound = struct.pack("ll", WRITE_SECONDS, 0)
        client.setsockopt(socket.SOL_SOCKET, socket.SO_SNDTIMEO, bound)
        client.setsockopt(socket.SOL_SOCKET, socket.SO_RCVTIMEO, bound)
        conn = TConn(self.cfg, client, address, listener.getsockname())
        conn.counted = name
        self.addresses[name] += 1
        self._closing(conn)
        self._wait(conn, HEAD_SECONDS)

    def _closing(self, conn: TConn) -> None:
        """Let the address have one connection more once this one is closed, whoever closes it."""
        close = conn.close

        def closed(*args: Any, **kwargs: Any) -> None:
            if conn.counted is not None:
                self.addresses[conn.counted] -= 1
                if self.addresses[conn.counted] <= 0:
                    del self.addresses[conn.counted]
                conn.counted = None
            close(*args, **kwargs)

        conn.close = closed

    def _wait(self, conn: TConn, seconds: float) -> None:
        conn.sock.setblocking(False)
        self.waiting[conn] = Waiting(time.monotonic() + seconds)
        self.poller.register(conn.sock, selectors.EVENT_READ, partial(self._readable, conn))

    def _readable(self, conn: TConn, _file: object) -> None:
        """Take what has come; hand the request on, or let the connection go."""
        try:
            if self.cfg.is_ssl and not isinstance(conn.sock, ssl.SSLSocket):
                self._begin_tls(conn)
            whole = self._collect(conn)
        except (ssl.SSLWantReadError, ssl.SSLWantWriteError, BlockingIOError):
            return
        except (OSError, EOFError):
            self._drop(conn)
            return
        if whole:
            self._hand_on(conn)

    def _begin_tls(self, conn: TConn) -> None:
        plain = conn.sock
        self.poller.unregister(plain)
        conn.sock = sock.ssl_wrap_socket(plain, self.cfg)
        self.poller.register(conn.sock, selectors.EVENT_READ, partial(self._readable, conn))

    def _collect(self, conn: TConn) -> bool:
        if isinstance(conn.sock, ssl.SSLSocket) and not conn.initialized:
            conn.sock.do_handshake()
        if not conn.initialized:
            conn.parser = http.get_parser(self.cfg, conn.sock, conn.client)
            conn.initialized = True
        waits = self.waiting[conn]
        while True:
            try:
                data = conn.sock.recv(65_536)
            except (ssl.SSLWantReadError, BlockingIOError):
                return False
            if not data:
                raise EOFError
            if waits.take(data, time.monotonic()):
                return True

    def _hand_on(self, conn: TConn) -> None:
        self.poller.unregister(conn.sock)
        waits = self.waiting.pop(conn)
        conn.parser.unreader.unread(bytes(waits.buffer))
        conn.data_ready = True
        self.enqueue_req(conn)

    def _drop(self, conn: TConn) -> None:
        self.poller.unregister(conn.sock)
        del self.waiting[conn]
        self.nr_conns -= 1
        conn.close()

    def on_client_socket_readable(self, conn: TConn, client: socket.socket) -> None:
        """Collect the next request of a connection that was kept open."""
        self.poller.unregister(client)
        self.keepalived_conns.remove(conn)
        self._wait(conn, HEAD_SECONDS)
        self._readable(conn, client)

    def murder_pending(self) -> None:
        """Let connections go whose request is not whole in time, or all too much together."""
        super().murder_pending()
        now = time.monotonic()
        if self.alive and now - self.swept < 0.5:
            return
        self.swept = now
        held = sum(len(one.buffer) for one in self.waiting.values())
        late = [
            conn
            for conn, one in self.waiting.items()
            if one.deadline < now or not (self.alive or one.begun)
        ]
        if held > ALL_MOST:
            late += sorted(self.waiting, key=lambda one: len(self.waiting[one].buffer))[-10:]
        for conn in dict.fromkeys(late):
            self._drop(conn)

    def wait_for_and_dispatch_events(self, timeout: float) -> None:
        """Look more often once the worker leaves: silent connections must not hold it up."""
        super().wait_for_and_dispatch_events(timeout if self.alive else min(timeout, 0.1))

    def _cap_keepalive(self, deadline: float) -> None:
        """Let connections that are kept open, but say nothing, go soon once the worker leaves."""
        super()._cap_keepalive(min(deadline, time.monotonic() + LAST_SECONDS))

    def finish_request(self, conn: TConn, fs: Future[object]) -> None:
        """Keep or close a connection after its answer; a worker that leaves keeps none for long."""
        super().finish_request(conn, fs)
        if not self.alive:
            self._cap_keepalive(time.monotonic() + LAST_SECONDS)
