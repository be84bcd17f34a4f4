"""Deleting: what was never used is deleted, what has a history is kept; the demo as a whole."""

from __future__ import annotations

from tests.support.app import Bench
from tests.support.case_codes import issue_codes


def test_the_demo_is_removed_whole_and_nothing_of_the_shop_with_it(bench: Bench) -> None:
    owner = bench.owner()
    code = str(issue_codes("ZZ", 0, 1)[0])
    mine = owner.read("/api/cases/PW-001-J") | {"code": code}
    assert owner.post("/api/cases", mine).status_code == 201
    show = owner.post("/api/shows", {"name": "Mine", "cases": [{"code": "RG-001-Q", "drop": 1}]})
    assert show.status_code == 201, show.text
    answer = owner.delete("/api/demo")
    assert answer.status_code == 200 and answer.get_json()["cases"] == 72
    assert {one["code"] for one in owner.read("/api/cases")} == {code, "RG-001-Q"}
    assert owner.get("/api/shows/demo").status_code == 404
    assert owner.read("/api/vehicles") == [] and owner.read("/api/shop")["name"] == ""
    assert owner.delete("/api/demo").status_code == 409
    assert [one["name"] for one in owner.read("/api/shows")] == ["Mine"]
    assert "removed the demo" in str(owner.read("/api/audit"))


def test_what_has_a_history_is_kept_and_the_rest_deleted(quick: Bench) -> None:
    owner = quick.owner()
    kept = owner.delete("/api/cases/PW-001-J")
    assert kept.status_code == 409 and "retired" in kept.get_json()["detail"]
    assert "Archive" in owner.delete("/api/vehicles/T1").get_json()["detail"]
    assert "issued" in owner.delete("/api/shows/demo").get_json()["detail"]
    called = {one["code"] for one in owner.read("/api/shows/demo")["cases"]}
    spare = next(c["code"] for c in owner.read("/api/cases") if c["code"] not in called)
    assert owner.delete(f"/api/cases/{spare}").status_code == 200
    assert owner.get(f"/api/cases/{spare}").status_code == 404
    vehicle = owner.read("/api/vehicles/T1") | {"id": "X9"}
    assert owner.post("/api/vehicles", vehicle).status_code == 201
    assert owner.delete("/api/vehicles/X9").status_code == 200
    made = owner.post("/api/shows", {"name": "Draft", "cases": []}).get_json()["id"]
    assert owner.delete(f"/api/shows/{made}").status_code == 200
    for gone in (f"cases/{spare}", "vehicles/X9", f"shows/{made}"):
        assert owner.delete(f"/api/{gone}").status_code == 404
