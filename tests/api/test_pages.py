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


def test_a_photo_that_someone_sent_does_nothing_when_it_is_opened_alone(quick: Bench) -> None:
    from tests.api.test_pictures import png

    bo = quick.phone("Bo")
    bo.send("/api/shows/demo/photos?id=photo-12345", png(4, 3), "image/png")
    headers = bo.get("/api/shows/demo/photos/photo-12345").headers
    policy = headers["Content-Security-Policy"]
    assert policy.startswith("default-src 'none'") and "sandbox" in policy
    assert headers["X-Content-Type-Options"] == "nosniff"
    assert headers["Cross-Origin-Resource-Policy"] == "same-origin"
    assert headers["Cache-Control"].startswith("private")


def test_every_kind_of_answer_says_what_it_is_and_in_which_letters(quick: Bench) -> None:
    owner = quick.owner()
    kinds = {
        "/": "text/html; charset=utf-8",
        "/healthz": "text/plain; charset=utf-8",
        "/assets/main-DVca1Q69.js": "text/javascript; charset=utf-8",
        "/api/shop": "application/json",  # always UTF-8 (RFC 8259, 8.1)
        "/api/nothing": "application/problem+json",
        "/api/cases.csv": "text/csv; charset=utf-8",
    }
    for path, kind in kinds.items():
        assert owner.get(path).headers["Content-Type"] == kind, path


@pytest.mark.parametrize(
    "path", ["/.git/config", "/../server/settings.py", "/%2e%2e/%2e%2e/etc/passwd", "/assets/",
             "/instance/rowcall.sqlite", "/assets/..%2f..%2frowcall.sqlite", "/.env",
             "/main.js.map", "//etc/passwd", "/assets/%00"]
)  # fmt: skip
def test_nothing_but_the_built_client_is_served(quick: Bench, path: str) -> None:
    answer = quick.app.test_client().get(path)
    assert answer.status_code in {200, 308, 404}
    # a path without a dot in its last part is a page of the client, whatever it says
    assert answer.status_code != 200 or answer.data == b"<!doctype html>crew"


def test_a_method_that_repeats_the_request_is_not_there(quick: Bench) -> None:
    for path in ("/", "/api/session", "/healthz"):
        assert quick.app.test_client().open(path, method="TRACE").status_code == 405


def test_no_other_site_is_ever_let_in(quick: Bench) -> None:
    for method in ("GET", "OPTIONS"):
        answer = quick.app.test_client().open(
            "/api/session", method=method, headers={"Origin": "https://evil.example"}
        )
        assert not [name for name, _ in answer.headers if name.startswith("Access-Control")]


def test_the_page_that_verifies_records_may_run_its_own_script(quick: Bench) -> None:
    policy = "default-src 'none'; script-src 'sha256-abc='"
    page = f'<meta http-equiv="Content-Security-Policy" content="{policy}">'
    (quick.settings.client / "verify.html").write_text(page, encoding="utf-8")
    answer = quick.client().get("/verify.html")
    assert answer.status_code == 200
    assert answer.headers["Content-Security-Policy"] == f"{policy}; frame-ancestors 'none'"
    other = quick.client().get("/office").headers["Content-Security-Policy"]
    assert other.startswith("default-src 'self'")
