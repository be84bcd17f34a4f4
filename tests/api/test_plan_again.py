"""A plan changed from the chief's phone: what is wished, what stays, who may, and the issue."""

from __future__ import annotations

from typing import Any

import pytest

from server.core.judge import judge
from tests.api.test_office_editor import work_off
from tests.support.app import Bench, Caller
from tests.support.case_codes import issue_codes

ASK = "/api/shows/demo/plans/replan"


def issued(bench: Bench) -> dict[str, Any]:
    """Return the crew's bundle of the demo as it is in the crew's hands."""
    bundle: dict[str, Any] = bench.owner().read("/api/shows/demo/bundle")
    return bundle


def proposed(bench: Bench, who: Caller, body: dict[str, Any]) -> dict[str, Any]:
    """Ask for a plan from revision 1 on and return the proposal."""
    job = who.post(ASK, {"revision": 1, "loaded": {}, "seconds": 1} | body)
    assert job.status_code == 202, job.get_json()
    work_off(bench)
    told: dict[str, Any] = who.read(f"{ASK}/{job.get_json()['job']}")
    assert told["state"] == "done", told
    return told


def spots(sheets: list[dict[str, Any]]) -> dict[str, tuple[str, int]]:
    """Return code → vehicle and row."""
    return {
        place["code"]: (sheet["id"], row["number"])
        for sheet in sheets
        for row in sheet["rows"]
        for place in row["places"]
    }


def spare_of(bench: Bench, bundle: dict[str, Any]) -> str:
    """Put one more case into the fleet, that is on no show; return its code."""
    owner = bench.owner()
    like = owner.read(f"/api/cases/{bundle['vehicles'][0]['rows'][-1]['places'][0]['code']}")
    code = str(issue_codes("ZZ", 0, 1)[0])
    made = owner.post("/api/cases", like | {"code": code})
    assert made.status_code == 201, made.text
    return code


def test_a_swap_keeps_loaded_rows_and_the_chief_issues_it(quick: Bench) -> None:
    before = issued(quick)
    spare = spare_of(quick, before)
    truck = before["vehicles"][0]
    gone = truck["rows"][-1]["places"][-1]["code"]
    chief = quick.phone("Ana", chief=True)
    told = proposed(quick, chief, {"loaded": {truck["id"]: [1, 2]}, "swap": {gone: spare}})
    assert told["faults"] == [] and told["left_out"] == []
    old, new = spots(before["vehicles"]), spots(told["sheets"])
    assert gone not in new and spare in new
    stay = [code for code, spot in old.items() if spot[0] == truck["id"] and spot[1] <= 2]
    assert stay and all(new[code] == old[code] for code in stay)
    loader = quick.phone("Bo")
    assert loader.post(f"{ASK}/{told['job']}/issue", {}).status_code == 403
    assert chief.post(f"{ASK}/{told['job']}/issue", {}).status_code == 201
    now = issued(quick)
    assert now["revision"] == told["revision"]
    assert spots(now["vehicles"]) == new
    called = {one["code"] for one in quick.owner().read("/api/shows/demo")["cases"]}
    assert spare in called and gone not in called
    # what was planned from an older revision is not issued over it
    assert chief.post(f"{ASK}/{told['job']}/issue", {}).status_code == 409


def test_a_row_that_does_not_close_keeps_all_but_the_case_that_is_out(quick: Bench) -> None:
    before = issued(quick)
    truck = before["vehicles"][0]
    row = next(one for one in truck["rows"] if len(one["places"]) > 2)
    out = next(
        place["code"]
        for place in row["places"]
        if not any(place["code"] in other["on"] for other in row["places"])
    )
    chief = quick.phone("Ana", chief=True)
    loaded = {truck["id"]: list(range(1, row["number"]))}
    told = proposed(quick, chief, {"loaded": loaded, "out": [out]})
    old, new = spots(before["vehicles"]), spots(told["sheets"])
    assert new.get(out) != old[out]
    rest = [place["code"] for place in row["places"] if place["code"] != out]
    assert all(new[code] == old[code] for code in rest)
    with quick.app.app_context():
        made = quick.ports.plans.get("demo", told["revision"])
        assert made is not None
        assert list(judge(made.show, made.plan)) == told["faults"]


def test_what_is_left_here_is_called_no_longer_and_nothing_else_is_lost(quick: Bench) -> None:
    before = issued(quick)
    old = spots(before["vehicles"])
    gone = before["vehicles"][-1]["rows"][-1]["places"][-1]["code"]
    told = proposed(quick, quick.phone("Ana", chief=True), {"leave": [gone]})
    assert set(spots(told["sheets"])) == set(old) - {gone}


@pytest.mark.parametrize(
    ("wish", "said"),
    [
        ({"add": ["QQ-999-Z"]}, "expected a case of the fleet"),
        ({"add": ["RG-001-Q", "RG-001-Q"]}, "called already"),
        ({"leave": ["QQ-999-Z"]}, "expected a case of this show"),
        ({"swap": {"QQ-999-Z": "RG-001-Q"}}, "expected a case of this show"),
        ({"out": ["QQ-999-Z"]}, "expected a case that stands in revision 1"),
        ({"vehicles": ["T77"]}, "expected vehicles of the shop"),
    ],
)
def test_a_wish_that_cannot_be_is_refused_before_anything_is_planned(
    quick: Bench, wish: dict[str, Any], said: str
) -> None:
    answer = quick.phone("Ana", chief=True).post(ASK, {"revision": 1, "loaded": {}} | wish)
    assert answer.status_code == 422
    assert said in str(answer.get_json())


def test_only_planning_from_a_revision_on_is_a_proposal(quick: Bench) -> None:
    owner = quick.owner()
    job = owner.post("/api/shows/demo/plans", {"seconds": 1}).get_json()["job"]
    work_off(quick)
    assert owner.get(f"{ASK}/{job}").status_code == 404
    assert owner.post(f"{ASK}/{job}/issue", {}).status_code == 404
