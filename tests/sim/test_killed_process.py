"""A real server process, killed with SIGKILL in mid-batch again and again while phones send."""

from __future__ import annotations

import http.client
import json
import threading
import time
import urllib.error
import urllib.request
from pathlib import Path
from random import Random
from typing import Any, Final

import pytest

from tests.browser.serving import Server
from tests.sim.phone import Event, Phone, Who

PHONES: Final = 5
FACTS: Final = 120
KILLS: Final = 5
PATIENCE_S: Final = 120.0
NOT_THERE: Final = (urllib.error.URLError, http.client.HTTPException, OSError)


class Crew(threading.Thread):
    """One phone on its own thread: says its facts and sends until every one is acknowledged."""

    def __init__(self, server: Server, number: int) -> None:
        super().__init__(daemon=True)
        self.server = server
        self.device = f"phone-{number}"
        self.cookie = ""
        joined = self.post("/api/join", {"code": server.join_code, "name": "Bo"} | self.named())
        assert joined["session"]["role"] == "loader"
        who = Who(self.device, "Bo", "loader", show="demo")
        self.phone = Phone(who, Random(number), skew=0)
        self.left = FACTS
        self.unanswered = 0

    def named(self) -> dict[str, str]:
        return {"device": self.device}

    def post(self, path: str, body: Event) -> dict[str, Any]:
        headers = {"X-Rowcall": "1", "Content-Type": "application/json", "Cookie": self.cookie}
        data = json.dumps(body).encode()
        asked = urllib.request.Request(f"{self.server.url}{path}", data, headers)
        with urllib.request.urlopen(asked, timeout=5) as answer:
            cookie = answer.headers.get("Set-Cookie")
            self.cookie = cookie.split(";")[0] if cookie else self.cookie
            told: dict[str, Any] = json.load(answer)
            return told

    def run(self) -> None:
        end = time.monotonic() + PATIENCE_S
        while (self.left or self.phone.outbox) and time.monotonic() < end:
            now = int(time.time() * 1000)
            for _ in range(min(self.left, 4)):
                self.left -= 1
                self.phone.say(now, "load_out", None, {"kind": "hands", "count": self.left})
            self.exchange(now)

    def exchange(self, now: int) -> None:
        self.phone.asked_at = None
        request = self.phone.ask(now)
        assert request is not None
        body = {key: request[key] for key in ("device", "events", "since")}
        try:
            answer = self.post("/api/shows/demo/events", body)
        except NOT_THERE:
            self.unanswered += 1
            time.sleep(0.05)
            return
        self.phone.hear({**answer, "asked": now}, now)


@pytest.mark.slow
@pytest.mark.store
def test_a_server_killed_in_mid_batch_loses_and_doubles_nothing(tmp_path: Path) -> None:
    server = Server(tmp_path)
    server.start()
    try:
        crew = [Crew(server, number) for number in range(PHONES)]
        for one in crew:
            one.start()
        random = Random(6)
        for _ in range(KILLS):
            time.sleep(random.uniform(0.05, 0.6))
            server.kill()
            server.start()
        for one in crew:
            one.join(PATIENCE_S)
        assert not any(one.left or one.phone.outbox for one in crew)
        assert sum(one.unanswered for one in crew) >= KILLS
        for one in crew:
            while one.phone.cursor < PHONES * FACTS:
                before = one.phone.cursor
                one.exchange(int(time.time() * 1000))
                assert one.phone.cursor > before
        reckon(crew)
    finally:
        server.stop()


def reckon(crew: list[Crew]) -> None:
    """Every phone holds every fact of all, once, and what it was promised is there."""
    first = crew[0].phone.log
    assert len(first) == PHONES * FACTS
    for one in crew:
        assert one.phone.log == first
        assert one.phone.cursor == PHONES * FACTS
        assert len(one.phone.acked) == FACTS
        assert not one.phone.refused
