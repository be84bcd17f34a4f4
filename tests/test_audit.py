"""The audit of dependencies, with the real tools and an answering service of our own."""

from __future__ import annotations

import json
import re
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from typing import Any, Final

import pytest

from server.bootstrap.places import PWA
from tests import audit
from tests.support.serving import free_port

PLANTED: Final = {"flask": "PYSEC-0000-1"}


class Service(BaseHTTPRequestHandler):
    """Answers as OSV (osv.dev, POST /v1/query) and as npm's bulk advisories do."""

    weak: Final[dict[str, str]] = {}
    broken = ""

    def do_POST(self) -> None:
        body = self.rfile.read(int(self.headers["Content-Length"] or 0))
        answer: dict[str, Any] = {}
        if self.path.endswith("/query"):
            answer = self.osv(json.loads(body))
        elif "preact" in self.weak:
            advisory = {"id": 1, "url": "https://example.org", "title": "planted",
                        "severity": "high", "vulnerable_versions": "<99"}  # fmt: skip
            answer = {"preact": [advisory]}
        content = self.broken.encode() or json.dumps(answer).encode()
        self.send_response(503 if self.broken == "away" else 200)
        self.send_header("Content-Type", "application/json")
        self.send_header("Content-Length", str(len(content)))
        self.end_headers()
        self.wfile.write(content)

    def osv(self, asked: dict[str, Any]) -> dict[str, Any]:
        package = asked["package"]
        if package["name"] not in self.weak:
            return {}
        events = [{"introduced": "0"}, {"fixed": "99"}]
        ranges = [{"type": "ECOSYSTEM", "events": events}]
        affected = [{"package": package, "ranges": ranges}]
        found = {"id": self.weak[package["name"]], "summary": "planted", "affected": affected}
        return {"vulns": [{**found, "published": "2026-01-01T00:00:00Z"}]}

    def log_request(self, *_: Any) -> None:
        """Say nothing."""


@contextmanager
def service(weak: dict[str, str], broken: str = "") -> Iterator[str]:
    kind = type("Planted", (Service,), {"weak": weak, "broken": broken})
    server = ThreadingHTTPServer(("127.0.0.1", 0), kind)
    threading.Thread(target=server.serve_forever, daemon=True).start()
    yield f"http://127.0.0.1:{server.server_port}"
    server.shutdown()
    server.server_close()


def told(url: str) -> list[str]:
    return ["--osv", f"{url}/v1/query", "--registry", url]


def test_nothing_known_is_0_and_every_package_of_the_locks_was_asked_about(
    capsys: pytest.CaptureFixture[str],
) -> None:
    with service({}) as url:
        assert audit.main(told(url)) == 0
    said = capsys.readouterr().out
    asked = int(re.findall(r"Python: (\d+) packages", said)[0])
    lines = audit.LOCK.read_text(encoding="utf-8")
    locked = re.findall(r"(?m)^([a-z0-9-]+)(?:\[[^\]]*\])?==", lines)
    assert len(locked) - 10 <= asked <= len(locked)  # some are for other systems only
    npm = json.loads((PWA / "package-lock.json").read_text(encoding="utf-8"))["packages"]
    assert int(re.findall(r"client: (\d+) packages", said)[0]) > 0.5 * len(npm)


def test_a_planted_weakness_is_1_and_named(capsys: pytest.CaptureFixture[str]) -> None:
    with service({**PLANTED, "preact": "planted"}) as url:
        assert audit.main(told(url)) == 1
    said = capsys.readouterr().out
    assert re.search(r"Python: flask \S+: PYSEC-0000-1, fixed in 99", said)
    assert "client: preact: high, planted" in said


# what the service says to everything: that it is away, half an answer, and no JSON at all
@pytest.mark.parametrize("broken", ["away", '{"vulns": [{"id": ', "<html>sign in first</html>"])
def test_a_service_whose_answer_cannot_be_read_is_2_and_said(
    broken: str, capsys: pytest.CaptureFixture[str]
) -> None:
    with service({}, broken) as url:
        assert audit.main(told(url)) == 2
    assert capsys.readouterr().err.count("not asked") == 2


def test_a_service_that_is_not_there_is_2_and_said(capsys: pytest.CaptureFixture[str]) -> None:
    assert audit.main(told(f"http://127.0.0.1:{free_port()}")) == 2
    assert capsys.readouterr().err.count("not asked") == 2


def test_a_package_that_the_tool_skipped_counts_as_not_asked_about() -> None:
    said = {"dependencies": [{"name": "flask", "version": "3", "vulns": []},
                             {"name": "numpy", "skip_reason": "not found"}]}  # fmt: skip
    found = audit.read_python(json.dumps(said), "")
    assert (found.asked, found.status) == (1, 2) and "1 of 2" in found.unasked
