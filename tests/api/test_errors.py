"""Every error is problem details (RFC 9457) and shows nothing of the inside."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from sqlalchemy.exc import OperationalError

from tests.support.app import SENT, Bench

# what is sent → status
WRONG: dict[str, tuple[dict[str, Any], int]] = {
    "no JSON at all": ({"data": "{", "content_type": "application/json"}, 400),
    "another kind of body": ({"data": "a=b", "content_type": "text/plain"}, 415),
    "brackets without end": ({"data": "[" * 90_000, "content_type": "application/json"}, 400),
    "not UTF-8": ({"data": b'{"a": "\xff"}', "content_type": "application/json"}, 400),
    "a number too long to read": ({"data": "9" * 5000, "content_type": "application/json"}, 422),
    "nothing in it": ({"json": {}}, 422),
    "a list": ({"json": []}, 422),
    "a key nobody knows": ({"json": {"code": "A", "name": "B", "device": "abcd", "x": 1}}, 422),
    "a number as name": ({"json": {"code": "A", "name": 7, "device": "abcd"}}, 422),
    "a blank name": ({"json": {"code": "A", "name": " ", "device": "abcd"}}, 422),
    "a device with a slash": ({"json": {"code": "A", "name": "B", "device": "../x"}}, 422),
    "too large": ({"data": b"x" * 2_000_001, "content_type": "application/json"}, 413),
}


@pytest.mark.parametrize("what", WRONG)
def test_a_wrong_body_is_told_in_problem_details(quick: Bench, what: str) -> None:
    sent, status = WRONG[what]
    answer = quick.app.test_client().post("/api/join", headers=SENT, **sent)
    assert answer.status_code == status and answer.mimetype == "application/problem+json"
    body = answer.json
    assert body is not None and body["status"] == status and body["title"] and body["detail"]
    if status == 422:
        assert all(error["field"] and error["message"] for error in body["errors"])
        assert body["errors"]


def test_the_wrong_field_is_named_and_what_was_typed_is_not_echoed(quick: Bench) -> None:
    body = {"code": "A", "name": "B", "device": "abcd", "pin": "1" * 65}
    answer = quick.app.test_client().post("/api/join", json=body, headers=SENT)
    assert answer.json["errors"][0]["field"] == "pin"  # type: ignore[index]
    assert "1" * 65 not in answer.text


@pytest.mark.parametrize(("method", "path"), [("POST", "/api/nothing"), ("GET", "/a/b.c")])
def test_an_unknown_path_is_a_problem(quick: Bench, method: str, path: str) -> None:
    answer = quick.app.test_client().open(path, method=method, headers=SENT)
    assert answer.status_code in {404, 405} and answer.json["detail"]  # type: ignore[index]


def test_a_method_that_is_not_there_says_which_are(quick: Bench) -> None:
    answer = quick.app.test_client().delete("/api/join", headers=SENT)
    assert answer.status_code == 405 and "POST" in answer.headers["Allow"]
    assert answer.mimetype == "application/problem+json"


def broken(bench: Bench, error: Exception) -> None:
    class Broken:
        def __getattr__(self, name: str) -> Any:
            raise error

    people: Any = Broken()
    bench.app.extensions["rowcall"] = replace(bench.ports, people=people)


def test_a_fault_of_ours_shows_no_internals(quick: Bench) -> None:
    broken(quick, RuntimeError("secret words"))
    answer = quick.app.test_client().get("/healthz")
    assert answer.status_code == 500 and answer.mimetype == "application/problem+json"
    assert "secret" not in answer.text and "Traceback" not in answer.text


@pytest.mark.parametrize(
    ("words", "status", "said"),
    [
        # SQLite's own words for SQLITE_FULL and SQLITE_IOERR; PostgreSQL's for ENOSPC
        ("database or disk is full", 507, "disk is full"),
        ("disk I/O error", 507, "disk is full"),
        ('could not extend file "base/1": No space left on device', 507, "disk is full"),
        ("server closed the connection unexpectedly", 503, "does not answer"),
    ],
)
def test_a_disk_without_room_is_told_in_words(
    quick: Bench, words: str, status: int, said: str
) -> None:
    broken(quick, OperationalError("INSERT", {}, Exception(words)))
    answer = quick.app.test_client().get("/healthz")
    assert answer.status_code == status and said in answer.json["detail"]  # type: ignore[index]
    assert int(answer.headers["Retry-After"]) > 0 and "INSERT" not in answer.text


def test_a_full_disk_stores_nothing_of_a_batch_and_says_so(quick: Bench) -> None:
    from sqlalchemy import text

    from server.store.db import db

    bo = quick.phone("Bo")
    with quick.app.app_context(), db.engine.connect() as connection:
        pages = connection.execute(text("PRAGMA page_count")).scalar()
    quick_limit(quick, int(pages or 0) + 4)
    facts = [bo.fact({"kind": "hands", "count": n, "pad": "x" * 900}) for n in range(200)]
    body = {"device": bo.device, "events": facts, "since": 0}
    answer = bo.post("/api/shows/demo/events", body)
    assert answer.status_code == 507
    quick_limit(quick, 1_000_000)
    assert bo.get("/api/shows/demo/events?since=0").json["events"] == []  # type: ignore[index]
    assert len(bo.tell(*facts)["stored"]) == 200


def quick_limit(bench: Bench, pages: int) -> None:
    """Give every connection from now on so many pages of disk, as SQLite itself limits them."""
    from sqlalchemy import event

    from server.store.db import db

    with bench.app.app_context():
        db.session.remove()
        db.engine.dispose()

        @event.listens_for(db.engine, "connect")
        def limit(connection: Any, _record: Any) -> None:
            connection.execute(f"PRAGMA max_page_count={pages}")
