"""What tests behind a reverse proxy share: phones that speak HTTPS, and what they tell."""

from __future__ import annotations

import http.client
import json
import threading
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any, Final

import psycopg

from tests.support.serving import trusting

FACTS: Final = 15

HSTS: Final = "max-age=31536000; includeSubDomains"


class Phone:
    """A phone that speaks HTTPS and trusts the authority of this test alone."""

    def __init__(self, port: int, authority: Path, device: str, code: str) -> None:
        self.port, self.device, self.n, self.cookie = port, device, 0, ""
        self.trusted = trusting(authority)
        self.ask("/api/join", {"code": code, "name": device, "device": device})

    def open(self, path: str, body: object = None, **headers: str) -> http.client.HTTPResponse:
        connection = http.client.HTTPSConnection(
            "localhost", self.port, timeout=20, context=self.trusted
        )
        sent = None if body is None else json.dumps(body)
        given = {
            "Connection": "close",
            "X-Rowcall": "1",
            "Content-Type": "application/json",
            "Cookie": self.cookie,
        }
        connection.request("GET" if body is None else "POST", path, sent, {**given, **headers})
        return connection.getresponse()

    def ask(self, path: str, body: object = None) -> Any:
        with self.open(path, body) as answer:
            cookie = answer.headers.get("Set-Cookie")
            if cookie:
                assert cookie.startswith("__Host-rowcall=") and "Secure" in cookie
                self.cookie = cookie.split(";")[0]
            content = answer.read()
            assert answer.status == 200, content
            return json.loads(content)

    def read(self) -> Any:
        """Read every fact; the proxy leaves out for a while a server that it found away."""
        for _ in range(100):
            try:
                return self.ask("/api/shows/demo/events?since=0")
            except AssertionError:
                time.sleep(0.2)
        raise AssertionError("no server answered")

    def tell(self) -> str:
        """Say the next fact until a server has stored it; return its id."""
        self.n += 1
        ms = time.time_ns() // 1_000_000
        fact = {
            "v": 1, "id": f"{self.device}-{self.n}", "show": "demo", "move": "shop_load",
            "vehicle": "T1", "device": self.device, "n": self.n, "revision": 1, "at": ms,
            "by": {"id": self.device, "name": self.device, "role": "loader"},
            "hlc": f"{ms:013d}-00000-{self.device}", "body": {"kind": "hands", "count": 4},
        }  # fmt: skip
        batch = {"device": self.device, "events": [fact], "since": 10**6}
        for _ in range(100):
            try:
                stored: list[str] = self.ask("/api/shows/demo/events", batch)["stored"]
            except (OSError, AssertionError, http.client.HTTPException):
                time.sleep(0.2)
                continue
            assert stored == [fact["id"]]
            return stored[0]
        raise AssertionError("no server answered")


def ready(port: int, authority: Path, device: str, code: str) -> Phone:
    """Return a phone once the proxy answers."""
    for _ in range(100):
        try:
            return Phone(port, authority, device, code)
        except (OSError, AssertionError):  # not up yet, or it has not yet found a server
            time.sleep(0.1)
    raise AssertionError("the proxy does not answer")


def meanwhile(phones: list[Phone], befalls: Callable[[], object]) -> list[str]:
    """Let all phones tell facts while something befalls a process; return every id acknowledged."""
    told: list[str] = []
    threads = [
        threading.Thread(target=lambda phone=phone: told.extend(phone.tell() for _ in range(FACTS)))
        for phone in phones
    ]
    for thread in threads:
        thread.start()
    time.sleep(0.4)
    befalls()
    for thread in threads:
        thread.join(timeout=120)
    assert len(told) == FACTS * len(phones)
    return told


def forged(phone: Phone, database: str) -> set[str]:
    """Guess once under a made-up address; return the addresses that were written down."""
    guess = {"name": "x", "password": "y"}
    with phone.open("/api/owner/login", guess, **{"X-Forwarded-For": "9.9.9.9"}) as answer:
        assert answer.status == 403
        assert answer.headers.get_all("Strict-Transport-Security") == [HSTS]
    with psycopg.connect(database.replace("+psycopg", "")) as connection:
        rows = connection.execute("SELECT address FROM audit WHERE action = 'wrong password'")
        return {row[0] for row in rows}
