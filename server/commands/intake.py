"""A gunicorn worker in which only work takes a thread.

One loop collects requests, sends answers and keeps the connections of phones that listen, all in
bounded memory and time: a slow or silent other end costs its buffer and nothing else. A request
gets a thread when it is whole and its client's turn has come.
"""

from __future__ import annotations

import contextlib
import os
import selectors
import socket
import ssl
import time
from collections import Counter
from collections.abc import Callable
from functools import partial
from typing import Any, Final

from gunicorn import http, sock
from gunicorn.workers.gthread import TConn, ThreadWorker

from server.commands.link import WOULD_WAIT, Link
from server.commands.listeners import LISTEN, Listeners
from server.commands.turns import FACTS, Turns, client_of
from server.commands.whole_request import BODY_BYTES_A_SECOND, HEAD_SECONDS, Waiting

ALL_MOST: Final = 200_000_000  # of all connections together
WRITE_SECONDS: Final = 20.0
LINGER_SECONDS: Final = 2.0
LAST_SECONDS: Final = 0.3  # a kept connection has for one more request once the worker leaves
SWEEP_SECONDS: Final = 0.5
PIECE: Final = 65_536
# Phones have an address each; behind a proxy or on this machine all have one.
AN_ADDRESS: Final = 200
CONTINUE: Final = b"HTTP/1.1 100 Continue\r\n\r\n"
TOO_MANY: Final = (
    b"HTTP/1.1 429 Too Many Requests\r\nRetry-After: 2\r\nConnection: close\r\n"
    b"Content-Length: 0\r\n\r\n"
)


class Worker(ThreadWorker):  # type: ignore[misc]  # gunicorn has no types
    """gunicorn's threads, behind a loop that alone talks to the other ends."""

    wsgi: Any

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.waiting: dict[TConn, Waiting] = {}
        self.sending: dict[TConn, float] = {}  # until when
        self.lingering: dict[TConn, float] = {}
        self.turns = Turns(self.cfg.threads)
        self.listeners = Listeners(self._drop)
        self.addresses: Counter[str] = Counter()
        self.swept = 0.0
        self.proxy = os.environ.get("ROWCALL_PROXIES", "0") not in {"", "0"}

    def load_wsgi(self) -> None:
        """Load the app, and let it hand connections to the loop."""
        super().load_wsgi()
        app = self.wsgi

        def listening(environ: dict[str, Any], start: Callable[..., Any]) -> Any:
            return app({**environ, LISTEN: environ["gunicorn.socket"].listen}, start)

        self.wsgi = listening

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
        conn = TConn(self.cfg, Link(client), address, listener.getsockname())
        conn.counted, conn.keeps, conn.client_name, conn.whole = name, False, b"", False
        self.addresses[name] += 1
        self._closing(conn)
        self._wait(conn, HEAD_SECONDS)

    def _closing(self, conn: TConn) -> None:
        """Let the address have one connection more once this one is closed, whoever closes it."""
        close = conn.close

        def closed(*_args: Any, **_kwargs: Any) -> None:
            if conn.counted is not None:
                self.addresses[conn.counted] -= 1
                if self.addresses[conn.counted] <= 0:
                    del self.addresses[conn.counted]
                conn.counted = None
            close()

        conn.close = closed

    def _wait(self, conn: TConn, seconds: float) -> None:
        self.waiting[conn] = Waiting(time.monotonic() + seconds)
        self.poller.register(conn.sock, selectors.EVENT_READ, partial(self._readable, conn))

    def _readable(self, conn: TConn, _file: object) -> None:
        """Take what has come; hand the request on, or let the connection go."""
        try:
            if self.cfg.is_ssl and not isinstance(conn.sock.real, ssl.SSLSocket):
                conn.sock.real = sock.ssl_wrap_socket(conn.sock.real, self.cfg)
                conn.sock.real.setblocking(False)
            whole = self._collect(conn)
        except WOULD_WAIT:
            return
        except (OSError, EOFError):
            self._drop(conn)
            return
        if whole:
            self._hand_on(conn)

    def _collect(self, conn: TConn) -> bool:
        if not conn.initialized:
            if isinstance(conn.sock.real, ssl.SSLSocket):
                conn.sock.real.do_handshake()
            conn.parser = http.get_parser(self.cfg, conn.sock, conn.client)
            conn.initialized = True
        while True:
            try:
                data = conn.sock.real.recv(PIECE)
            except WOULD_WAIT:
                return False
            if not data:
                raise EOFError
            if self._take(conn, data):
                return True

    def _take(self, conn: TConn, data: bytes) -> bool:
        waits = self.waiting[conn]
        whole = waits.take(data, time.monotonic())
        if waits.asks:
            waits.asks = False
            conn.sock.sendall(CONTINUE)
        return whole

    def _hand_on(self, conn: TConn) -> None:
        """Let a request wait for its turn."""
        self.poller.unregister(conn.sock)
        waits = self.waiting.pop(conn)
        conn.whole = waits.whole
        head, facts = waits.head, FACTS.match(waits.buffer) is not None
        address = str(conn.client[0]) if isinstance(conn.client, tuple) else ""
        conn.client_name = client_of(head, address, proxy=self.proxy)
        conn.parser.unreader.unread(bytes(waits.buffer))
        conn.data_ready = True
        if self.turns.add(conn.client_name, conn, len(waits.buffer), facts=facts):
            self._begin()
        else:
            conn.keeps = False
            conn.sock.rest += TOO_MANY
            self._answer(conn)

    def _begin(self) -> None:
        for conn in self.turns.next():
            self.enqueue_req(conn)

    def handle_request(self, req: Any, conn: TConn) -> bool:
        """Answer, and close after a request that did not come as a whole."""
        if not conn.whole:
            req.force_close()
        kept: bool = super().handle_request(req, conn)
        return kept

    def finish_request(self, conn: TConn, future: Any) -> None:
        """Send what is left of the answer, then keep the connection or let it go."""
        self.turns.done(conn.client_name)
        self._begin()
        failed = future.cancelled() or future.exception() is not None
        conn.keeps = not failed and future.result() is True
        self._answer(conn)

    def _answer(self, conn: TConn) -> None:
        try:
            done = conn.sock.push()
        except OSError:
            self._drop(conn)
            return
        if done:
            self._answered(conn)
            return
        seconds = WRITE_SECONDS + len(conn.sock.rest) / BODY_BYTES_A_SECOND
        self.sending[conn] = time.monotonic() + seconds
        self.poller.register(conn.sock, selectors.EVENT_WRITE, partial(self._writable, conn))

    def _writable(self, conn: TConn, _file: object) -> None:
        try:
            done = conn.sock.push()
        except OSError:
            self._drop(conn)
            return
        if done:
            self.poller.unregister(conn.sock)
            del self.sending[conn]
            self._answered(conn)

    def _answered(self, conn: TConn) -> None:
        if conn.sock.listener is not None and not conn.sock.broken:
            # Whoever listens says nothing more: what can be read is its end.
            self.poller.register(conn.sock, selectors.EVENT_READ, partial(self._empty, conn))
            self.listeners.add(conn)
        elif conn.keeps:
            self._next_request(conn)
        else:
            self._linger(conn)

    def _next_request(self, conn: TConn) -> None:
        """Wait for the next request; some of it may have come with this one."""
        ahead = conn.parser.unreader.take_buffered()
        if ahead:
            self._wait(conn, HEAD_SECONDS)
            try:
                if self._take(conn, ahead):
                    self._hand_on(conn)
            except OSError:
                self._drop(conn)
            return
        conn.set_timeout()
        if not self.alive:
            conn.timeout = min(conn.timeout, time.monotonic() + LAST_SECONDS)
        self.keepalived_conns.append(conn)
        readable = partial(self.on_client_socket_readable, conn)
        self.poller.register(conn.sock, selectors.EVENT_READ, readable)
        if isinstance(conn.sock.real, ssl.SSLSocket) and conn.sock.real.pending():
            self.on_client_socket_readable(conn, conn.sock)

    def _linger(self, conn: TConn) -> None:
        """End the answer and read on a moment: a reset would destroy it (RFC 9112, 9.6)."""
        with contextlib.suppress(OSError):
            conn.sock.real.shutdown(socket.SHUT_WR)
        self.lingering[conn] = time.monotonic() + LINGER_SECONDS
        self.poller.register(conn.sock, selectors.EVENT_READ, partial(self._empty, conn))

    def _empty(self, conn: TConn, _file: object) -> None:
        try:
            while conn.sock.real.recv(PIECE):
                pass
        except WOULD_WAIT:
            return
        except OSError:
            pass
        self._drop(conn)

    def _drop(self, conn: TConn) -> None:
        """Close a connection, whatever state it is in."""
        with contextlib.suppress(KeyError, ValueError, OSError):
            self.poller.unregister(conn.sock)
        for place in (self.waiting, self.sending, self.lingering):
            place.pop(conn, None)
        self.listeners.discard(conn)
        self.nr_conns -= 1
        conn.close()

    def on_client_socket_readable(self, conn: TConn, client: Link) -> None:
        """Collect the next request of a connection that was kept open."""
        self.poller.unregister(client)
        self.keepalived_conns.remove(conn)
        self._wait(conn, HEAD_SECONDS)
        self._readable(conn, client)

    def murder_pending(self) -> None:
        """Let connections go that take too long, or too much memory all together."""
        now = time.monotonic()
        if self.alive and now - self.swept < SWEEP_SECONDS:
            return
        self.swept = now
        late = [
            conn
            for conn, waits in self.waiting.items()
            if waits.deadline < now or not (self.alive or waits.begun)
        ]
        late += [conn for conn, until in self.sending.items() if until < now]
        late += [conn for conn, until in self.lingering.items() if until < now or not self.alive]
        held = {conn: len(waits.buffer) for conn, waits in self.waiting.items()}
        held |= {conn: len(conn.sock.rest) for conn in self.sending}
        if sum(held.values()) > ALL_MOST:
            late += sorted(held, key=lambda conn: held[conn])[-10:]
        for conn in dict.fromkeys(late):
            self._drop(conn)
        self.listeners.sweep(now, leaving=not self.alive)

    def wait_for_and_dispatch_events(self, timeout: float) -> None:
        """Look more often once the worker leaves: silent connections must not hold it up."""
        super().wait_for_and_dispatch_events(timeout if self.alive else min(timeout, 0.1))

    def _cap_keepalive(self, deadline: float) -> None:
        """Let connections that are kept open, but say nothing, go soon once the worker leaves."""
        super()._cap_keepalive(min(deadline, time.monotonic() + LAST_SECONDS))
