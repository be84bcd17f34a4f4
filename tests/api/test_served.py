"""The server as it really runs: streams, a second process, a goodbye without loss."""

from __future__ import annotations

import http.client
import json
import subprocess
import sys
import threading
import time
import urllib.error
import urllib.request
from pathlib import Path
from typing import Any

import pytest

from server.settings import ROOT
from tests.support.app import filled
from tests.support.serving import Server, serving

pytestmark = pytest.mark.slow


class Phone:
    """A phone that talks to a served address."""

    def __init__(
        self, url: str, data: Path, device: str, code: str, *, chief: bool = False
    ) -> None:
        self.url, self.device, self.n, self.cookie = url, device, 0, ""
        body = {"code": code, "name": device, "device": device}
        if chief:
            body["pin"] = (data / "demo-pin.txt").read_text(encoding="utf-8").strip()
        self.role = self.ask("/api/join", body)["session"]["role"]

    def ask(self, path: str, body: object = None) -> Any:
        headers = {"X-Rowcall": "1", "Content-Type": "application/json", "Cookie": self.cookie}
        sent = None if body is None else json.dumps(body).encode()
        request = urllib.request.Request(self.url + path, data=sent, headers=headers)
        with urllib.request.urlopen(request, timeout=20) as answer:
            cookie = answer.headers.get("Set-Cookie")
            self.cookie = cookie.split(";")[0] if cookie else self.cookie
            return json.loads(answer.read() or b"null")

    def says(self, body: dict[str, Any]) -> dict[str, Any]:
        self.n += 1
        ms = time.time_ns() // 1_000_000
        return {
            "v": 1, "id": f"{self.device}-{self.n}", "show": "demo", "move": "shop_load",
            "vehicle": "T1", "device": self.device, "n": self.n, "revision": 1, "at": ms,
            "by": {"id": self.device, "name": self.device, "role": self.role},
            "hlc": f"{ms:013d}-00000-{self.device}", "body": body,
        }  # fmt: skip

    def tell(self, body: dict[str, Any]) -> dict[str, Any]:
        events = [self.says(body)]
        told: dict[str, Any] = self.ask(
            "/api/shows/demo/events", {"device": self.device, "events": events, "since": 10**9}
        )
        return told

    def stream(self) -> Stream:
        """Open the live stream."""
        return Stream(self.url.removeprefix("http://"), self.cookie)


class Stream:
    """A live stream; `status` tells whether it was let in."""

    def __init__(self, host: str, cookie: str) -> None:
        self._connection = http.client.HTTPConnection(host, timeout=20)
        path = "/api/shows/demo/stream?since=0"
        self._connection.request("GET", path, headers={"Cookie": cookie})
        self._answer = self._connection.getresponse()
        self.status = self._answer.status

    def cursor(self) -> tuple[int, float]:
        """Return the next cursor that it tells, and when."""
        for line in self._answer:
            if line.startswith(b'data: {"cursor"'):
                return json.loads(line[6:])["cursor"], time.monotonic()
        raise AssertionError("the stream ended")

    def close(self) -> None:
        self._answer.close()
        self._connection.close()


def file_in(folder: Path) -> str:
    """Return where a server keeps its data in a folder."""
    return f"sqlite:///{folder / 'rowcall.sqlite'}"


def test_streams_tell_of_news_are_bounded_and_never_starve_requests(tmp_path: Path) -> None:
    code = filled(file_in(tmp_path), tmp_path)
    with serving(tmp_path, "--threads", "20", "--streams", "4") as server:
        phones = [Phone(server.url, tmp_path, f"phone-{n}", code) for n in range(6)]
        streams = [phone.stream() for phone in phones[:4]]
        assert {one.status for one in streams} == {200}
        with pytest.raises(urllib.error.HTTPError) as full:
            phones[4].ask("/api/shows/demo/stream?since=0")
        assert full.value.code == 503 and int(full.value.headers["Retry-After"]) > 0
        full.value.close()
        begun = time.monotonic()
        told = phones[5].tell({"kind": "hands", "count": 4})
        assert told["stored"] and time.monotonic() - begun < 5
        for stream in streams:
            cursor, at = stream.cursor()
            assert cursor == 1 and at - begun < 5
        streams[0].close()
        for _ in range(100):  # the seat is free again once the server notices
            try:
                phones[5].tell({"kind": "hands", "count": 5})
                again = phones[4].stream()
            except OSError:
                continue
            if again.status == 200:
                break
            again.close()
            time.sleep(0.2)
        else:
            raise AssertionError("a stream that left kept its seat")
        streams.append(again)
        assert server.stop() < 8  # streams do not hold up the goodbye
        for stream in streams:
            stream.close()


def test_a_change_through_one_process_reaches_a_phone_on_another(
    postgres_url: str, tmp_path: Path
) -> None:
    code = filled(postgres_url, tmp_path)
    words = ("--database", postgres_url)
    with serving(tmp_path, *words) as one, serving(tmp_path, *words) as two:
        there = Phone(two.url, tmp_path, "phone-two", code)
        here = Phone(one.url, tmp_path, "phone-one", code)
        stream = there.stream()
        took = []
        for number in range(1, 6):
            begun = time.monotonic()
            here.tell({"kind": "hands", "count": number})
            cursor, at = stream.cursor()
            assert cursor == number
            took.append(at - begun)
        assert sorted(took)[2] < 1.0, took
        stream.close()
        # The session is good on any process, and an answer is the same.
        there.url = one.url
        assert len(there.ask("/api/shows/demo/events?since=0")["events"]) == 5


def test_a_goodbye_finishes_what_was_begun(tmp_path: Path) -> None:
    code = filled(file_in(tmp_path), tmp_path)
    server = Server(tmp_path).start()
    try:
        phone = Phone(server.url, tmp_path, "phone-one", code)
        stored: list[str] = []
        over = threading.Event()

        def send() -> None:
            number = 0
            while not over.is_set():
                number += 1
                try:
                    stored.extend(phone.tell({"kind": "hands", "count": number})["stored"])
                except OSError:
                    return

        thread = threading.Thread(target=send)
        thread.start()
        time.sleep(1.5)
        server.stop()
        over.set()
        thread.join(timeout=30)
        assert stored
        with serving(tmp_path) as again:
            phone.url = again.url
            kept = phone.ask("/api/shows/demo/events?since=0")["events"]
            assert {one["event"]["id"] for one in kept} >= set(stored)
    finally:
        server.kill()


def test_a_second_start_is_quick_and_a_taken_port_is_told(tmp_path: Path) -> None:
    filled(file_in(tmp_path), tmp_path)
    with serving(tmp_path) as server:
        other = subprocess.run(
            [sys.executable, "-P", "-m", "server.cli", "serve", "--data", str(tmp_path), "--port",
             str(server.port)],
            env={"PYTHONPATH": str(ROOT)}, capture_output=True, text=True, check=False,
        )  # fmt: skip
        assert other.returncode == 2 and "another program is using it" in other.stderr
        said = server.words()
        assert f"http://localhost:{server.port}/join#" in said and "/office#setup=" in said
    begun = time.process_time()
    with serving(tmp_path) as server:
        server.stop()
    assert time.process_time() - begun < 3
