"""Two server processes and PostgreSQL behind nginx with TLS, by the file in fixtures/deploy."""

from __future__ import annotations

import http.client
import shutil
import signal
import subprocess
import time
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from server.commands.lan import make_certificates
from server.settings import ROOT
from tests.support.app import filled
from tests.support.behind import HSTS, forged, meanwhile, ready
from tests.support.needs import lacking
from tests.support.serving import free_port, serving

pytestmark = pytest.mark.slow
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
        ("/var/lib/rowcall", str(folder.parent)),
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


def test_phones_go_on_when_one_of_two_processes_is_killed_and_all_are_renewed(
    postgres_url: str, tmp_path: Path
) -> None:
    if NGINX is None:
        lacking("nginx", "nginx-light")
    words = ("--database", postgres_url, "--behind-proxy", "1", "--inner-tls")
    code = filled(postgres_url, tmp_path)
    with serving(tmp_path, *words) as one, serving(tmp_path, *words) as two:
        port = free_port()
        tls = tmp_path / "tls"
        with nginx(tls, (one.port, two.port), port):
            phones = [ready(port, tls / "authority.crt", f"phone-{n}", code) for n in range(3)]
            stream = phones[0].open("/api/shows/demo/stream?since=0")
            assert stream.status == 200
            begun = time.monotonic()
            told = [phones[1].tell()]
            for line in stream:
                if line.startswith(b"data: {"):
                    break
            assert time.monotonic() - begun < 5
            with pytest.raises((http.client.HTTPException, ConnectionError)):  # no talk without TLS
                urllib.request.urlopen(f"http://127.0.0.1:{one.port}/healthz", timeout=5)
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
                with phones[0].open("/x" * 9000) as answer:  # refused by nginx itself
                    assert answer.status == 414
                    assert answer.headers.get_all("Strict-Transport-Security") == [HSTS]
