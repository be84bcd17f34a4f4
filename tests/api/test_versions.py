"""Several people change the same documents: versions, conflicts, history, undo, presence.

RFC 9110, 13.1.1 (If-Match) and 8.8.3 (ETag); RFC 6585, 3 (428); RFC 7396 (merge patch).
"""

from __future__ import annotations

from typing import Any

import pytest

from server.api.problems import PROBLEMS
from tests.support.app import SENT, Bench

ALL = ("/api/shop", "/api/cases/PW-001-J", "/api/vehicles/T1", "/api/shows/demo")
CHANGES: dict[str, tuple[dict[str, Any], dict[str, Any]]] = {
    "/api/shop": ({"name": "Ours"}, {"units": {"mass": "kg"}}),
    "/api/cases/PW-001-J": ({"home": "A9"}, {"notes": {"note": "new lid"}}),
    "/api/vehicles/T1": ({"payload_g": 4_000_000}, {"straps": {"count": 31}}),
    "/api/shows/demo": ({"date": "2027-02-03"}, {"rules": {"straps_min": 2}}),
}


def told(answer: Any) -> dict[str, Any]:
    document: dict[str, Any] = answer.get_json()
    return document


@pytest.mark.parametrize("path", ALL)
def test_changes_of_different_fields_meet(quick: Bench, path: str) -> None:
    owner = quick.owner()
    seen = owner.get(path).headers["ETag"]
    before = owner.read(path)
    one, other = CHANGES[path]
    assert owner.patch(path, one, seen).status_code == 200
    second = owner.patch(path, other, seen)  # made from the older page
    assert second.status_code == 200, second.text
    assert second.headers["ETag"] != seen
    now = owner.read(path)
    for patch in (one, other):
        for name, value in patch.items():
            assert now[name] == ({**before[name], **value} if isinstance(value, dict) else value)
    assert {key for key in now if now[key] != before[key]} == {*one, *other}


@pytest.mark.parametrize("path", ALL)
def test_the_same_field_is_told_with_both_values_and_who(quick: Bench, path: str) -> None:
    owner = quick.owner()
    seen = owner.get(path).headers["ETag"]
    name = "name"
    first = owner.read(path)[name]
    quick.clock.pass_ms(5_000)
    assert owner.patch(path, {name: "Theirs"}, seen).status_code == 200
    kept = owner.get(path)
    refused = owner.patch(path, {name: "Mine"}, seen)
    assert (refused.status_code, refused.mimetype) == (412, "application/problem+json")
    assert refused.headers["ETag"] == kept.headers["ETag"]
    problem = told(refused)
    assert problem["type"] == "/api/problems/changed-meanwhile"
    assert problem["conflicts"] == [{
        "field": name, "before": first, "yours": "Mine", "theirs": "Theirs",
        "by": "Olive", "at": quick.clock.at,
    }]  # fmt: skip
    assert owner.read(path) == kept.json
    # Whoever chose sends it again with the version that the refusal named.
    assert owner.patch(path, {name: "Mine"}, refused.headers["ETag"]).status_code == 200
    assert owner.read(path)[name] == "Mine"


@pytest.mark.parametrize("path", [*ALL, "/api/kits"])
def test_no_change_without_the_version_that_it_saw(quick: Bench, path: str) -> None:
    owner = quick.owner()
    before = owner.get(path)
    body = before.get_json()
    for method in ("PUT", "PATCH") if path != "/api/kits" else ("PUT",):
        answer = owner.http.open(path, method=method, headers=SENT, json=body)
        assert answer.status_code in {428, 422}, answer.text
    patch: object = {} if path != "/api/kits" else []
    method = "PATCH" if path != "/api/kits" else "PUT"
    answer = owner.http.open(path, method=method, headers=SENT, json=patch)
    assert (answer.status_code, told(answer)["type"]) == (428, "/api/problems/version-needed")
    assert owner.get(path).data == before.data


def test_a_whole_document_replaces_only_the_version_that_was_seen(quick: Bench) -> None:
    owner = quick.owner()
    path = "/api/vehicles/T1"
    seen, whole = owner.get(path).headers["ETag"], owner.read(path)
    assert owner.patch(path, {"payload_g": 3_000_000}, seen).status_code == 200
    refused = owner.put(path, {**whole, "name": "Old page"}, seen)
    assert refused.status_code == 412
    assert owner.read(path)["payload_g"] == 3_000_000
    assert owner.put(path, {**whole, "name": "On purpose"}, "*").status_code == 200
    assert owner.read(path)["payload_g"] == whole["payload_g"]


@pytest.mark.parametrize("tag", ['"0"', '"99"', '"x"', 'W/"1"', "nonsense", '"-1"', '"9999999999"'])
def test_a_version_that_never_was_changes_nothing(quick: Bench, tag: str) -> None:
    owner = quick.owner()
    answer = owner.patch("/api/vehicles/T1", {"name": "X"}, tag)
    assert answer.status_code == 412, answer.text
    assert answer.headers["ETag"] == owner.get("/api/vehicles/T1").headers["ETag"]


def test_a_list_is_one_field_and_never_half_lost(quick: Bench) -> None:
    """One keeps a pick of cases, the other the date on an older page: both are there."""
    owner = quick.owner()
    seen, show = owner.get("/api/shows/demo").headers["ETag"], owner.read("/api/shows/demo")
    assert owner.patch("/api/shows/demo", {"cases": show["cases"][:7]}, seen).status_code == 200
    assert owner.patch("/api/shows/demo", {"date": "2027-05-06"}, seen).status_code == 200
    now = owner.read("/api/shows/demo")
    assert (len(now["cases"]), now["date"]) == (7, "2027-05-06")
    refused = owner.patch("/api/shows/demo", {"cases": show["cases"][:9]}, seen)
    clash = told(refused)["conflicts"][0]
    assert [len(clash[side]) for side in ("before", "yours", "theirs")] == [
        len(show["cases"]), 9, 7,
    ]  # fmt: skip


def test_null_puts_a_field_back_and_wrong_fields_are_named(quick: Bench) -> None:
    owner = quick.owner()
    owner.patch("/api/cases/PW-001-J", {"lid_load_g": 50_000, "state": "damaged"})
    assert (
        owner.patch("/api/cases/PW-001-J", {"lid_load_g": None, "state": None}).status_code == 200
    )
    case = owner.read("/api/cases/PW-001-J")
    assert (case["lid_load_g"], case["state"]) == (None, "good")
    for wrong, status in (
        ({"length_um": None}, 422),
        ({"length_um": -1}, 422),
        ({"nonsense": 1}, 422),
        ({"code": "PW-002-K"}, 422),
        ({"notes": {"weighed_on": "yesterday"}}, 422),
        ([], 422),
    ):
        assert owner.patch("/api/cases/PW-001-J", wrong).status_code == status, wrong
    merge_patch = owner.http.patch(
        "/api/cases/PW-001-J",
        data=b'{"home": "B1"}',
        content_type="application/merge-patch+json",
        headers={**SENT, "If-Match": "*"},
    )
    assert told(merge_patch)["home"] == "B1"


def test_what_did_not_change_keeps_its_version_and_is_not_sent_again(quick: Bench) -> None:
    owner = quick.owner()
    first = owner.get("/api/vehicles/T1")
    again = owner.patch("/api/vehicles/T1", {"name": told(first)["name"]})
    assert again.headers["ETag"] == first.headers["ETag"]
    known = owner.get("/api/vehicles/T1", headers={"If-None-Match": first.headers["ETag"]})
    assert (known.status_code, known.data) == (304, b"")


def test_files_and_changes_of_many_make_versions_too(quick: Bench) -> None:
    owner = quick.owner()
    seen = owner.get("/api/cases/PW-001-J").headers["ETag"]
    body = {"codes": ["PW-001-J"], "change": {"home": "Z9"}}
    assert owner.post("/api/cases/change", body).status_code == 200
    refused = owner.patch("/api/cases/PW-001-J", {"home": "A1"}, seen)
    assert told(refused)["conflicts"][0]["theirs"] == "Z9"
    merged = owner.patch("/api/cases/PW-001-J", {"name": "Other"}, seen)
    assert (told(merged)["home"], told(merged)["name"]) == ("Z9", "Other")


def test_history_tells_every_change_and_takes_one_back(bench: Bench) -> None:
    owner = bench.owner()
    path = "/api/vehicles/T1"
    was = owner.read(path)
    owner.patch(path, {"name": "Second"})
    owner.patch(path, {"payload_g": 1_234_000})
    lines = owner.read("/api/versions/vehicle/T1")
    assert [(one["by"], [each["field"] for each in one["fields"]]) for one in lines[:2]] == [
        ("Olive", ["payload_g"]),
        ("Olive", ["name"]),
    ]
    undone = owner.post(f"/api/versions/vehicle/T1/{lines[1]['version']}/undo")
    assert undone.status_code == 200, undone.text
    now = owner.read(path)
    assert (now["name"], now["payload_g"]) == (was["name"], 1_234_000)
    # The same field was changed since: told, not overwritten.
    owner.patch(path, {"payload_g": 2_000_000})
    assert owner.post(f"/api/versions/vehicle/T1/{lines[0]['version']}/undo").status_code == 412
    assert owner.post("/api/versions/vehicle/T1/77/undo").status_code == 404
    assert owner.get("/api/versions/show/none").status_code == 404


def test_an_issued_plan_and_a_closed_show_are_versions_of_the_show(quick: Bench) -> None:
    owner = quick.owner()
    before = owner.get("/api/shows/demo").headers["ETag"]
    assert owner.post("/api/shows/demo/close").status_code == 200
    assert owner.get("/api/shows/demo").headers["ETag"] != before
    merged = owner.patch("/api/shows/demo", {"name": "After"}, before)
    assert told(merged)["closed"] is True


def test_who_has_it_open_is_told_to_others_until_they_leave(quick: Bench) -> None:
    olive, mia = quick.owner(), quick.owner("Mia")
    here = {"kind": "show", "id": "demo"}
    assert told(olive.post("/api/presence", here))["others"] == []
    assert [one["name"] for one in told(mia.post("/api/presence", here))["others"]] == ["Olive"]
    mia.patch("/api/shows/demo", {"date": "2027-01-01"})
    seen = told(olive.post("/api/presence", here))
    assert (len(seen["others"]), seen["by"]) == (1, "Mia")
    mia.post("/api/presence", {**here, "leaves": True})
    assert told(olive.post("/api/presence", here))["others"] == []
    mia.post("/api/presence", here)
    quick.clock.pass_ms(60_000)
    assert told(olive.post("/api/presence", here))["others"] == []
    assert olive.post("/api/presence", {"kind": "show", "id": "none"}).status_code == 404


def test_every_problem_has_an_address_that_explains_it(quick: Bench) -> None:
    caller = quick.client()
    kinds = caller.read("/api/problems")
    assert len(kinds) == len(PROBLEMS)
    for kind in kinds:
        assert caller.read(kind["type"]) == kind
    assert caller.get("/api/problems/none").status_code == 404
