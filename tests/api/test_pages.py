"""The built client as browsers get it: pages, files, packing, caches, and what they obey."""

from __future__ import annotations

import gzip

import pytest

from tests.support.app import Bench

# path → file that answers
PAGES = {
    "/": b"crew",
    "/join": b"crew",
    "/vehicle/T1/load": b"crew",
    "/office": b"office",
    "/office/fleet": b"office",
    "/index.html": b"crew",
}


@pytest.mark.parametrize("path", PAGES)
def test_a_path_without_ending_is_a_page_and_is_asked_for_again(quick: Bench, path: str) -> None:
    answer = quick.app.test_client().get(path)
    assert answer.status_code == 200 and answer.data.endswith(PAGES[path])
    assert answer.mimetype == "text/html" and answer.headers["Cache-Control"] == "no-cache"


@pytest.mark.parametrize(
    "path", ["/missing.js", "/assets/main-old12345.js", "/favicon.ico", "/api/nothing", "/a/b.png"]
)
def test_a_missing_file_is_missing_and_no_page_in_its_place(quick: Bench, path: str) -> None:
    answer = quick.app.test_client().get(path)
    assert answer.status_code == 404 and answer.mimetype == "application/problem+json"


@pytest.mark.parametrize(
    "path",
    ["/../server/settings.py", "/..%2f..%2fetc/passwd.txt", "/assets/../../x.sqlite", "//etc/a.b"],
)
def test_no_path_leaves_the_folder_of_the_client(quick: Bench, path: str) -> None:
    (quick.settings.client.parent / "x.sqlite").write_text("secret", encoding="utf-8")
    assert quick.app.test_client().get(path).status_code in {301, 308, 404}


def test_files_named_by_their_content_are_kept_for_ever_and_the_worker_is_not(quick: Bench) -> None:
    http = quick.app.test_client()
    script = http.get("/assets/main-DVca1Q69.js")
    assert script.headers["Cache-Control"] == "public, max-age=31536000, immutable"
    assert script.mimetype == "text/javascript"
    assert http.get("/sw.js").headers["Cache-Control"] == "no-cache"
    assert http.get("/assets/scan.wasm").mimetype == "application/wasm"


def test_what_is_packed_is_sent_packed_to_whoever_takes_it(quick: Bench) -> None:
    http = quick.app.test_client()
    packed = http.get("/sw.js", headers={"Accept-Encoding": "gzip, deflate"})
    assert packed.headers["Content-Encoding"] == "gzip"
    assert gzip.decompress(packed.data) == b"worker"
    plain = http.get("/sw.js")
    assert "Content-Encoding" not in plain.headers and plain.headers["Vary"] == "Accept-Encoding"
    again = http.get("/sw.js", headers={"If-None-Match": plain.headers["ETag"]})
    assert again.status_code == 304


def test_browsers_are_told_to_run_nothing_but_our_own_files(quick: Bench) -> None:
    for path in ("/", "/api/session", "/missing.js", "/healthz"):
        headers = quick.app.test_client().get(path).headers
        policy = dict(
            part.strip().split(" ", 1) for part in headers["Content-Security-Policy"].split(";")
        )
        assert policy["default-src"] == "'self'" and policy["object-src"] == "'none'"
        assert policy["script-src"] == "'self' 'wasm-unsafe-eval'"
        assert "unsafe-inline" not in headers["Content-Security-Policy"]
        assert policy["frame-ancestors"] == "'none'" and policy["base-uri"] == "'none'"
        assert headers["X-Content-Type-Options"] == "nosniff"
        assert headers["Referrer-Policy"] == "no-referrer"
        assert headers["Cross-Origin-Opener-Policy"] == "same-origin"
        assert headers["Permissions-Policy"].startswith("camera=(self)")


def test_api_answers_are_kept_by_no_cache(quick: Bench) -> None:
    assert quick.client().get("/api/session").headers["Cache-Control"] == "no-store"
