"""The plan editor over HTTP: judged at once, kept only when asked, planned with a difference."""

from __future__ import annotations

from typing import Any

from tests.support.app import Bench, Caller


def edit(owner: Caller, *steps: dict[str, Any], draft: Any = None) -> dict[str, Any]:
    """Do steps on revision 1 of the demo, or on a draft of it."""
    body = {"revision": 1, "draft": draft, "steps": list(steps)}
    answer = owner.post("/api/shows/demo/edit", body)
    assert answer.status_code == 200, answer.text
    told: dict[str, Any] = answer.get_json()
    return told


def work_off(bench: Bench) -> None:
    """Do what waits for the planner."""
    from server.service.plan_show import work_off

    with bench.app.app_context():
        work_off(bench.ports)


def test_a_draft_is_judged_in_words_and_nothing_of_it_is_kept(quick: Bench) -> None:
    owner = quick.owner()
    before = edit(owner)
    assert before["faults"] == []
    vehicle = before["sheets"][0]
    heaviest_first = {"do": "row", "vehicle": vehicle["id"], "row": len(vehicle["rows"]), "at": 1}
    after = edit(owner, heaviest_first)
    assert any("blocks an earlier drop" in fault for fault in after["faults"])
    assert after["sheets"][0]["floor_length_um"] == vehicle["floor_length_um"]
    assert len(owner.read("/api/shows/demo/plans")) == 1


def test_drafts_go_on_from_drafts_and_are_kept_as_the_next_revision(quick: Bench) -> None:
    owner = quick.owner()
    code = edit(owner)["sheets"][0]["rows"][0]["places"][0]["code"]
    out = edit(owner, {"do": "out", "code": code})
    both = edit(owner, draft=out["plan"])
    assert [one["code"] for one in both["plan"]["left_out"]][0:1] == [code]
    body = {"revision": 1, "draft": both["plan"]}
    kept = owner.post("/api/shows/demo/drafts", body)
    assert kept.status_code == 201 and kept.get_json() == {"revision": 2}
    assert (
        owner.read("/api/shows/demo/plans/2")["plan"]["floor_length"]
        == (both["plan"]["floor_length"])
    )


def test_a_step_or_a_draft_that_names_what_is_not_there_is_refused(quick: Bench) -> None:
    owner = quick.owner()
    for body in (
        {"revision": 1, "steps": [{"do": "out", "code": "NO-1"}]},
        {"revision": 1, "steps": [{"do": "move", "code": "RG-001-Q", "vehicle": "T9", "row": 1}]},
        {"revision": 1, "draft": {"format": "something"}},
    ):
        answer = owner.post("/api/shows/demo/edit", body)
        assert answer.status_code == 422, body
        assert answer.get_json()["errors"], body
    assert owner.post("/api/shows/demo/edit", {"revision": 99}).status_code == 404


def test_other_vehicles_are_tried_without_changing_the_show(quick: Bench) -> None:
    owner = quick.owner()
    narrow = owner.read("/api/vehicles/T1") | {"id": "T3", "name": "narrow", "width_um": 2_286_000}
    assert owner.post("/api/vehicles", narrow).status_code == 201
    body = {"seconds": 1, "vehicles": ["T3", "T2"]}
    job = owner.post("/api/shows/demo/plans/asked", body)
    assert job.status_code == 202
    work_off(quick)
    told = owner.read(f"/api/shows/demo/jobs/{job.get_json()['job']}")
    assert told["state"] == "done", told
    tried = owner.read(f"/api/shows/demo/plans/{told['revision']}")
    assert {sheet["id"] for sheet in tried["sheets"]} <= {"T2", "T3"}
    assert owner.read("/api/shows/demo")["vehicles"] == ["T1", "T2"]
    if not tried["faults"]:
        issued = owner.post(f"/api/shows/demo/plans/{told['revision']}/issue")
        assert issued.status_code == 200
        assert owner.read("/api/shows/demo")["vehicles"] == ["T3", "T2"]


def test_the_rest_is_planned_behind_pinned_rows(quick: Bench) -> None:
    owner = quick.owner()
    before = owner.read("/api/shows/demo/plans/1")["plan"]
    body = {"seconds": 1, "revision": 1, "pinned": {"T1": 2}}
    job = owner.post("/api/shows/demo/plans/asked", body).get_json()
    work_off(quick)
    told = owner.read(f"/api/shows/demo/jobs/{job['job']}")
    after = owner.read(f"/api/shows/demo/plans/{told['revision']}")["plan"]
    assert after["vehicles"][0]["rows"][:2] == before["vehicles"][0]["rows"][:2]


def test_rows_are_pinned_anywhere_and_what_moved_is_said(quick: Bench) -> None:
    owner = quick.owner()
    before = owner.read("/api/shows/demo/plans/1")["plan"]["vehicles"][0]
    numbers = [2, len(before["rows"])]
    body = {"seconds": 1, "revision": 1, "pinned": {before["id"]: numbers}}
    job = owner.post("/api/shows/demo/plans/asked", body).get_json()
    work_off(quick)
    told = owner.read(f"/api/shows/demo/jobs/{job['job']}")
    plan = owner.read(f"/api/shows/demo/plans/{told['revision']}")
    after = next(one for one in plan["plan"]["vehicles"] if one["id"] == before["id"])
    assert plan["faults"] == []
    for number in numbers:
        codes = {place["code"] for place in before["rows"][number - 1]["cases"]}
        stands = [{place["code"] for place in row["cases"]} for row in after["rows"]]
        assert codes in stands
        if stands.index(codes) + 1 != number:
            assert f"row {number} of {before['id']} is kept whole" in told["trouble"]
    for wrong in ({"T1": [0]}, {"T1": -1}, {"T1": "all"}):
        answer = owner.post("/api/shows/demo/plans/asked", {**body, "pinned": wrong})
        assert answer.status_code == 422
