"""The socket of one connection as a thread sees it: nothing that it does waits for the other end.

What a thread writes is sent as far as the socket takes it; the loop sends the rest. Nothing is read
through it: the request was whole, or is answered as it is.
"""

from __future__ import annotations

import selectors
import socket
import ssl
import threading
from typing import Final, Protocol

LAST_CHUNK: Final = b"0\r\n\r\n"
CHUNKED: Final = b"\r\nTransfer-Encoding: chunked\r\n"
PIECE: Final = 65_536
# An answer larger than this waits in its thread for the other end: only owners ask for such.
HELD_MOST: Final = 24_000_000
WAIT_SECONDS: Final = 20.0
WOULD_WAIT: Final = (BlockingIOError, ssl.SSLWantReadError, ssl.SSLWantWriteError)


class Listening(Protocol):
    """The news for a connection that stays open, as the app gives them."""

    show: str

    def words(self) -> str:
        """Return what is to be said now; empty: nothing."""

    def close(self) -> None:
        """Give its place back."""


class Link:
    """A socket that never blocks, with what it could not send yet."""

    def __init__(self, plain: socket.socket) -> None:
        plain.setblocking(False)
        self.real = plain
        self.rest = bytearray()
        self.listener: Listening | None = None
        self.chunked = self.broken = False
        self._lock = threading.Lock()

    def fileno(self) -> int:
        return self.real.fileno()

    def listen(self, listener: Listening) -> None:
        """Let the loop keep this connection once its answer's head is sent."""
        self.listener = listener

    def sendall(self, data: bytes) -> None:
        """Send what goes at once and keep the rest; BrokenPipeError where the other end is gone."""
        if self.listener is not None and data == LAST_CHUNK:
            return  # there is more to come, from the loop
        if data.startswith(b"HTTP/1."):
            self.chunked = CHUNKED in data
        self._keep(data)
        while not self.push() and len(self.rest) > HELD_MOST:
            self._wait()

    def send(self, data: bytes) -> int:
        """Send or keep all of it."""
        self.sendall(data)
        return len(data)

    def say(self, text: str) -> None:
        """Send text as a part of an answer that has no end."""
        data = text.encode()
        self.sendall(b"%X\r\n%s\r\n" % (len(data), data) if self.chunked else data)

    def end(self) -> None:
        """Say that there is no more to come."""
        if self.chunked:
            self._keep(LAST_CHUNK)
            self.push()

    def _keep(self, data: bytes) -> None:
        with self._lock:
            if self.broken:
                raise BrokenPipeError
            self.rest += data

    def _wait(self) -> None:
        with selectors.DefaultSelector() as selector:
            selector.register(self.real, selectors.EVENT_WRITE)
            if not selector.select(WAIT_SECONDS):
                self.broken = True
                raise BrokenPipeError

    def push(self) -> bool:
        """Send what the socket takes now; return whether nothing is left."""
        with self._lock:
            try:
                while self.rest:
                    sent = self.real.send(self.rest[:PIECE])
                    del self.rest[:sent]
            except WOULD_WAIT:
                return False
            except OSError:
                self.broken = True
                raise
            return True

    def recv(self, _size: int) -> bytes:
        """Return the end: all that came of the request was handed over before."""
        return b""

    def setblocking(self, _flag: bool) -> None:
        """Stay as it is."""

    def gettimeout(self) -> float:
        return 0.0

    def close(self) -> None:
        """Close it, and give back the place of whoever listened."""
        listener, self.listener = self.listener, None
        if listener is not None:
            listener.close()
        self.rest = bytearray()
        self.real.close()
