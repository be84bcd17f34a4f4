"""Two server processes and PostgreSQL behind nginx with TLS, by the file in fixtures/deploy."""

from __future__ import annotations

import http.client
import json
import shutil
import signal
import ssl
import subprocess
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import psycopg
import pytest

from server.commands.lan import make_certificates
from server.settings import ROOT
from tests.support.needs import lacking
from tests.support.serving import code_of, free_port, serving

pytestmark = pytest.mark.slow
FACTS = 15
NGINX = shutil.which("nginx") or shutil.which("nginx", path="/usr/sbin")
FRAME = """
daemon off; master_process off; pid {folder}/nginx.pid; error_log {folder}/error.log;
events {{ worker_connections 256; }}
http {{
  access_log off;
  client_body_temp_path {folder}/body; proxy_temp_path {folder}/proxy;
  fastcgi_temp_path {folder}/f; uwsgi_temp_path {folder}/u; scgi_temp_path {folder}/s;
  include {folder}/rowcall.conf;
}}
"""


@contextmanager
def nginx(folder: Path, ports: tuple[int, int], port: int) -> Iterator[None]:
    """Run nginx by our example, with this test's ports and certificate in it."""
    assert NGINX is not None
    make_certificates(folder)
    text = (ROOT / "fixtures/deploy/nginx.conf").read_text(encoding="utf-8")
    for before, after in (
        ("127.0.0.1:8081", f"127.0.0.1:{ports[0]}"),
        ("127.0.0.1:8082", f"127.0.0.1:{ports[1]}"),
        ("listen 443", f"listen 127.0.0.1:{port}"),
        ("/etc/ssl/rowcall.crt", str(folder / "server.crt")),
        ("/etc/ssl/rowcall.key", str(folder / "server.key")),
    ):
        assert before in text
        text = text.replace(before, after)
    (folder / "rowcall.conf").write_text(text, encoding="utf-8")
    main = folder / "nginx.conf"
    main.write_text(FRAME.format(folder=folder), encoding="utf-8")
    process = subprocess.Popen([NGINX, "-p", str(folder), "-c", str(main)], stderr=subprocess.PIPE)
    try:
        yield
    finally:
        process.terminate()
        process.communicate(timeout=20)


HSTS = "max-age=31536000; includeSubDomains"


class Phone:
    """A phone that speaks HTTPS and trusts the authority of this test alone."""

    def __init__(self, port: int, authority: Path, device: str, code: str) -> None:
        self.port, self.device, self.n, self.cookie = port, device, 0, ""
        self.trusted = ssl.create_default_context(cafile=str(authority))
        self.trusted.verify_flags &= ~ssl.VERIFY_X509_STRICT
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


def test_phones_go_on_when_one_of_two_processes_is_killed_and_all_are_renewed(
    postgres_url: str, tmp_path: Path
) -> None:
    if NGINX is None:
        lacking("nginx", "nginx-light")
    words = ("--database", postgres_url, "--behind-proxy", "1")
    with serving(tmp_path, *words) as one, serving(tmp_path, *words) as two:
        code, port = code_of(tmp_path, postgres_url), free_port()
        tls = tmp_path / "tls"
        with nginx(tls, (one.port, two.port), port):
            phones = [ready(port, tls, f"phone-{n}", code) for n in range(3)]
            stream = phones[0].open("/api/shows/demo/stream?since=0")
            assert stream.status == 200
            begun = time.monotonic()
            told = [phones[1].tell()]
            for line in stream:
                if line.startswith(b"data: {"):
                    break
            assert time.monotonic() - begun < 5
            stream.close()
            told += meanwhile(phones, one.kill)
            with serving(tmp_path, *words, port=one.port):
                told += meanwhile(phones, lambda: two.process.send_signal(signal.SIGHUP))
                told += meanwhile(phones, two.stop)
                kept = phones[0].read()["events"]
                ids = [item["event"]["id"] for item in kept]
                assert sorted(ids) == sorted(told)
                assert [item["seq"] for item in kept] == list(range(1, len(ids) + 1))
                assert forged(phones[0], postgres_url) == {"127.0.0.1"}


def ready(port: int, tls: Path, device: str, code: str) -> Phone:
    """Return a phone once nginx answers."""
    for _ in range(100):
        try:
            return Phone(port, tls / "authority.crt", device, code)
        except OSError:
            time.sleep(0.1)
    raise AssertionError((tls / "error.log").read_text(encoding="utf-8"))


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
    with phone.open("/x" * 9000) as answer:  # refused by nginx itself
        assert answer.status == 414
        assert answer.headers.get_all("Strict-Transport-Security") == [HSTS]
    with psycopg.connect(database.replace("+psycopg", "")) as connection:
        rows = connection.execute("SELECT address FROM audit WHERE action = 'wrong password'")
        return {row[0] for row in rows}
