"""Slow, silent and broken connections take no thread; other names than ours are refused."""

from __future__ import annotations

import contextlib
import http.client
import socket
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from server.commands.whole_request import BODY_MOST, HEAD_MOST, HEAD_SECONDS, Waiting
from tests.api.test_served import file_in
from tests.support.app import filled
from tests.support.serving import Server, serving

pytestmark = pytest.mark.slow

NOW = 1_000.0
HEAD = b"POST /api/join HTTP/1.1\r\nHost: localhost\r\n"


def test_a_request_is_whole_with_its_last_byte_and_no_earlier() -> None:
    request = HEAD + b"Content-Length: 3\r\n\r\nabc"
    waits = Waiting(NOW)
    assert [waits.take(request[at : at + 1], NOW) for at in range(len(request))].index(True) == (
        len(request) - 1
    )
    assert Waiting(NOW).take(b"GET / HTTP/1.1\r\n\r\n", NOW)


def test_a_body_in_chunks_is_whole_with_its_last_chunk() -> None:
    request = HEAD + b"Transfer-Encoding: chunked\r\n\r\n3\r\nabc\r\n10;x=y\r\n" + b"z" * 16
    waits = Waiting(NOW)
    assert not waits.take(request, NOW)
    assert not waits.take(b"\r\n0\r\n", NOW)
    assert waits.take(b"\r\n", NOW)


@pytest.mark.parametrize("broken", [b"zz\r\nabc", b"3\r\nabcdef\r\n", b"9" * 300])
def test_a_broken_chunk_is_handed_on_to_be_refused(broken: bytes) -> None:
    assert Waiting(NOW).take(HEAD + b"Transfer-Encoding: chunked\r\n\r\n" + broken, NOW)


def test_heads_and_bodies_have_their_time_and_size() -> None:
    waits = Waiting(NOW)
    assert not waits.take(b"G", NOW) and waits.deadline == NOW + HEAD_SECONDS
    assert not waits.take(b"ET", NOW + 9) and waits.deadline == NOW + HEAD_SECONDS
    assert waits.take(b"x" * HEAD_MOST, NOW)
    large = HEAD + b"Content-Length: %d\r\n\r\n" % (BODY_MOST + 1)
    assert Waiting(NOW).take(large, NOW)  # the app says that this is too large


@contextlib.contextmanager
def silent(server: Server, count: int, words: bytes) -> Iterator[list[socket.socket]]:
    with contextlib.ExitStack() as stack:
        held = []
        for _ in range(count):
            one = stack.enter_context(socket.create_connection(("127.0.0.1", server.port), 10))
            if words:
                one.sendall(words)
            held.append(one)
        yield held


def answered(server: Server, method: str = "GET", path: str = "/healthz", **more: object) -> int:
    client = http.client.HTTPConnection("127.0.0.1", server.port, timeout=20)
    try:
        client.request(method, path, **more)  # type: ignore[arg-type]
        return client.getresponse().status
    finally:
        client.close()


def test_slow_and_silent_connections_leave_the_service_as_it_is(tmp_path: Path) -> None:
    filled(file_in(tmp_path), tmp_path)
    body = HEAD + b"Content-Type: application/json\r\nContent-Length: 900\r\n\r\n{"
    with serving(tmp_path, "--threads", "20") as server:
        with (
            silent(server, 60, b"GET /healthz HTTP/1.1\r\nX-Slow: ") as heads,
            silent(server, 60, body),
            silent(server, 120, b""),
        ):
            began = time.monotonic()
            assert [answered(server) for _ in range(5)] == [200] * 5
            assert time.monotonic() - began < HEAD_SECONDS
            heads[0].sendall(b"fast\r\nHost: localhost\r\n\r\n")
            assert heads[0].recv(12) == b"HTTP/1.1 200"
            # who gives no whole head in time is let go
            heads[1].settimeout(HEAD_SECONDS * 3)
            assert heads[1].recv(1) == b""
        names = {"localhost": 200, "evil.example": 400, "localhost.evil.example": 400}
        for name, status in names.items():
            assert answered(server, headers={"Host": name}) == status, name
        with socket.create_connection(("127.0.0.1", server.port), 10) as raw:
            raw.sendall(
                HEAD + b"X-Rowcall: 1\r\nContent-Type: application/json\r\n"
                b"Transfer-Encoding: chunked\r\n\r\nzz\r\n{}\r\n0\r\n\r\n"
            )
            assert raw.recv(12) == b"HTTP/1.1 400"
        with socket.create_connection(("127.0.0.1", server.port), 10) as raw:
            raw.sendall(b"GET /healthz HTTP/1.1\r\n\r\n")
            assert raw.recv(12) == b"HTTP/1.1 400", "no host at all"
        assert answered(server) == 200
