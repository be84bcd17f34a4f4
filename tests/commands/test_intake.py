"""The loop of the web server: whole requests, turns, unread answers, phones that listen."""

from __future__ import annotations

import socket
import threading
from collections.abc import Iterator
from typing import Any

import pytest

from server.commands import link as links
from server.commands import turns as turns_of
from server.commands.link import LAST_CHUNK, Link
from server.commands.listeners import BEAT, BEAT_SECONDS, Listeners
from server.commands.turns import AT_ONCE, FACTS, Turns, client_of
from server.commands.whole_request import BODY_MOST, CHUNKS_MOST, TRAILERS_MOST, Waiting

NOW = 1_000.0
POST = b"POST /api/shows/demo/events HTTP/1.1\r\nHost: localhost\r\n"
CHUNKED = POST + b"Transfer-Encoding: chunked\r\n\r\n"


def taken(*parts: bytes) -> Waiting:
    waits = Waiting(NOW)
    for part in parts[:-1]:
        assert not waits.take(part, NOW)
    assert waits.take(parts[-1], NOW)
    return waits


@pytest.mark.parametrize(
    "parts",
    [
        (POST + b"Content-Length: 3\r\n\r\nab", b"c"),
        (POST + b"Content-Length: 00000000000000000000000003\r\n\r\nab", b"c"),
        (CHUNKED + b"3\r\nabc\r\n0\r\n", b"\r\n"),
        (CHUNKED + b"3\r\nabc\r\n0\r\nX: trailer\r\n", b"\r\n"),
        (POST + b"\r", b"\n"),
    ],
)
def test_a_request_is_whole_with_its_last_byte(parts: tuple[bytes, ...]) -> None:
    assert taken(*parts).whole


@pytest.mark.parametrize(
    "request_",
    [
        POST + b"Content-Length: %d\r\n\r\n" % (BODY_MOST + 1),
        CHUNKED + b"FFFFFFFF\r\n{}",
        CHUNKED + b"0\r\n" + b"X: y\r\n" * TRAILERS_MOST,
        CHUNKED + b"zz\r\n",
        CHUNKED + b"1\r\nx\r\n" * (CHUNKS_MOST + 1),
    ],
)
def test_what_never_will_be_whole_is_answered_as_it_is(request_: bytes) -> None:
    assert not taken(request_).whole


def test_who_asks_whether_to_go_on_is_told_so_by_the_loop() -> None:
    waits = Waiting(NOW)
    assert not waits.take(POST + b"Expect: 100-continue\r\nContent-Length: 2\r\n\r\n", NOW)
    assert waits.asks and b"Expect" not in waits.head
    assert waits.take(b"{}", NOW) and waits.buffer.endswith(b"\r\n\r\n{}")


def test_a_head_in_single_bytes_is_found_all_the_same() -> None:
    waits = Waiting(NOW)
    request = POST + b"Content-Length: 1\r\n\r\nx"
    found = [waits.take(bytes([byte]), NOW) for byte in request]
    assert found.index(True) == len(request) - 1


def started(turns: Turns) -> list[Any]:
    return list(turns.next())


def test_who_asks_much_waits_for_itself_alone() -> None:
    turns = Turns(threads=8)
    for number in range(30):
        assert turns.add(b"bo", f"bo {number}", 1, facts=False)
    assert started(turns) == [f"bo {number}" for number in range(AT_ONCE)]
    turns.add(b"ana", "ana", 1, facts=False)
    assert started(turns) == ["ana"]
    turns.done(b"bo")
    assert started(turns) == [f"bo {AT_ONCE}"]


def test_facts_come_first_and_clients_by_turns() -> None:
    turns = Turns(threads=4)
    for client in (b"a", b"b", b"c"):
        turns.add(client, client + b" asks", 1, facts=False)
        turns.add(client, client + b" asks more", 1, facts=False)
    turns.add(b"c", b"c reports", 1, facts=True)
    assert started(turns) == [b"c reports", b"a asks", b"b asks", b"c asks"]
    turns.done(b"a")
    assert started(turns) == [b"a asks more"]
    assert len(turns) == 2


def test_one_client_has_bounds_in_number_and_bytes(monkeypatch: pytest.MonkeyPatch) -> None:
    turns = Turns(threads=1)
    assert all(turns.add(b"bo", "", 1, facts=False) for _ in range(turns_of.WAITING_MOST))
    assert not turns.add(b"bo", "", 1, facts=True)
    assert not turns.add(b"cy", "", turns_of.BYTES_MOST + 1, facts=False)
    monkeypatch.setattr(turns_of, "ALL_BYTES_MOST", 100)
    assert not turns.add(b"cy", "", 80, facts=False)
    assert turns.size == turns_of.WAITING_MOST


@pytest.mark.parametrize(
    ("head", "client"),
    [
        (b"Cookie: rowcall=abc\r\n", b"abc"),
        (b"Cookie: x=1; __Host-rowcall=abc; rowcall=no\r\n", b"abc"),
        (b"Cookie: xrowcall=no\r\n", b"at 10.0.0.1"),
        (b"Authorization: Bearer abc\r\n", b"Bearer abc"),
        (b"X-Forwarded-For: 1.1.1.1, 2.2.2.2\r\n", b"at 10.0.0.1"),
    ],
)
def test_a_client_is_a_session_a_token_or_an_address(head: bytes, client: bytes) -> None:
    whole = b"GET / HTTP/1.1\r\n" + head + b"\r\n"
    assert client_of(whole, "10.0.0.1", proxy=False) == client


def test_behind_a_proxy_the_last_address_counts() -> None:
    head = b"GET / HTTP/1.1\r\nX-Forwarded-For: 1.1.1.1, 2.2.2.2\r\n\r\n"
    assert client_of(head, "127.0.0.1", proxy=True) == b"at 2.2.2.2"


def test_facts_are_known_by_their_address() -> None:
    assert FACTS.match(b"POST /api/shows/demo/events?last=x HTTP/1.1")
    assert not FACTS.match(b"GET /api/shows/demo/events HTTP/1.1")


@pytest.fixture
def pair() -> Iterator[tuple[Link, socket.socket]]:
    here, there = socket.socketpair()
    there.settimeout(10)
    yield Link(here), there
    here.close()
    there.close()


LARGE = b"x" * 4_000_000


def test_an_answer_that_nobody_reads_holds_no_thread(pair: tuple[Link, socket.socket]) -> None:
    link, there = pair
    thread = threading.Thread(target=link.sendall, args=(LARGE,))
    thread.start()
    thread.join(20)
    assert not thread.is_alive() and link.rest
    got = 0
    while got < len(LARGE):
        got += len(there.recv(1_000_000))
        link.push()
    assert got == len(LARGE) and link.push()


def test_a_very_large_answer_waits_a_while_and_no_longer(
    pair: tuple[Link, socket.socket], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(links, "HELD_MOST", 1_000)
    monkeypatch.setattr(links, "WAIT_SECONDS", 0.01)
    with pytest.raises(BrokenPipeError):
        pair[0].sendall(LARGE)
    with pytest.raises(BrokenPipeError):
        pair[0].sendall(b"more")


class Wanted:
    """What a phone is to be told, as a test says."""

    show = "demo"

    def __init__(self) -> None:
        self.next: list[str] = []
        self.closed = 0

    def words(self) -> str:
        return self.next.pop(0) if self.next else ""

    def close(self) -> None:
        self.closed += 1


class Conn:
    """A connection, as the loop holds it."""

    def __init__(self, link: Link) -> None:
        self.sock = link


def test_a_phone_that_listens_is_told_kept_alive_and_let_go(
    pair: tuple[Link, socket.socket],
) -> None:
    link, there = pair
    wanted, gone = Wanted(), list[Any]()

    def drop(conn: Any) -> None:
        listeners.discard(conn)
        gone.append(conn)
        conn.sock.close()

    listeners = Listeners(drop)
    link.sendall(b"HTTP/1.1 200 OK\r\nTransfer-Encoding: chunked\r\n\r\n")
    link.listen(wanted)
    link.sendall(LAST_CHUNK)  # of gunicorn: the answer goes on
    wanted.next = ["at once\n\n", "later\n\n"]
    listeners.add(Conn(link))
    listeners.woken("other")
    listeners.woken("demo")
    listeners.sweep(NOW, leaving=False)
    listeners.sweep(NOW + BEAT_SECONDS, leaving=False)
    assert len(listeners) == 1 and not gone
    listeners.sweep(NOW, leaving=True)
    assert len(listeners) == 0 and len(gone) == 1 and wanted.closed == 1
    said = there.recv(10_000)
    parts = [b"9\r\nat once\n\n\r\n", b"7\r\nlater\n\n\r\n", b"%X\r\n" % len(BEAT) + BEAT.encode()]
    assert all(part in said for part in parts)
    assert said.count(LAST_CHUNK) == 1 and said.endswith(LAST_CHUNK)


def test_a_phone_that_takes_nothing_any_more_is_let_go(pair: tuple[Link, socket.socket]) -> None:
    link, _ = pair
    wanted, gone = Wanted(), list[Any]()
    listeners = Listeners(gone.append)
    link.listen(wanted)
    conn = Conn(link)
    listeners.add(conn)
    link.rest += LARGE
    wanted.next = ["news\n\n"]
    listeners.woken("demo")
    assert gone == [conn]
