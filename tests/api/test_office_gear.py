"""Vehicles as the owner keeps them: gear, all of them as a CSV file, and those archived."""

from __future__ import annotations

from typing import Any

from server.core.handling.ramp import PERSON_G
from tests.support.app import Bench

GEAR = {
    "lift_gate": {"deep_um": 1_219_200, "wide_um": 2_032_000, "rating_g": 60_000},
    "track": {"heights_um": [457_200], "pitch_um": 609_600},
}


def cards(sheet: dict[str, Any]) -> dict[str, Any]:
    """Return what a sheet says before the first case moves, by key."""
    return {card["key"]: card["figure"] for card in sheet["briefing"]}


def test_a_case_over_the_lift_gate_is_named_in_the_plan(quick: Bench) -> None:
    owner = quick.owner()
    before = owner.read("/api/shows/demo/plans/1")["sheets"][0]
    assert not {"lift_gate", "track"} & cards(before).keys()
    truck = owner.read("/api/vehicles/T1")
    assert owner.put("/api/vehicles/T1", {**truck, **GEAR}).status_code == 200
    asked = owner.post("/api/shows/demo/plans", {"seconds": 1})
    assert asked.status_code == 202, asked.text
    with quick.app.app_context():
        from server.service.plan_show import work_off

        assert work_off(quick.ports) == 1
    plan = owner.read("/api/shows/demo/plans/2")
    sheet = next(one for one in plan["sheets"] if one["id"] == "T1")
    masses = {one["code"]: one["mass_g"] for one in owner.read("/api/cases")}
    # The rating is asked for case and operator together; the operator's mass is the gate's own.
    heavy = {code for code in sheet["load"] if masses[code] > 60_000 - PERSON_G}
    assert heavy, "expected the demo to hold cases over the rating with an operator"
    told = cards(sheet)["lift_gate"]
    assert told["value"] >= len(heavy)
    assert f"{len(heavy)} over the rating" in told["derivation"]
    assert "read the plate" in told["derivation"]
    assert "track" in cards(sheet)


def test_gear_that_cannot_be_is_refused_by_the_field(quick: Bench) -> None:
    owner = quick.owner()
    truck = owner.read("/api/vehicles/T1")
    for wrong in (
        {"lift_gate": {"deep_um": 0, "wide_um": 1}},
        {"track": {"heights_um": [], "pitch_um": 1}},
        {"track": {"heights_um": [-1], "pitch_um": 1}},
        {"lift_gate": {"deep_um": 1, "wide_um": 1, "colour": "red"}},
    ):
        answer = owner.put("/api/vehicles/T1", {**truck, **wrong})
        assert answer.status_code == 422, answer.text


def test_vehicles_come_in_by_file_all_or_nothing(quick: Bench) -> None:
    owner = quick.owner()
    truck = owner.read("/api/vehicles/T1")
    assert owner.put("/api/vehicles/T1", {**truck, **GEAR}).status_code == 200
    out = owner.get("/api/vehicles.csv")
    assert out.mimetype == "text/csv" and out.data.startswith("\ufeffid,".encode())
    many = len(owner.read("/api/vehicles"))
    again = owner.send("/api/vehicles/import", out.data, "text/csv").get_json()
    assert again == {"new": 0, "changed": 0, "same": many, "changes": []}
    head = "id,width,length,height,payload\n"
    good = f"{head}T1,95,312,96,\nH9,90,192,84,4100\n".encode()
    dry = owner.send("/api/vehicles/import?dry_run=1", good, "text/csv").get_json()
    assert (dry["new"], dry["changed"], dry["same"]) == (1, 1, 0)
    assert dry["changes"] == [
        {
            "code": "T1",
            "fields": [
                {"field": "width_in", "before": "92", "after": "95"},
                {"field": "payload_lb", "before": "10000", "after": ""},
            ],
        }
    ]
    bad = owner.send("/api/vehicles/import", good + b"H8,1,x,1,1\n", "text/csv")
    assert [(one["row"], one["column"]) for one in bad.get_json()["errors"]] == [(4, "length")]
    assert owner.get("/api/vehicles/H9").status_code == 404
    assert owner.read("/api/vehicles/T1")["width_um"] == truck["width_um"]
    assert owner.send("/api/vehicles/import", good, "text/csv").status_code == 200
    assert owner.read("/api/vehicles/H9")["width_um"] == 2_286_000
    after = owner.read("/api/vehicles/T1")
    assert (after["width_um"], after["payload_g"]) == (2_413_000, None)
    assert (after["lift_gate"], after["axles"]) == (GEAR["lift_gate"], truck["axles"])


def test_a_vehicle_given_back_is_offered_for_no_show_and_stays_in_those_that_were(
    quick: Bench,
) -> None:
    owner = quick.owner()
    truck = owner.read("/api/vehicles/T1")
    refused = owner.put("/api/vehicles/T1", {**truck, "aside": True})
    assert refused.status_code == 409  # an open show has it
    assert "open shows have it (Harbour lights benefit)" in refused.get_json()["detail"]
    head = "id,width,length,height,aside"
    by_file = owner.send("/api/vehicles/import", f"{head}\nT1,92,288,96,yes\n".encode(), "text/csv")
    assert [(one["row"], one["column"]) for one in by_file.get_json()["errors"]] == [(2, "aside")]
    hired = {**truck, "id": "H1", "name": "hired box"}
    assert owner.post("/api/vehicles", hired).status_code == 201
    tried = owner.post("/api/shows/demo/plans/asked", {"seconds": 1, "vehicles": ["H1", "T2"]})
    with quick.app.app_context():
        from server.service.plan_show import work_off

        assert work_off(quick.ports) == 1
    job = tried.get_json()["job"]
    what_if = owner.read(f"/api/shows/demo/jobs/{job}")["revision"]
    assert owner.put("/api/vehicles/H1", {**hired, "aside": True}).get_json()["aside"] is True
    assert "H1," in owner.get("/api/vehicles.csv").get_data(as_text=True)
    show = {"name": "Next", "vehicles": ["H1"], "cases": [{"code": "RG-001-Q"}]}
    year = {"part": "year", "shows": ["demo"], "vehicles": ["H1"]}
    for address, body, status in (
        ("/api/shows", show, 422),
        ("/api/shows/demo/plans/asked", {"seconds": 1, "vehicles": ["H1"]}, 422),
        ("/api/advice", year, 422),
        (f"/api/shows/demo/plans/{what_if}/issue", None, 409),
    ):
        answer = owner.post(address, body)
        assert (answer.status_code, "archived" in answer.text) == (status, True), answer.text
    assert {one["id"] for one in owner.read("/api/fit")["vehicles"]} == {"T1", "T2"}
    # closed, the demo lets go of its truck, and still shows it; a copy does without
    assert owner.post("/api/shows/demo/close").status_code == 200
    assert owner.put("/api/vehicles/T1", {**truck, "aside": True}).status_code == 200
    past = owner.read("/api/shows/demo")
    kept = {key: past[key] for key in ("name", "date", "rules", "units", "vehicles", "cases")}
    assert owner.put("/api/shows/demo", kept).get_json()["vehicles"] == ["T1", "T2"]
    assert owner.read("/api/shows/demo/plans/1")["sheets"][0]["id"] == "T1"
    made = owner.post("/api/shows/demo/copy", {"name": "Again", "date": ""}).get_json()
    assert made["stay"] == ["T1"]
    assert owner.read(f"/api/shows/{made['id']}")["vehicles"] == ["T2"]
    assert owner.put("/api/vehicles/H1", hired).status_code == 200
    assert owner.post("/api/shows", show).status_code == 201
