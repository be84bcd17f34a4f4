"""What has come of one HTTP request, and whether it is whole.

This only finds where a request ends (RFC 9112, 6 and 7); gunicorn's parser judges what it says.
Where both would differ the request counts as not whole: it is answered, its connection closed.
"""

from __future__ import annotations

import re
from typing import Final

HEAD_MOST: Final = 65_536
BODY_MOST: Final = 42_000_000  # above what the app takes of any request: it says so
CHUNKS_MOST: Final = 20_000  # of 1 byte each they would cost more than the body is worth
TRAILERS_MOST: Final = 8_192
HEAD_SECONDS: Final = 10.0
BODY_SECONDS: Final = 20.0
BODY_BYTES_A_SECOND: Final = 10_000
LENGTH: Final = re.compile(rb"(?im)^content-length:[ \t]*(\d{1,40})[ \t]*\r$")
CHUNKED: Final = re.compile(rb"(?im)^transfer-encoding:[^\r\n]*chunked")
EXPECT: Final = re.compile(rb"(?im)^expect:[ \t]*100-continue[ \t]*\r\n")
CHUNK: Final = re.compile(rb"([0-9A-Fa-f]{1,8})(?:;[^\r\n]{0,200})?\r\n")
END: Final = b"\r\n\r\n"


class Waiting:
    """The bytes of one request so far, in bounded memory and time.

    `whole`: the last byte has come. `asks`: the client waits for 100 Continue before the body.
    """

    def __init__(self, deadline: float) -> None:
        self.buffer = bytearray()
        self.deadline = deadline
        self.body = 0  # where the body begins; 0: the head is not whole
        self.length = 0
        self.chunk = 0  # where the next chunk begins, of a body in chunks
        self.chunks = 0
        self.begun = self.whole = self.asks = False

    @property
    def head(self) -> bytes:
        return bytes(self.buffer[: self.body])

    def take(self, data: bytes, now: float) -> bool:
        """Add bytes; return whether the request is whole, or wrong enough for the app to say so."""
        if not self.begun:
            self.begun, self.deadline = True, now + HEAD_SECONDS
        seen = max(0, len(self.buffer) - len(END))
        self.buffer += data
        if not self.body and not self._head(seen, now):
            return len(self.buffer) > HEAD_MOST or bool(self.body)
        if self.chunk:
            return self._chunks()
        self.whole = len(self.buffer) >= self.body + self.length
        return self.whole

    def _head(self, seen: int, now: float) -> bool:
        """Read the head once it is whole; return whether a body is to be collected."""
        end = self.buffer.find(END, seen)
        if end < 0:
            return False
        self.body = end + len(END)
        head, found = EXPECT.subn(b"", self.head)
        length = LENGTH.search(head)
        self.length = int(length[1]) if length else 0
        if self.length > BODY_MOST:
            return False  # the app refuses it unread
        if found:
            self.asks = True
            self.buffer[: self.body] = head
            self.body = len(head)
        if CHUNKED.search(head):
            self.chunk = self.body
        self.deadline = now + BODY_SECONDS + self.length / BODY_BYTES_A_SECOND
        return True

    def _chunks(self) -> bool:
        while len(self.buffer) - self.body <= BODY_MOST:
            head = CHUNK.match(self.buffer, self.chunk)
            if head is None:
                rest = bytes(self.buffer[self.chunk : self.chunk + 210])
                return b"\n" in rest or len(rest) == 210  # no chunk at all
            size = int(head[1], 16)
            if size == 0:
                self.whole = self.buffer.find(END, head.end() - 2) >= 0
                return self.whole or len(self.buffer) - head.end() > TRAILERS_MOST
            after = head.end() + size
            if size > BODY_MOST:
                return True
            if len(self.buffer) < after + 2:
                return False
            if self.buffer[after : after + 2] != b"\r\n":
                return True
            self.chunk, self.chunks = after + 2, self.chunks + 1
            if self.chunks > CHUNKS_MOST:
                del self.buffer[self.body :]
                return True
        return True
