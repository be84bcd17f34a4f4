"""A server process behind Caddy with TLS on both sides, by the file in fixtures/deploy."""

from __future__ import annotations

import os
import re
import shutil
import ssl
import subprocess
import time
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from server.settings import ROOT
from tests.support.app import filled
from tests.support.behind import HSTS, forged, ready
from tests.support.needs import lacking
from tests.support.serving import Server, free_port, serving, trusting

pytestmark = pytest.mark.slow
CADDY = shutil.which("caddy")
EXAMPLE = ROOT / "fixtures/deploy/Caddyfile"


@contextmanager
def caddy(folder: Path, inner: Server, port: int) -> Iterator[Path]:
    """Run Caddy by our example with an authority of its own; yield that authority's certificate.

    The second of its servers is one that is away.
    """
    assert CADDY is not None
    text = EXAMPLE.read_text(encoding="utf-8")
    for before, after in (
        ("rowcall.example {", f"https://localhost:{port} {{\n\tbind 127.0.0.1"),
        ("admin off", "admin off\n\tlocal_certs\n\tskip_install_trust"),
        ("127.0.0.1:8081", f"127.0.0.1:{inner.port}"),
        ("127.0.0.1:8082", f"127.0.0.1:{free_port()}"),
        ("/etc/caddy/rowcall-authority.crt", f"{inner.folder}/tls-inside/authority.crt"),
    ):
        assert before in text
        text = text.replace(before, after)
    folder.mkdir()
    file = folder / "Caddyfile"
    file.write_text(text, encoding="utf-8")
    homes = dict.fromkeys(("HOME", "XDG_DATA_HOME", "XDG_CONFIG_HOME"), str(folder))
    words = ["--adapter", "caddyfile", "--config", str(file)]
    given = {**os.environ, **homes}
    checked = subprocess.run(
        [CADDY, "validate", *words], env=given, capture_output=True, text=True, check=False
    )
    assert checked.returncode == 0, checked.stderr
    with (folder / "log").open("wb") as log:
        process = subprocess.Popen([CADDY, "run", *words], env=given, stdout=log, stderr=log)
    try:
        authority = folder / "caddy/pki/authorities/local/root.crt"
        deadline = time.monotonic() + 20
        while not authority.exists():
            assert process.poll() is None and time.monotonic() < deadline
            time.sleep(0.05)
        yield authority
    finally:
        process.terminate()
        process.wait(timeout=20)


def streams(server: Server) -> float:
    """Return how many live streams a process counts."""
    trusted: ssl.SSLContext = trusting(server.folder / "tls-inside/authority.crt")
    with urllib.request.urlopen(f"{server.url}/metrics", timeout=5, context=trusted) as answer:
        found = re.search(r"(?m)^rowcall_streams ([0-9.]+)$", answer.read().decode())
    assert found is not None
    return float(found[1])


def test_phones_join_tell_and_hear_through_caddy_and_cannot_forge_where_they_are(
    postgres_url: str, tmp_path: Path
) -> None:
    if CADDY is None:
        lacking("Caddy", "caddy")
    words = ("--database", postgres_url, "--behind-proxy", "1", "--inner-tls")
    code = filled(postgres_url, tmp_path / "data")
    with serving(tmp_path / "data", *words) as inner:
        port = free_port()
        with caddy(tmp_path / "caddy", inner, port) as authority:
            one, two = (ready(port, authority, f"phone-{n}", code) for n in (1, 2))
            stream = one.open("/api/shows/demo/stream?since=0")
            assert stream.status == 200
            begun = time.monotonic()
            told = two.tell()
            assert any(line.startswith(b"data: {") for line in stream)
            assert time.monotonic() - begun < 5
            assert streams(inner) == 1
            stream.close()
            assert [item["event"]["id"] for item in one.read()["events"]] == [told]
            assert forged(one, postgres_url) == {"127.0.0.1"}
            with one.open("/metrics") as answer:  # by Caddy itself
                assert answer.status == 404 and answer.headers["Server"] is None
                assert answer.headers.get_all("Strict-Transport-Security") == [HSTS]
            deadline = time.monotonic() + 10
            while streams(inner):  # Caddy let go of it when its phone left: the next word finds out
                assert time.monotonic() < deadline, "a stream outlives its phone"
                two.tell()
