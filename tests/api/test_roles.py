"""Who may do what: every route of the app with every role, walked whole."""

from __future__ import annotations

import itertools
import json
from typing import Any

import pytest
from werkzeug.routing import Rule

from server.api.roles import ACCESS
from server.api.written import CHANGES, QUESTIONS, TOLD_INSIDE
from server.service.records import RANK
from tests.support.app import SENT, Bench, Caller

ROLES = ("nobody", "loader", "chief", "owner")
VALUES: dict[str, Any] = {
    "show": "demo",
    "device": "device-x",
    "photo": "nothing-there",
    "code": "PW-001-J",
    "vehicle": "T1",
    "job": "none",
    "revision": 1,
    "name": "some.txt",
    "kind": "vehicle",
    "one": "T1",
    "version": 1,
    "token": "none",
    "hook": "none",
    "secret": "none",
}
# Refused as who they are, not for what they sent.
REFUSED = {401, 403}


def callers(bench: Bench, round_: int = 0) -> dict[str, Caller]:
    return {
        "nobody": bench.client(),
        "loader": bench.phone(f"Lo{round_}"),
        "chief": bench.phone(f"Ch{round_}", chief=True),
        "owner": bench.owner(),
    }


def routes(bench: Bench) -> list[tuple[Rule, str]]:
    found = bench.app.url_map.iter_rules()
    return [(rule, method) for rule in found for method in sorted((rule.methods or set())
            - {"HEAD", "OPTIONS"})]  # fmt: skip


def path(rule: Rule, **values: Any) -> str:
    given = {**VALUES, **values}
    built = rule.build({name: given[name] for name in rule.arguments}, append_unknown=False)
    assert built is not None
    return built[1]


def test_every_route_stands_in_the_table_and_the_table_names_only_routes(quick: Bench) -> None:
    assert {rule.endpoint for rule, _ in routes(quick)} == set(ACCESS)


def test_every_route_lets_in_who_may_and_refuses_who_may_not(quick: Bench) -> None:
    wrong = []
    endless = {"crew.stream"}  # opened elsewhere: here it would hold the test
    ends_itself = {"enter.sign_out", "shows.sign_out_all", "crew.sign_out_device", "bookings.close"}
    rules = sorted(
        routes(quick),
        key=lambda one: (one[0].endpoint in ends_itself, one[0].endpoint == "bookings.close"),
    )
    people = callers(quick)
    for round_, ((rule, method), role) in enumerate(itertools.product(rules, ROLES), start=1):
        least = ACCESS[rule.endpoint]
        may = least == "anyone" or (role != "nobody" and RANK[role] >= RANK[least])
        if rule.endpoint in endless and may:
            continue
        who = callers(quick, round_)[role] if rule.endpoint in ends_itself else people[role]
        answer = who.http.open(path(rule), method=method, headers=SENT, json={})
        if rule.endpoint == "shows.set_pin" and answer.status_code == 200:
            quick.pin = json.loads(answer.data)["pin"]
        refused = answer.status_code in REFUSED and "Join the show on this phone" not in answer.text
        if refused == may:
            wrong.append(f"{method} {path(rule)} as {role}: {answer.status_code} {answer.text}")
        assert answer.status_code < 500, answer.text
    assert not wrong, "\n".join(wrong)


def test_the_crew_of_another_show_gets_nothing_of_this_one(quick: Bench) -> None:
    owner = quick.owner()
    other = owner.post("/api/shows", {"name": "Other", "vehicles": ["T1"]}).json
    assert other is not None
    code = owner.get(f"/api/shows/{other['id']}/join").json["code"]  # type: ignore[index]
    stranger = quick.client()
    joined = stranger.post("/api/join", {"code": code, "name": "S", "device": "device-s"})
    assert joined.status_code == 200
    for rule, method in routes(quick):
        if "show" not in rule.arguments or ACCESS[rule.endpoint] != "loader":
            continue
        answer = stranger.http.open(path(rule), method=method, headers=SENT, json={})
        assert answer.status_code == 404, f"{method} {rule}: {answer.status_code}"


def test_an_unknown_show_and_the_show_of_others_look_alike(quick: Bench) -> None:
    bo = quick.phone("Bo")
    owner = quick.owner()
    other = owner.post("/api/shows", {"name": "Other"}).json["id"]  # type: ignore[index]
    real, invented = (bo.get(f"/api/shows/{show}/bundle") for show in (other, "zzzz"))
    assert (real.status_code, real.data) == (invented.status_code, invented.data)


@pytest.mark.parametrize("method", ["POST", "PUT", "PATCH", "DELETE"])
def test_nothing_changes_without_our_own_header(quick: Bench, method: str) -> None:
    owner = quick.owner()
    for rule, way in routes(quick):
        if way == method:
            answer = owner.http.open(path(rule), method=way, json={})
            assert answer.status_code == 403 and "X-Rowcall" in answer.text, rule


def test_a_page_of_another_site_changes_nothing(quick: Bench) -> None:
    owner = quick.owner()
    for headers in (
        {"Sec-Fetch-Site": "cross-site"},
        {"Sec-Fetch-Site": "same-site"},
        {"Origin": "https://evil.example"},
        {"Origin": "null"},
    ):
        answer = owner.http.put("/api/shop", json={}, headers={**SENT, **headers})
        assert answer.status_code == 403, headers
    answer = owner.http.put(
        "/api/shop", json={}, headers={**SENT, "Sec-Fetch-Site": "same-origin",
                                       "Origin": "http://localhost", "If-Match": "*"}
    )  # fmt: skip
    assert answer.status_code == 200
    answer = owner.http.put("/api/shop", data="{}", content_type="text/plain", headers=SENT)
    assert answer.status_code == 415


def test_looking_changes_nothing(quick: Bench) -> None:
    import server

    owner, chief = quick.owner(), quick.phone("Ana", chief=True)
    before = list(server.dump(quick.app))
    seen = 0
    for rule, method in routes(quick):
        if method == "GET" and rule.endpoint != "crew.stream":
            seen += sum(who.http.get(path(rule)).status_code == 200 for who in (owner, chief))
    assert seen > 40
    assert list(server.dump(quick.app)) == before


def test_every_change_of_owners_and_chiefs_is_written_down(quick: Bench) -> None:
    changing = {
        rule.endpoint
        for rule, method in routes(quick)
        if method != "GET" and ACCESS[rule.endpoint] in {"owner", "chief"}
    }
    assert changing == set(CHANGES) | TOLD_INSIDE | QUESTIONS
    assert not set(CHANGES) & TOLD_INSIDE and not TOLD_INSIDE & QUESTIONS
    owner = quick.owner()
    owner.put("/api/shop", {"name": "Other"})
    made = owner.post("/api/shows", {"name": "Ball", "vehicles": ["T1"]}).get_json()["id"]
    owner.put("/api/kits", {"kits": "wrong"})
    owner.send("/api/cases/import?dry_run=true", owner.get("/api/cases.csv").data, "text/csv")
    owner.post(f"/api/shows/{made}/join/renew")
    entries = owner.read("/api/audit")["entries"][:4]
    assert [one["action"] for one in entries] == [
        "renewed join code", "added show", "changed the shop", "set up owner",
    ]  # fmt: skip
    assert {(one["name"], one["role"]) for one in entries} == {("Olive", "owner")}
