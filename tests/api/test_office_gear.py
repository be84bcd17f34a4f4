"""Vehicles as the owner keeps them: lift gate and track, and all of them as a CSV file."""

from __future__ import annotations

from typing import Any

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
    heavy = {code for code in sheet["load"] if masses[code] > 60_000}
    assert heavy, "expected the demo to hold cases over 60 kg"
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
