"""The plan editor over HTTP: judged at once, kept only when asked, planned with a difference."""

from __future__ import annotations

from typing import Any

import pytest

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
        issued = owner.issue("demo", told["revision"])
        assert issued.status_code == 200
        assert owner.read("/api/shows/demo")["vehicles"] == ["T3", "T2"]


def replanned(bench: Bench, who: Any, body: dict[str, Any]) -> dict[str, Any]:
    """Ask for re-planning, let the planner work, and return the finished job."""
    job = who.post("/api/shows/demo/plans/replan", body)
    assert job.status_code == 202, job.get_json()
    work_off(bench)
    told: dict[str, Any] = who.get(f"/api/shows/demo/jobs/{job.get_json()['job']}").get_json()
    assert told["state"] == "done", told
    return told


def test_nothing_moves_where_nothing_changed_and_chief_and_owner_may_ask(quick: Bench) -> None:
    owner, chief = quick.owner(), quick.phone("Ana", chief=True)
    before = owner.read("/api/shows/demo/plans/1")["plan"]
    for who in (owner, chief):
        told = replanned(quick, who, {"revision": 1, "loaded": {"T1": 2}})
        assert told["best"]["moves"] == []
        after = owner.read(f"/api/shows/demo/plans/{told['revision']}")["plan"]
        assert [one["rows"] for one in after["vehicles"]] == [
            one["rows"] for one in before["vehicles"]
        ]
    loader = quick.phone("Bo")
    assert loader.post("/api/shows/demo/plans/replan", {"revision": 1}).status_code == 403


def test_rows_stay_anywhere_and_every_move_is_named(quick: Bench) -> None:
    owner = quick.owner()
    before = owner.read("/api/shows/demo/plans/1")["plan"]["vehicles"][0]
    numbers = [2, len(before["rows"])]
    loaded = {place["code"] for number in numbers for place in before["rows"][number - 1]["cases"]}
    gone = next(
        place["code"]
        for row in before["rows"]
        for place in row["cases"]
        if place["code"] not in loaded
    )
    show = owner.read("/api/shows/demo")
    keys = ("name", "date", "rules", "units", "vehicles")
    called = [one for one in show["cases"] if one["code"] != gone]
    body = {**{key: show[key] for key in keys}, "cases": called}
    assert owner.put("/api/shows/demo", body).status_code == 200
    told = replanned(quick, owner, {"revision": 1, "loaded": {before["id"]: numbers}})
    assert any(move.startswith(f"{gone} is off") for move in told["best"]["moves"])
    plan = owner.read(f"/api/shows/demo/plans/{told['revision']}")
    after = next(one for one in plan["plan"]["vehicles"] if one["id"] == before["id"])
    assert plan["faults"] == []
    stands = [{place["code"] for place in row["cases"]} for row in after["rows"]]
    for number in numbers:
        assert {place["code"] for place in before["rows"][number - 1]["cases"]} in stands


@pytest.mark.parametrize("wrong", [{"T1": [0]}, {"T1": -1}, {"T1": "all"}, {"T77": 1}])
def test_loaded_rows_that_are_none_are_refused(quick: Bench, wrong: dict[str, Any]) -> None:
    body = {"revision": 1, "loaded": wrong}
    answer = quick.owner().post("/api/shows/demo/plans/replan", body)
    assert answer.status_code == 422
    assert "loaded" in str(answer.get_json()["errors"])


def planned(bench: Bench, owner: Caller, body: dict[str, Any]) -> dict[str, Any]:
    """Ask for a plan, let the planner work, and return the finished job."""
    job = owner.post("/api/shows/demo/plans", body)
    assert job.status_code == 202, job.get_json()
    work_off(bench)
    told: dict[str, Any] = owner.read(f"/api/shows/demo/jobs/{job.get_json()['job']}")
    assert told["state"] == "done", told
    return told


def test_floor_against_ease_is_kept_as_revisions_to_choose_from(quick: Bench) -> None:
    owner = quick.owner()
    told = planned(quick, owner, {"seconds": 2, "alternatives": 3})
    choices = told["best"]["choices"]
    assert choices[0]["revision"] == told["revision"]
    hard = [one["lifts"] + one["turns"] for one in choices]
    assert hard == sorted(hard, reverse=True)
    assert len(set(hard)) == len(hard)
    for one in choices:
        plan = owner.read(f"/api/shows/demo/plans/{one['revision']}")
        assert plan["faults"] == []
        lifts = sum(
            bool(place["on"])
            for vehicle in plan["plan"]["vehicles"]
            for row in vehicle["rows"]
            for place in row["cases"]
        )
        assert lifts == one["lifts"]


def test_room_for_error_says_what_it_costs(quick: Bench) -> None:
    owner = quick.owner()
    told = planned(quick, owner, {"seconds": 2, "robust": True})
    assert set(told["best"]["robust"]) == {"floor_more_um", "tight_rows"}
    plan = owner.read(f"/api/shows/demo/plans/{told['revision']}")["plan"]
    rows = [row for one in plan["vehicles"] for row in one["rows"]]
    assert min(row["slack"] for row in rows) >= (0.5 if plan["units"]["length"] == "in" else 12)
    both = {"robust": True, "alternatives": 2}
    assert owner.post("/api/shows/demo/plans", both).status_code == 422
